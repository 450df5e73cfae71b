//! What watches and fixed duties alone do to the rest of people.

use crate::diag::{Code, Diagnostic, Place};
use crate::id::{DutyId, IdVec, PersonId, RuleSetId, TurnId};
use crate::input::index::Index;
use crate::input::lower::duties::attended;
use crate::input::sink::Sink;
use crate::input::times::Times;
use crate::model::{Duty, Person, Stand, Turn, cannot_steer};
use crate::rest::rule::Kind;
use crate::rest::{RuleSet, Timeline, judge};
use crate::time::{Span, union};

/// Reports people whose watches and fixed duties break a rest rule before the first planning end, with
/// nothing planned at all. The record's own findings do not count.
pub(in crate::input) fn fixed_work(
    people: &IdVec<PersonId, Person>,
    turns: &IdVec<TurnId, Turn>,
    duties: &IdVec<DutyId, Duty>,
    sets: &IdVec<RuleSetId, RuleSet>,
    index: &Index,
    times: &Times,
    sink: &Sink,
) {
    let Some(scope) = Span::new(times.start, times.end) else { return };
    for (id, person) in people.pairs() {
        let set = &sets[person.rest];
        let own: Vec<Span> = turns.iter().filter(|t| t.stand == Stand::Fixed(id)).map(|t| t.span).collect();
        let called = duties.iter().filter(|d| d.who.contains(&id)).flat_map(|d| attended(d, &own));
        let recorded: Vec<Span> = person.recorded.iter().map(|r| r.span).collect();
        let work = recorded.iter().copied().chain(own.iter().copied()).chain(called).collect();
        let line = |work| Timeline::new(set, work, &person.breaks).on_clock(times.clock.clone());
        let judged = judge(set, &line(work), &line(recorded), scope);
        let (Some(first), Some(place)) = (judged.counting.first(), index.people.place(&person.code)) else { continue };
        let rule = &set.rules[first.rule];
        let message = format!("the watches and fixed duties of {} alone break a rest rule", person.code);
        let window = format!("from {} to {}", times.say(first.window.start()), times.say(first.window.end()));
        let label = format!("{}: {} found {window}", rule.kind.text(), first.found);
        sink.put(Diagnostic::new(Code::FixedWorkBreaksRest, message).at(place, label).help("take a watch or a duty off this person"));
    }
}

/// Reports people with more ordinary hours in one piece than their rules let them work without a break: time on hand between
/// two tasks is work to the rules, so nothing but hours that leave the breaks out lets them work on that day.
pub(in crate::input) fn hours_without_a_break(
    people: &IdVec<PersonId, Person>,
    sets: &IdVec<RuleSetId, RuleSet>,
    index: &Index,
    sink: &Sink,
) {
    for person in people.iter() {
        let limits = sets[person.rest].rules.iter().filter_map(|rule| match rule.kind {
            Kind::UnbrokenWork(limit) => Some((limit.at_most, rule)),
            _ => None,
        });
        let Some((at_most, rule)) = limits.min_by_key(|(at_most, _)| *at_most) else { continue };
        let pieces = person.stretches.iter().flat_map(|stretch| union(stretch.ordinary.clone()));
        let Some(longest) = pieces.map(Span::length).max().filter(|longest| *longest > at_most) else { continue };
        let Some(place) = index.people.place(&person.code) else { continue };
        let message = format!("{} has ordinary hours of {longest} in one piece, of which no more than {at_most} can be used", person.code);
        let help = "leave breaks out of the hours, as in \"08:00-10:00, 10:30-12:30\": time on hand between two tasks counts as work";
        let label = format!("rule {}: {}", rule.code, rule.kind.text());
        sink.put(Diagnostic::new(Code::HoursWithoutBreak, message).at(place, label).help(help));
    }
}

/// Reports rules and readings that no plan can be made by; `head` is where they are chosen for everybody.
pub(in crate::input) fn cannot_plan(
    people: &IdVec<PersonId, Person>,
    sets: &IdVec<RuleSetId, RuleSet>,
    duties: &IdVec<DutyId, Duty>,
    head: Option<Place>,
    times: &Times,
    sink: &Sink,
) {
    let reasons = cannot_steer(people, sets, duties, &times.clock);
    if reasons.is_empty() {
        return;
    }
    let message = "records can be checked by these rest rules, and no plan can be made by them";
    let help = "choose another set or reading under [rest] to plan, and check the plan by this one afterwards";
    let diagnostic = Diagnostic::new(Code::CannotPlan, message).help(help);
    sink.put(match head {
        Some(head) => diagnostic.at(head, reasons.join("; ")),
        None => diagnostic,
    });
}
