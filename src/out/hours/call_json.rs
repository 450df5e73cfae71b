//! Who can be called, as a document. Instants are RFC 3339 with the ship's offset, lengths decimal hours.

use serde::Serialize;

use crate::hours::Callee;
use crate::out::hours::CallSheet;
use crate::out::hours::check_json::{Set, sets};
use crate::out::hours::words;
use crate::report::wire::Hours;
use crate::time::{Moment, Span};
use crate::verify::{Bar, Bound};

#[derive(Serialize)]
struct Document {
    format: &'static str,
    made_by: &'static str,
    ship: String,
    job: String,
    plan: String,
    at: String,
    hours: Hours,
    needed: Vec<String>,
    rule_sets: Vec<Set>,
    short: bool,
    team: Option<Vec<Member>>,
    people: Vec<Person>,
    night: Vec<Hour>,
}

#[derive(Serialize)]
struct Member {
    need: String,
    person: String,
}

#[derive(Serialize)]
struct Person {
    id: String,
    rule_set: String,
    doing: Option<String>,
    can: Vec<String>,
    callable: bool,
    longest_hours: Hours,
    limit: Option<Limit>,
    must_rest_from: Option<String>,
    off_until: Option<String>,
    rest_broken_hours: Hours,
    labour_lost_hours: Hours,
    next: Option<Next>,
}

#[derive(Serialize)]
struct Limit {
    kind: &'static str,
    of: Option<String>,
    from: String,
    to: String,
    found_hours: Option<Hours>,
    required_hours: Option<Hours>,
}

#[derive(Serialize)]
struct Next {
    kind: &'static str,
    of: String,
    from: String,
    to: String,
}

#[derive(Serialize)]
struct Hour {
    at: String,
    met: bool,
    callable: Vec<String>,
}

/// The answers as one document with a line end at the end.
///
/// # Panics
/// Never: the document has text keys and finite numbers only.
#[must_use]
pub fn call_json(sheet: &CallSheet<'_>) -> String {
    let problem = sheet.problem;
    let stamp = |moment: Moment| problem.clock.stamp(moment).to_rfc3339();
    let person_code = |person| problem.people[person].code.clone();
    let member = |(need, person): &(crate::id::CompetenceId, crate::id::PersonId)| Member {
        need: problem.competences[*need].code.clone(),
        person: person_code(*person),
    };
    let document = Document {
        format: "turnto-call/1",
        made_by: crate::report::wire::MADE_BY,
        ship: problem.ship.clone(),
        job: problem.title.clone(),
        plan: sheet.plan.to_owned(),
        at: stamp(sheet.at),
        hours: sheet.length.into(),
        needed: sheet.places.iter().map(|place| problem.competences[*place].code.clone()).collect(),
        rule_sets: sets(problem),
        short: sheet.short(),
        team: sheet.team.map(|team| team.team.iter().map(member).collect()),
        people: sheet.callees.iter().filter(|c| sheet.wanted(c.person)).map(|c| person(sheet, c)).collect(),
        night: sheet
            .night
            .iter()
            .map(|hour| Hour {
                at: stamp(hour.at),
                met: hour.met,
                callable: hour.people.pairs().filter(|(p, bar)| bar.is_none() && sheet.wanted(*p)).map(|(p, _)| person_code(p)).collect(),
            })
            .collect(),
    };
    let mut text = serde_json::to_string_pretty(&document).expect("a document with text keys and finite numbers can be written");
    text.push('\n');
    text
}

fn person(sheet: &CallSheet<'_>, callee: &Callee) -> Person {
    let problem = sheet.problem;
    let stamp = |moment: Moment| problem.clock.stamp(moment).to_rfc3339();
    let rest = matches!(callee.limit, Some(Bar::Rest(_))) && !callee.longest.is_zero();
    Person {
        id: problem.people[callee.person].code.clone(),
        rule_set: words::set(problem, callee.person).code.clone(),
        doing: callee.doing.map(|what| words::what(problem, what)),
        can: sheet.can(callee.person),
        callable: callee.longest >= sheet.length,
        longest_hours: callee.longest.into(),
        limit: callee.limit.map(|bar| limit(sheet, callee, bar)),
        must_rest_from: rest.then(|| stamp(sheet.at + callee.longest)),
        off_until: callee.off_until.map(stamp),
        rest_broken_hours: callee.harm.rest_broken.into(),
        labour_lost_hours: callee.harm.labour_lost.into(),
        next: callee.next.map(|(bound, span)| {
            let (kind, of) = bound_row(sheet, bound);
            Next { kind, of, from: stamp(span.start()), to: stamp(span.end()) }
        }),
    }
}

fn bound_row(sheet: &CallSheet<'_>, bound: Bound) -> (&'static str, String) {
    match bound {
        Bound::Turn(turn) => ("watch", sheet.problem.posts[sheet.problem.turns[turn].post].code.clone()),
        Bound::Duty(duty) => ("duty", sheet.problem.duties[duty].code.clone()),
        Bound::Recorded(kind) => ("recorded", super::words::kind(kind).to_owned()),
    }
}

fn limit(sheet: &CallSheet<'_>, callee: &Callee, bar: Bar) -> Limit {
    let stamp = |moment: Moment| sheet.problem.clock.stamp(moment).to_rfc3339();
    let row = |kind, of, span: Span| {
        let (from, to) = (stamp(span.start()), stamp(span.end()));
        Limit { kind, of, from, to, found_hours: None, required_hours: None }
    };
    match bar {
        Bar::Away(span) => row("away", None, span),
        Bar::Busy(bound, span) => {
            let (kind, of) = bound_row(sheet, bound);
            row(kind, Some(of), span)
        }
        Bar::InSpell(task, span) => row("task", Some(sheet.problem.tasks[task].code.clone()), span),
        Bar::Begins(bound, span) => {
            let (kind, of) = bound_row(sheet, bound);
            row(if kind == "watch" { "watch_begins" } else { "duty_begins" }, Some(of), span)
        }
        Bar::Rest(finding) => {
            let rule = words::rule(words::set(sheet.problem, callee.person), &finding).code.clone();
            let (found_hours, required_hours) = (Some(finding.found.into()), Some(finding.required.into()));
            Limit { found_hours, required_hours, ..row("rest", Some(rule), finding.window) }
        }
    }
}
