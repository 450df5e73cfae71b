//! Rule 1: one thing at a time, and away means away.
//!
//! Spells count with their pauses: nobody does anything else in a pause of his own spell. A duty done along
//! with a watch goes with the watch, but two such duties at once are two things. Recorded work that reaches past the
//! start of the plan, a call-out that is not over above all, takes its time like anything else; only where the record
//! may mean what is planned (a watch where there is one, work on a task) it is no second thing.

use crate::id::PersonId;
use crate::model::RecordKind;
use crate::time::Span;
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;

/// All breaches of rule 1.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (person, own) in facts.people.pairs() {
        let spells = own.spells.iter().map(|s| (s.span(), Thing::Task(s.task)));
        let turns = own.turns.iter().map(|(turn, span)| (*span, Thing::Turn(*turn)));
        let duties = own.attended.iter().map(|(duty, span)| (*span, Thing::Duty(*duty)));
        let mut things: Vec<(Span, Thing)> = spells.chain(turns).chain(duties).collect();
        let along: Vec<(Span, Thing)> = own.along.iter().map(|(duty, span)| (*span, Thing::Duty(*duty))).collect();
        breaches.extend(overlaps(person, &mut things));
        breaches.extend(overlaps(person, &mut along.clone()));
        breaches.extend(own.recorded.iter().flat_map(|record| during(person, *record, &things)));
        let on_hand = own.on_hand.iter().map(|span| (*span, Thing::OnHand));
        for (span, thing) in things.into_iter().chain(on_hand) {
            let away = facts.problem.people[person].away.iter().filter_map(|away| away.intersection(span));
            breaches.extend(away.map(|window| Breach::new(Clause::Away).by(person).of(thing).during(window)));
        }
    }
    breaches
}

/// Each thing that starts before an earlier one has ended, against the one that lasts longest so far.
fn overlaps(person: PersonId, things: &mut [(Span, Thing)]) -> Vec<Breach> {
    things.sort_unstable();
    let mut breaches = Vec::new();
    let mut longest: Option<(Span, Thing)> = None;
    for (span, thing) in things.iter().copied() {
        match longest {
            Some((before, first)) => {
                if let Some(window) = before.intersection(span) {
                    breaches.push(Breach::new(Clause::TwoThings).by(person).of(first).against(thing).during(window));
                }
                if span.end() > before.end() {
                    longest = Some((span, thing));
                }
            }
            None => longest = Some((span, thing)),
        }
    }
    breaches
}

/// Things that the person cannot do because he is at recorded work.
fn during(person: PersonId, (kind, record): (RecordKind, Span), things: &[(Span, Thing)]) -> Vec<Breach> {
    let hindered = |thing: &Thing| match thing {
        Thing::Task(_) => kind.keeps_from_tasks(),
        _ => kind.keeps_from_all(),
    };
    let things = things.iter().filter(|(_, thing)| hindered(thing));
    let shared = things.filter_map(|(span, thing)| Some((span.intersection(record)?, *thing)));
    let breach = |(window, thing)| Breach::new(Clause::TwoThings).by(person).of(thing).against(Thing::Recorded(kind)).during(window);
    shared.map(breach).collect()
}
