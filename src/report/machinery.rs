//! Machines able and needed in a stretch of time, and what is left if one more trips.

use crate::account::MachineryRow;
use crate::id::{GroupId, UnitId};
use crate::report::Report;
use crate::time::Span;

/// Machines in one ship's day.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct MachineryDay {
    /// Groups with something to say: a unit out, or a need that changes in the day, or a shortage. By
    /// group, then time.
    pub changing: Vec<MachineryLine>,
    /// Groups that are whole and needed alike the whole day, by group.
    pub whole: Vec<MachineryLine>,
}

/// State of a group over a stretch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct MachineryLine {
    /// The group.
    pub group: GroupId,
    /// From when to when.
    pub span: Span,
    /// Units able, in the order of the group.
    pub able: Vec<UnitId>,
    /// How many are able, as the account says.
    pub n_able: u32,
    /// How many are needed.
    pub needed: u32,
    /// Units out.
    pub out: Vec<UnitId>,
    /// What a trip of one of those able would mean.
    pub trip: Trip,
}

/// What one more unit tripping would mean.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Trip {
    /// Fewer are able than needed as it is.
    AlreadyShort,
    /// Fewer would be able than needed.
    Short,
    /// As many as needed would be left, and no more.
    JustEnough,
    /// More than needed would be left.
    Enough,
    /// None is needed.
    NotNeeded,
}

fn trip(able: u32, needed: u32) -> Trip {
    match (able, needed) {
        (_, 0) => Trip::NotNeeded,
        _ if able < needed => Trip::AlreadyShort,
        _ if able == needed => Trip::Short,
        _ if able == needed + 1 => Trip::JustEnough,
        _ => Trip::Enough,
    }
}

/// The machines in `span`, a part of one ship's day.
pub(super) fn of(report: &Report<'_>, span: Span) -> MachineryDay {
    let mut found = MachineryDay::default();
    for (group, row) in report.problem().groups.pairs() {
        let rows = report.account().machinery.iter().filter(|r| r.group == group);
        let mut lines: Vec<MachineryLine> = Vec::new();
        for (part, account) in rows.filter_map(|r| Some((r.span.intersection(span)?, r))) {
            let line = line(account, part, &row.units);
            match lines.last_mut() {
                Some(last) if last.span.end() == part.start() && same(last, &line) => last.span = last.span.hull(part),
                _ => lines.push(line),
            }
        }
        let quiet = lines.len() == 1 && lines.iter().all(|l| l.out.is_empty() && l.trip != Trip::AlreadyShort);
        if quiet { &mut found.whole } else { &mut found.changing }.append(&mut lines);
    }
    found
}

fn line(row: &MachineryRow, span: Span, units: &[UnitId]) -> MachineryLine {
    MachineryLine {
        group: row.group,
        span,
        able: units.iter().copied().filter(|u| !row.out.contains(u)).collect(),
        n_able: row.able,
        needed: row.needed,
        out: row.out.clone(),
        trip: trip(row.able, row.needed),
    }
}

fn same(a: &MachineryLine, b: &MachineryLine) -> bool {
    (a.n_able, a.needed, &a.out) == (b.n_able, b.needed, &b.out)
}
