//! A check of hours as a table.

use crate::hours::{Balance, By, Group, Origin, PersonHours, View};
use crate::out::csv::{Table, hours, text};
use crate::out::hours::check::remedy;
use crate::out::hours::words;
use crate::time::{Minutes, Moment, Span};

const HEADER: [&str; 20] = [
    "row",
    "person",
    "rule_set",
    "rule",
    "asks_for",
    "source",
    "window_from",
    "window_to",
    "found_hours",
    "required_hours",
    "short_by_hours",
    "origin",
    "same_matter_as",
    "remedy",
    "excused_by",
    "owed_hours",
    "given_back_hours",
    "still_owed_hours",
    "due_by",
    "overdue",
];

/// A row for each finding (`finding`), each least margin (`least_24h`, `best_two_24h`, `longest_24h`,
/// `least_7d`), each rule kept with an hour or less to spare (`tight`), each drill (`drill`, the rest it took as
/// what it is short by), each call-out and emergency (`call`, `emergency`, the same, and what became of what is owed; `due_by`
/// is empty where it is due as soon as practicable or where the rest by whose end it is due has no known end), each rule kept by an exception alone
/// (`exception`), each first watch at departure (`departure`) and the time that cannot be checked (`not_checkable`).
#[must_use]
pub fn check_csv(view: &View<'_>) -> String {
    let mut table = Table::new(&HEADER);
    for person in view.people {
        findings(&mut table, view, person);
        margins(&mut table, view, person);
        for tight in &person.tight {
            let rule = &words::set(view.problem, person.person).rules[tight.rule];
            let mut row = start(view, person, "tight");
            row[3] = text(&rule.code);
            row[4] = text(&rule.kind.text());
            row[5] = text(&rule.source);
            row[8] = hours(tight.found);
            row[9] = hours(rule.kind.limit().required());
            row[10] = hours(-tight.spare);
            put_window(&mut row, view, tight.window);
            table.push(row);
        }
        let drills = person.drills.iter().map(|d| ("drill", d.span, d.rest_lost, d.balance.map(|balance| (d.rest_lost, balance))));
        let calls = person.calls.iter().map(|c| ("call", c.span, c.rest_lost, Some((c.owed, c.balance))));
        let emergencies = person.emergencies.iter().map(|e| ("emergency", e.span, e.owed, Some((e.owed, e.balance))));
        for (name, span, lost, balance) in drills.chain(calls).chain(emergencies) {
            let mut row = start(view, person, name);
            put_window(&mut row, view, span);
            row[10] = hours(lost);
            if let Some((owed, balance)) = balance {
                row[15] = hours(owed);
                row[16] = hours(balance.given);
                row[17] = hours(owed - balance.given);
                row[18] = due(&balance).map_or_else(String::new, |at| stamp(view, at));
                if balance.overdue { "yes" } else { "no" }.clone_into(&mut row[19]);
            }
            table.push(row);
        }
        for use_of in &person.excepted {
            let rule = &words::set(view.problem, person.person).rules[use_of.rule];
            let mut row = start(view, person, "exception");
            row[3] = text(&rule.code);
            row[4] = text(&rule.kind.text());
            row[5] = text(&rule.source);
            row[8] = hours(use_of.least);
            row[9] = hours(rule.kind.limit().required());
            put_window(&mut row, view, use_of.span);
            table.push(row);
        }
        if let Some(before) = person.uncheckable_before {
            let mut row = start(view, person, "not_checkable");
            row[7] = stamp(view, before);
            table.push(row);
        }
    }
    for watch in view.departing.iter().flat_map(|departing| &departing.watches) {
        let mut row = vec![String::new(); HEADER.len()];
        "departure".clone_into(&mut row[0]);
        row[1] = watch.person.map_or_else(String::new, |person| text(&view.problem.people[person].code));
        row[4] = text(&format!("first watches at departure rested: {}", view.problem.posts[view.problem.turns[watch.turn].post].code));
        row[8] = hours(watch.found);
        row[9] = hours(watch.required);
        row[10] = hours((watch.required - watch.found).max(Minutes::ZERO));
        put_window(&mut row, view, watch.window);
        table.push(row);
    }
    table.finish()
}

fn findings(table: &mut Table, view: &View<'_>, person: &PersonHours) {
    let set = words::set(view.problem, person.person);
    for (finding, origin) in &person.findings {
        let rule = words::rule(set, finding);
        let mut row = start(view, person, "finding");
        row[3] = text(&rule.code);
        row[4] = text(&rule.kind.text());
        row[5] = text(&rule.source);
        put_window(&mut row, view, finding.window);
        row[8] = hours(finding.found);
        row[9] = hours(finding.required);
        row[10] = hours(finding.shortfall());
        self::origin(*origin).clone_into(&mut row[11]);
        if let Some(group) = group_of(person, finding) {
            row[12] = stamp(view, group.worst.window.start());
            row[13] = text(&remedy(view, person.person, group).replace('\u{a0}', " "));
            row[14] = group.excuse.as_ref().and_then(|e| e.reason.as_deref()).map_or_else(String::new, text);
        }
        table.push(row);
    }
}

/// The group a finding is the worst of, or else the first of its rule whose window it shares most with.
fn group_of<'a>(person: &'a PersonHours, finding: &crate::rest::Finding) -> Option<&'a Group> {
    let of_rule = person.groups.iter().filter(|group| group.worst.rule == finding.rule);
    let shared = |group: &&Group| group.worst.window.intersection(finding.window).map_or(Minutes::ZERO, Span::length);
    of_rule.reduce(|best, group| if shared(&group) > shared(&best) { group } else { best })
}

fn margins(table: &mut Table, view: &View<'_>, person: &PersonHours) {
    if person.scope.is_none() {
        return;
    }
    let figures = &person.figures;
    let rows = [
        ("least_24h", figures.least_24h, figures.least_24h_from, Minutes::DAY),
        ("best_two_24h", figures.best_two_24h, figures.best_two_24h_from, Minutes::DAY),
        ("longest_24h", figures.longest_24h, figures.longest_24h_from, Minutes::DAY),
        ("least_7d", figures.least_7d, figures.least_7d_from, Minutes::WEEK),
    ];
    for (name, found, from, length) in rows {
        let mut row = start(view, person, name);
        if let Some(window) = from.and_then(|from| Span::of(from, length)) {
            put_window(&mut row, view, window);
        }
        row[8] = hours(found);
        table.push(row);
    }
}

fn start(view: &View<'_>, person: &PersonHours, name: &str) -> Vec<String> {
    let mut row = vec![String::new(); HEADER.len()];
    name.clone_into(&mut row[0]);
    row[1] = text(&view.problem.people[person.person].code);
    row[2] = text(&words::set(view.problem, person.person).code);
    row
}

fn put_window(row: &mut [String], view: &View<'_>, window: Span) {
    row[6] = stamp(view, window.start());
    row[7] = stamp(view, window.end());
}

fn stamp(view: &View<'_>, moment: Moment) -> String {
    view.problem.clock.stamp(moment).to_rfc3339()
}

/// By when rest is due, where a time is known.
pub(super) const fn due(balance: &Balance) -> Option<Moment> {
    match balance.by {
        By::EndOfRest(at) => Some(at),
        By::EndOfRestFrom(_) | By::Soon => None,
    }
}

/// Where a finding comes from, for files.
pub(super) const fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Recorded => "recorded",
        Origin::Planned => "planned",
    }
}
