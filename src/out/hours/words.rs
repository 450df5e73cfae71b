//! Times, rules and work in words, for outputs about hours. Numbers and their units are tied.

use crate::account::What;
use crate::clock::ShipClock;
use crate::hours::View;
use crate::id::PersonId;
use crate::model::{Problem, RecordKind};
use crate::out::page::TIE;
use crate::out::words::tied;
use crate::rest::rule::{Limit, Rule};
use crate::rest::{Finding, RuleSet};
use crate::time::{Minutes, Moment, Span};

/// What comes before any figure of this program.
pub(in crate::out) const FIRST: &str = "The rules of the flag state, the company's procedures, permits to work and the judgement of the \
     master and of the chief engineer come first.";

/// `2027-03-04 08:00` by ship's clock.
pub(super) fn at(clock: &ShipClock, moment: Moment) -> String {
    tied(&clock.local(moment).format("%Y-%m-%d %H:%M").to_string())
}

/// `2027-03-04 08:00 to 2027-03-05 08:00`; the date once where it is the same.
pub(super) fn from_to(clock: &ShipClock, span: Span) -> String {
    let (start, end) = (clock.day(span.start()), clock.day(span.end()));
    if start == end {
        return tied(&format!("{}-{}", at(clock, span.start()), clock.hour(span.end())));
    }
    if clock.day_span(start).end() == span.end() {
        return tied(&format!("{}-24:00", at(clock, span.start())));
    }
    format!("{} to {}", at(clock, span.start()), at(clock, span.end()))
}

/// `7 h 30`, tied.
pub(super) fn hours(length: Minutes) -> String {
    tied(&length.to_string())
}

/// What a finding says beside its rule: `9 h found, 1 h too little`.
pub(super) fn numbers(rule: &Rule, finding: &Finding) -> String {
    let (found, by) = (hours(finding.found), hours(finding.shortfall()));
    match rule.kind.limit() {
        Limit::AtLeast(_) => format!("{found} found, {by} too little"),
        Limit::AtMost(_) => format!("{found} found, {by} too much"),
    }
}

/// The rule a finding breaks.
pub(super) fn rule<'a>(set: &'a RuleSet, finding: &Finding) -> &'a Rule {
    // A finding is made by the rule at this position of its set.
    &set.rules[finding.rule.min(set.rules.len() - 1)]
}

/// The rule set of a person.
pub(super) fn set(problem: &Problem, person: PersonId) -> &RuleSet {
    &problem.rule_sets[problem.people[person].rest]
}

/// What a person does, in a word with its code.
pub(super) fn what(problem: &Problem, what: What) -> String {
    match what {
        What::Task(task) => format!("task {}", problem.tasks[task].code),
        What::Watch(turn) => format!("watch {}", problem.posts[problem.turns[turn].post].code),
        What::Duty(duty) => format!("duty {}", problem.duties[duty].code),
        What::Call => "recorded work".to_owned(),
        What::Break => "on hand".to_owned(),
        What::Rest => "rest".to_owned(),
        What::Away => "away".to_owned(),
    }
}

/// Kind of a recorded stretch.
pub(super) const fn kind(kind: RecordKind) -> &'static str {
    match kind {
        RecordKind::Watch => "watch",
        RecordKind::Task => "task",
        RecordKind::Duty => "duty",
        RecordKind::Call => "call-out",
        RecordKind::Drill => "drill",
        RecordKind::Emergency => "emergency",
        RecordKind::OnCall => "on call",
    }
}

/// What a person does in `part`, recorded or planned, each thing once in time order.
pub(super) fn doing(view: &View<'_>, person: PersonId, part: Span) -> String {
    let problem = view.problem;
    let recorded = problem.people[person].recorded.iter().filter(|r| r.span.overlaps(part));
    let mut things: Vec<(Span, String)> = recorded.map(|r| (r.span, kind(r.kind).to_owned())).collect();
    if let Some(plan) = &view.plan {
        let doings = plan.asked.doings(person).into_iter().filter(|d| d.span.overlaps(part));
        let counted = doings.filter(|d| !matches!(d.what, What::Call | What::Rest | What::Away));
        things.extend(counted.map(|d| (d.span, what(problem, d.what))));
    }
    things.sort();
    let mut names: Vec<String> = Vec::new();
    for (_, name) in things {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(", ")
}

/// Codes of people, apart by commas.
pub(super) fn people(problem: &Problem, people: &[PersonId]) -> String {
    people.iter().map(|p| tied(&problem.people[*p].code)).collect::<Vec<_>>().join(", ")
}

/// The rule sets in use, each with who is under it, in table order.
pub(super) fn sets_in_use(problem: &Problem) -> Vec<(&RuleSet, Vec<PersonId>)> {
    let under = |id| problem.people.pairs().filter(|(_, p)| p.rest == id).map(|(person, _)| person).collect::<Vec<_>>();
    problem.rule_sets.pairs().map(|(id, set)| (set, under(id))).filter(|(_, people)| !people.is_empty()).collect()
}

/// Each rule set in use with its readings, a paragraph each, for outputs that depend on them.
pub(in crate::out) fn sets_read_as(problem: &Problem) -> Vec<String> {
    let one = |(set, whose): (&RuleSet, Vec<PersonId>)| {
        let whose = if whose.len() == problem.people.len() { String::new() } else { format!(" for {}", people(problem, &whose)) };
        format!("Rest rules{whose}: {} ({}). {}", set.name, set.code, read_as(set))
    };
    sets_in_use(problem).into_iter().map(one).collect()
}

/// All readings of a set in one paragraph.
pub(super) fn read_as(set: &RuleSet) -> String {
    let readings: Vec<String> = set.reading_lines().into_iter().map(|(number, text)| format!("{number}{TIE}{text}")).collect();
    format!("Read as: {}.", readings.join("; "))
}
