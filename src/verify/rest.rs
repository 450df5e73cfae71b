//! Rule 3: the rest rules of every person's rule set, over the plan and the record before it.
//!
//! Findings come from the naive checker of [`crate::rest`], over every window that shares time with the
//! plan. One counts against the plan unless the record alone already has it, no milder.

use crate::account::RestFigures;
use crate::id::PersonId;
use crate::model::Person;
use crate::rest::{self, Judged, RuleSet, Timeline};
use crate::time::Span;
use crate::verify::breach::Breach;
use crate::verify::facts::Facts;

/// Rest findings that count against the plan.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let people = facts.problem.people.ids();
    people.flat_map(|id| judge(facts, id).counting.into_iter().map(move |finding| Breach::rest(id, &finding))).collect()
}

/// The timeline of `work` of a person, under his own rules and on ship's days. Named breaks that touch count
/// as one.
pub(super) fn timeline(facts: &Facts, id: PersonId, work: Vec<Span>) -> Timeline {
    Timeline::new(set(facts, id), work, &facts.people[id].breaks).on_clock(facts.problem.clock.clone())
}

/// The rule set a person is under.
pub(super) fn set<'a>(facts: &Facts<'a>, id: PersonId) -> &'a RuleSet {
    &facts.problem.rule_sets[facts.problem.people[id].rest]
}

fn judge(facts: &Facts, id: PersonId) -> Judged {
    let whole = timeline(facts, id, facts.people[id].occupied.clone());
    let record = timeline(facts, id, recorded(&facts.problem.people[id]));
    rest::judge(set(facts, id), &whole, &record, facts.time)
}

fn recorded(person: &Person) -> Vec<Span> {
    person.recorded.iter().map(|r| r.span).collect()
}

/// The rest figures of a person, with what the record alone is to blame for.
pub(super) fn figures(facts: &Facts, id: PersonId) -> RestFigures {
    let whole = timeline(facts, id, facts.people[id].occupied.clone());
    let figures = rest::figures(&whole, facts.time);
    let known_from = facts.problem.people[id].known_from(facts.time.start());
    RestFigures {
        least_24h: figures.least_24h,
        least_24h_from: figures.least_24h_from,
        best_two_24h: figures.best_two_24h,
        longest_24h: figures.longest_24h,
        least_7d: figures.least_7d,
        least_7d_from: figures.least_7d_from,
        recorded_findings: judge(facts, id).recorded,
        not_checkable_before: rest::uncheckable_before(set(facts, id), &whole, &facts.people[id].breaks, known_from, facts.time),
    }
}
