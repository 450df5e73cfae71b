//! The table of shipboard working arrangements as text and as a table.

use crate::hours::{ArrangedHours as Hours, Arrangement, OtherDay};
use crate::model::Problem;
use crate::out::csv::{Table, text};
use crate::out::hours::words::{self, FIRST};
use crate::out::page::Page;
use crate::out::words::{decimal, tied};
use crate::time::Minutes;

/// Where the hours of the job are worked.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Where {
    /// At sea.
    Sea,
    /// In port, or at anchor.
    Port,
}

/// A table with what it is made from.
pub struct ArrangementTable<'a> {
    /// The job.
    pub problem: &'a Problem,
    /// The plan it is of; `None` where it is of the job folder alone.
    pub plan: Option<&'a str>,
    /// Where the hours are worked; the columns for elsewhere are left to be filled in.
    pub place: Where,
    /// Everybody, in table order.
    pub rows: &'a [Arrangement],
}

impl ArrangementTable<'_> {
    /// What the hours are of.
    pub(super) fn of(&self) -> String {
        match self.plan {
            Some(plan) => format!("watches of plan {plan} and ordinary hours of the job"),
            None => "watches and ordinary hours of the job".to_owned(),
        }
    }

    /// The maximum hours of work or minimum hours of rest, for the head of the table.
    pub(super) fn limits(&self) -> Vec<String> {
        let in_use = words::sets_in_use(self.problem);
        let all = in_use.len() == 1;
        let line = |(set, people): &(&crate::rest::RuleSet, Vec<crate::id::PersonId>)| {
            let rules: Vec<String> = set.rules.iter().map(|rule| rule.kind.text()).collect();
            let whose = if all { String::new() } else { format!(" for {}", words::people(self.problem, people)) };
            format!("{} ({}){whose}: {}", set.name, set.code, rules.join("; "))
        };
        in_use.iter().map(line).collect()
    }

    /// How the limits are read.
    pub(super) fn read_as(&self) -> Vec<String> {
        words::sets_in_use(self.problem).into_iter().map(|(set, _)| format!("{}: {}", set.code, words::read_as(set))).collect()
    }

    /// Position as in the crew list.
    pub(super) fn position(&self, row: &Arrangement) -> String {
        let who = &self.problem.people[row.person];
        if who.role.is_empty() { who.code.clone() } else { format!("{} ({})", who.role, who.code) }
    }

    /// Remarks on a row.
    pub(super) fn comments(&self, row: &Arrangement) -> Vec<String> {
        let mut said = Vec::new();
        if row.open {
            said.push("some watches are open, and not given out yet".to_owned());
        }
        match row.others.as_slice() {
            [] => {}
            [other] => said.push(self.other(row, other)),
            [other, more @ ..] => {
                let days = if more.len() == 1 { "day" } else { "days" };
                said.push(format!("{}; and other hours on {} more {days}", self.other(row, other), more.len()));
            }
        }
        if row.overtime > Minutes::ZERO {
            said.push(format!("overtime up to {} on a day where the plan has it, not in the totals", words::hours(row.overtime)));
        }
        let set = words::set(self.problem, row.person);
        let mut broken: Vec<&str> = row.findings.iter().map(|finding| words::rule(set, finding).code.as_str()).collect();
        broken.dedup();
        if !broken.is_empty() {
            said.push(format!("ATTENTION: such days one after the other break {}", broken.join(", ")));
        }
        said
    }

    /// `on 2027-03-03 08:00-12:00, 13:00-17:00, watch 08:00-12:00`: the hours of a day that is not as usual, and which of them
    /// are on watch where that is not as usual.
    fn other(&self, row: &Arrangement, other: &OtherDay) -> String {
        let watch = match other.watches.as_slice() {
            same if same == row.watches => String::new(),
            [] => ", no watch".to_owned(),
            watches => format!(", watch {}", list(watches)),
        };
        format!("on {} {}{watch}", self.date(other.day), list(&other.hours))
    }

    fn date(&self, day: crate::clock::Day) -> String {
        tied(&self.problem.clock.date(day).to_string())
    }
}

/// `00:00-04:00, 12:00-16:00`; `none`.
pub(super) fn list(hours: &[Hours]) -> String {
    let clock = |minutes: Minutes| format!("{:02}:{:02}", minutes.get() / 60, minutes.get() % 60);
    let all: Vec<String> = hours.iter().map(|(from, to)| format!("{}-{}", clock(*from), clock(*to))).collect();
    if all.is_empty() { "none".to_owned() } else { all.join(", ") }
}

/// Hours as a decimal number.
pub(super) fn number(minutes: Minutes) -> String {
    if minutes.is_zero() { "0.0".to_owned() } else { decimal(minutes) }
}

/// What stands below the table.
pub(super) const NOTE: &str = "Hours of a usual whole day of the job; totals are of such a day. Breaks too short to be rest, or named, are \
     neither work nor rest. Drills, call-outs and duties of single days are not in it.";

/// The table as text of at most 80 columns.
///
/// What it says follows the model table of the IMO/ILO guidelines of 1999: position, scheduled hours at sea and in
/// port, each parted into watchkeeping and other duties, comments, total hours of work and of rest.
#[must_use]
pub fn arrangements_text(table: &ArrangementTable<'_>) -> String {
    let mut page = Page::default();
    page.text("TABLE OF SHIPBOARD WORKING ARRANGEMENTS");
    page.text(&format!("Ship: {}; IMO number: ____________; flag: ____________", table.problem.ship));
    page.text(&format!("Last updated: ____________; from {}.", table.of()));
    for line in table.limits() {
        page.text(&format!("Limits: {line}."));
    }
    let (here, elsewhere) = places(table.place);
    for row in table.rows {
        page.blank();
        page.text(&tied(&table.position(row)));
        page.item(&format!("  {here}"), 12, &format!("watchkeeping {}; other duties {}", list(&row.watches), list(&row.duties)));
        page.item(&format!("  {elsewhere}"), 12, "watchkeeping ________________; other duties ________________");
        page.item("  total", 12, &format!("{here}: {} of work, {} of rest a day", words::hours(row.work), words::hours(row.rest)));
        for comment in table.comments(row) {
            page.item("  comment", 12, &comment);
        }
    }
    page.blank();
    page.text(NOTE);
    for line in table.read_as() {
        page.text(&line);
    }
    page.text(FIRST);
    page.blank();
    page.row("Master: ___________________________________________   Date: ____________");
    page.finish()
}

pub(super) const fn places(place: Where) -> (&'static str, &'static str) {
    match place {
        Where::Sea => ("at sea", "in port"),
        Where::Port => ("in port", "at sea"),
    }
}

/// The table for a spreadsheet: a row for each person.
#[must_use]
pub fn arrangements_csv(table: &ArrangementTable<'_>) -> String {
    let mut sheet = Table::new(&[
        "person",
        "position",
        "sea_watchkeeping",
        "sea_other_duties",
        "port_watchkeeping",
        "port_other_duties",
        "comments",
        "sea_work_hours",
        "sea_rest_hours",
        "port_work_hours",
        "port_rest_hours",
    ]);
    for row in table.rows {
        let who = &table.problem.people[row.person];
        let (hours, totals) = ([list(&row.watches), list(&row.duties)], [number(row.work), number(row.rest)]);
        let none = || [String::new(), String::new()];
        let sides = |own: [String; 2]| match table.place {
            Where::Sea => [own, none()],
            Where::Port => [none(), own],
        };
        let mut fields = vec![text(&who.code), text(&who.role)];
        fields.extend(sides(hours).into_iter().flatten());
        fields.push(text(&table.comments(row).join("; ").replace('\u{a0}', " ")));
        fields.extend(sides(totals).into_iter().flatten());
        sheet.push(fields);
    }
    sheet.finish()
}
