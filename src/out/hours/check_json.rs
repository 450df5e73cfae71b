//! A check of hours as a document. Instants are RFC 3339 with the ship's offset, lengths decimal hours.

use serde::Serialize;

use crate::hours::{Balance, Change, Departing, FirstWatch, Of, PersonHours, View};
use crate::model::Problem;
use crate::out::hours::check::remedy;
use crate::out::hours::check_csv::{due, origin};
use crate::out::hours::owed::became;
use crate::out::hours::words;
use crate::report::wire::Hours;
use crate::rest::{Finding, RuleSet};
use crate::time::{Minutes, Moment, Span};

#[derive(Serialize)]
struct Document {
    format: &'static str,
    made_by: &'static str,
    ship: String,
    job: String,
    of: &'static str,
    plan: Option<String>,
    plan_breaks_other_rules: usize,
    needs_attention: bool,
    rule_sets: Vec<Set>,
    people: Vec<Person>,
    departure: Option<DepartureRow>,
}

#[derive(Serialize)]
struct DepartureRow {
    at: String,
    watches: Vec<WatchRow>,
}

#[derive(Serialize)]
struct WatchRow {
    post: String,
    from: String,
    to: String,
    person: Option<String>,
    rest_hours: Hours,
    asked_hours: Hours,
    rested: bool,
}

/// A rule set with its readings, as it is written in documents about hours.
#[derive(Serialize)]
pub(in crate::out) struct Set {
    code: String,
    name: String,
    source: String,
    least_rest_hours: Hours,
    rules: Vec<RuleRow>,
    readings: Vec<Reading>,
    people: Vec<String>,
}

#[derive(Serialize)]
struct RuleRow {
    code: String,
    asks_for: String,
    source: String,
}

#[derive(Serialize)]
struct Reading {
    number: &'static str,
    text: String,
}

#[derive(Serialize)]
struct Person {
    id: String,
    rule_set: String,
    from: Option<String>,
    to: Option<String>,
    record_from: Option<String>,
    no_work_recorded: bool,
    days_without_work: Vec<Days>,
    not_checkable_before: Option<String>,
    least_24h: Hours,
    least_24h_from: Option<String>,
    best_two_24h: Hours,
    best_two_24h_from: Option<String>,
    longest_24h: Hours,
    longest_24h_from: Option<String>,
    least_7d: Hours,
    least_7d_from: Option<String>,
    findings: Vec<FindingRow>,
    matters: Vec<Matter>,
    tight: Vec<TightRow>,
    drills: Vec<Lost>,
    calls: Vec<Lost>,
    emergencies: Vec<EmergencyRow>,
    exceptions: Vec<ExceptionRow>,
    still_owed_hours: Hours,
}

#[derive(Serialize)]
struct EmergencyRow {
    from: String,
    to: String,
    rest_lost_hours: Hours,
    reason: Option<String>,
    owed: OwedRow,
}

/// What became of rest that is owed.
#[derive(Serialize)]
struct OwedRow {
    hours: Hours,
    given_back_hours: Hours,
    still_owed_hours: Hours,
    given_back_by: Option<String>,
    due_by: Option<String>,
    overdue: bool,
    words: String,
}

#[derive(Serialize)]
struct ExceptionRow {
    rule: String,
    from: String,
    to: String,
    windows: usize,
    least_hours: Hours,
}

/// One finding, as it is written in documents about hours.
#[derive(Serialize)]
pub(super) struct FindingRow {
    rule: String,
    from: String,
    to: String,
    found_hours: Hours,
    required_hours: Hours,
    short_by_hours: Hours,
    #[serde(skip_serializing_if = "Option::is_none")]
    origin: Option<&'static str>,
}

#[derive(Serialize)]
struct Matter {
    worst: FindingRow,
    other_windows: usize,
    cure: Option<CureRow>,
    drills: Vec<Times>,
    excused_by: Option<String>,
    words: String,
}

#[derive(Serialize)]
struct CureRow {
    change: &'static str,
    piece: Times,
    at: Option<String>,
    part: Times,
    doing: String,
}

/// Days by their dates, the last included.
#[derive(Serialize)]
struct Days {
    first: String,
    last: String,
}

#[derive(Serialize)]
struct Times {
    from: String,
    to: String,
}

#[derive(Serialize)]
struct TightRow {
    rule: String,
    from: String,
    to: String,
    found_hours: Hours,
    spare_hours: Hours,
}

#[derive(Serialize)]
struct Lost {
    from: String,
    to: String,
    rest_lost_hours: Hours,
    owed: Option<OwedRow>,
}

/// The whole check as one document with a line end at the end.
///
/// # Panics
/// Never: the document has text keys and finite numbers only.
#[must_use]
pub fn check_json(view: &View<'_>) -> String {
    let problem = view.problem;
    let document = Document {
        format: "turnto-rest/1",
        made_by: crate::report::wire::MADE_BY,
        ship: problem.ship.clone(),
        job: problem.title.clone(),
        of: match (view.of, &view.plan) {
            (Of::Records, _) | (_, None) => "records",
            (Of::Plan, Some(_)) => "plan",
            (Of::Both, Some(_)) => "both",
        },
        plan: view.plan.as_ref().map(|plan| plan.name.to_owned()),
        plan_breaks_other_rules: view.plan.as_ref().map_or(0, |plan| plan.breaches),
        needs_attention: view.needs_attention(),
        rule_sets: sets(problem),
        people: view.people.iter().map(|p| person(view, p)).collect(),
        departure: view.departing.map(|departing| departure(view, departing)),
    };
    let mut text = serde_json::to_string_pretty(&document).expect("a document with text keys and finite numbers can be written");
    text.push('\n');
    text
}

fn departure(view: &View<'_>, departing: &Departing) -> DepartureRow {
    let problem = view.problem;
    let stamp = |moment: Moment| problem.clock.stamp(moment).to_rfc3339();
    let row = |watch: &FirstWatch| {
        let turn = &problem.turns[watch.turn];
        WatchRow {
            post: problem.posts[turn.post].code.clone(),
            from: stamp(turn.span.start()),
            to: stamp(turn.span.end()),
            person: watch.person.map(|person| problem.people[person].code.clone()),
            rest_hours: watch.found.into(),
            asked_hours: watch.required.into(),
            rested: watch.rested(),
        }
    };
    DepartureRow { at: stamp(departing.at), watches: departing.watches.iter().map(row).collect() }
}

/// The sets in use, each with who is under it.
pub(in crate::out) fn sets(problem: &Problem) -> Vec<Set> {
    let codes = |people: Vec<crate::id::PersonId>| people.into_iter().map(|p| problem.people[p].code.clone()).collect();
    words::sets_in_use(problem).into_iter().map(|(set, people)| set_row(set, codes(people))).collect()
}

/// A set as it is written in documents.
pub(super) fn set_row(set: &RuleSet, people: Vec<String>) -> Set {
    let rules = set.rules.iter().map(|r| RuleRow { code: r.code.clone(), asks_for: r.kind.text(), source: r.source.clone() });
    Set {
        code: set.code.clone(),
        name: set.name.clone(),
        source: set.source.clone(),
        least_rest_hours: set.min_rest.into(),
        rules: rules.collect(),
        readings: set.reading_lines().into_iter().map(|(number, text)| Reading { number, text }).collect(),
        people,
    }
}

fn person(view: &View<'_>, hours: &PersonHours) -> Person {
    let stamp = |moment: Moment| view.problem.clock.stamp(moment).to_rfc3339();
    let date = |day| view.problem.clock.date(day).to_string();
    let times = |span: Span| Times { from: stamp(span.start()), to: stamp(span.end()) };
    let set = words::set(view.problem, hours.person);
    let row = |finding: &Finding, origin| FindingRow {
        rule: words::rule(set, finding).code.clone(),
        from: stamp(finding.window.start()),
        to: stamp(finding.window.end()),
        found_hours: finding.found.into(),
        required_hours: finding.required.into(),
        short_by_hours: finding.shortfall().into(),
        origin: Some(origin),
    };
    let matters = hours.groups.iter().map(|group| Matter {
        worst: row(&group.worst, origin(group.origin)),
        other_windows: group.others,
        cure: group.cure.map(|cure| {
            let (change, at) = match cure.change {
                Change::StartAt(at) => ("start_later", Some(at)),
                Change::EndAt(at) => ("end_earlier", Some(at)),
                Change::LeaveOut => ("leave_out", None),
            };
            let doing = words::doing(view, hours.person, cure.part);
            CureRow { change, piece: times(cure.piece), at: at.map(stamp), part: times(cure.part), doing }
        }),
        drills: group.drills.iter().map(|span| times(*span)).collect(),
        excused_by: group.excuse.as_ref().and_then(|emergency| emergency.reason.clone()),
        words: remedy(view, hours.person, group).replace('\u{a0}', " "),
    });
    let figures = &hours.figures;
    Person {
        id: view.problem.people[hours.person].code.clone(),
        rule_set: set.code.clone(),
        from: hours.scope.map(|scope| stamp(scope.start())),
        to: hours.scope.map(|scope| stamp(scope.end())),
        record_from: hours.known_from.map(stamp),
        no_work_recorded: hours.no_work,
        days_without_work: hours.days_without.iter().map(|(first, last)| Days { first: date(*first), last: date(*last) }).collect(),
        not_checkable_before: hours.uncheckable_before.map(stamp),
        least_24h: figures.least_24h.into(),
        least_24h_from: figures.least_24h_from.map(stamp),
        best_two_24h: figures.best_two_24h.into(),
        best_two_24h_from: figures.best_two_24h_from.map(stamp),
        longest_24h: figures.longest_24h.into(),
        longest_24h_from: figures.longest_24h_from.map(stamp),
        least_7d: figures.least_7d.into(),
        least_7d_from: figures.least_7d_from.map(stamp),
        findings: hours.findings.iter().map(|(finding, from)| row(finding, origin(*from))).collect(),
        matters: matters.collect(),
        tight: hours
            .tight
            .iter()
            .map(|t| TightRow {
                rule: set.rules[t.rule].code.clone(),
                from: stamp(t.window.start()),
                to: stamp(t.window.end()),
                found_hours: t.found.into(),
                spare_hours: t.spare.into(),
            })
            .collect(),
        drills: hours.drills.iter().map(|d| lost(view, d.span, d.rest_lost, d.balance.map(|b| (d.rest_lost, b)))).collect(),
        calls: hours.calls.iter().map(|c| lost(view, c.span, c.rest_lost, Some((c.owed, c.balance)))).collect(),
        emergencies: hours
            .emergencies
            .iter()
            .map(|e| EmergencyRow {
                from: stamp(e.span.start()),
                to: stamp(e.span.end()),
                rest_lost_hours: e.owed.into(),
                reason: e.reason.clone(),
                owed: owed_row(view, e.owed, &e.balance),
            })
            .collect(),
        exceptions: hours
            .excepted
            .iter()
            .map(|e| ExceptionRow {
                rule: set.rules[e.rule].code.clone(),
                from: stamp(e.span.start()),
                to: stamp(e.span.end()),
                windows: e.windows,
                least_hours: e.least.into(),
            })
            .collect(),
        still_owed_hours: hours.still_owed().into(),
    }
}

fn lost(view: &View<'_>, span: Span, lost: Minutes, owed: Option<(Minutes, Balance)>) -> Lost {
    let stamp = |moment: Moment| view.problem.clock.stamp(moment).to_rfc3339();
    let owed = owed.map(|(owed, balance)| owed_row(view, owed, &balance));
    Lost { from: stamp(span.start()), to: stamp(span.end()), rest_lost_hours: lost.into(), owed }
}

fn owed_row(view: &View<'_>, owed: Minutes, balance: &Balance) -> OwedRow {
    let clock = &view.problem.clock;
    let stamp = |moment: Moment| clock.stamp(moment).to_rfc3339();
    OwedRow {
        hours: owed.into(),
        given_back_hours: balance.given.into(),
        still_owed_hours: (owed - balance.given).into(),
        given_back_by: balance.even_at.map(stamp),
        due_by: due(balance).map(stamp),
        overdue: balance.overdue,
        words: became(clock, owed, balance).replace('\u{a0}', " "),
    }
}
