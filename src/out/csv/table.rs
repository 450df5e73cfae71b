//! What the tables have in common: rows, and how values are written in them.

use crate::id::{PersonId, TaskId};
use crate::model::Named;
use crate::out::page;
use crate::report::{Report, tools_of, wire};
use crate::time::{Minutes, Moment, Span};

/// Rows under construction.
pub(in crate::out) struct Table(csv::Writer<Vec<u8>>);

impl Table {
    pub(in crate::out) fn new(header: &[&str]) -> Self {
        let mut table = Self(csv::Writer::from_writer(Vec::new()));
        table.push(header.iter().map(|h| (*h).to_owned()).collect());
        table
    }

    pub(in crate::out) fn push(&mut self, row: Vec<String>) {
        self.0.write_record(row).expect("rows of equal length can be written to memory");
    }

    pub(in crate::out) fn finish(self) -> String {
        let bytes = self.0.into_inner().expect("writing to memory does not fail");
        String::from_utf8(bytes).expect("texts are UTF-8")
    }
}

/// Text that a spreadsheet would take for a formula gets an apostrophe before it; control characters
/// become spaces.
pub(in crate::out) fn text(text: &str) -> String {
    let clean = page::printable(text);
    if clean.starts_with(['=', '+', '-', '@']) || text.starts_with(['\t', '\r', '\n']) { format!("'{clean}") } else { clean }
}

/// The code of a phase; nothing for tasks that have none.
pub(super) fn phase(phase: &Named) -> String {
    if phase.code == "-" { String::new() } else { text(&phase.code) }
}

pub(in crate::out) fn hours(length: Minutes) -> String {
    wire::Hours::from(length).get().to_string()
}

pub(super) fn stamps(report: &Report<'_>, span: Span) -> [String; 2] {
    [report.stamp(span.start()), report.stamp(span.end())]
}

pub(super) fn optional(report: &Report<'_>, at: Option<Moment>) -> String {
    at.map_or_else(String::new, |at| report.stamp(at))
}

pub(super) fn codes(report: &Report<'_>, people: &[PersonId]) -> String {
    text(&people.iter().map(|p| report.person_code(*p)).collect::<Vec<_>>().join(" "))
}

pub(super) fn tools(report: &Report<'_>, task: TaskId) -> String {
    let tools = tools_of(report.problem(), task).into_iter();
    let names = tools.flat_map(|(t, n)| (0..n).map(move |_| report.problem().tools[t].code.as_str()));
    text(&names.collect::<Vec<_>>().join(" "))
}
