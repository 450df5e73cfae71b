//! Rule 8, time on hand: only inside the ordinary hours of one working stretch, named breaks included.

use crate::model::Person;
use crate::time::Span;
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;
use crate::verify::spans::hull;

/// Breaches in the listed time on hand.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (person, own) in facts.people.pairs() {
        let about = |clause, window| Breach::new(clause).by(person).of(Thing::OnHand).during(window);
        for span in &own.on_hand {
            if !in_one_stretch(&facts.problem.people[person], *span) {
                breaches.push(about(Clause::OnHandOutside, *span));
            }
        }
        let twice = own.on_hand.windows(2).filter_map(|pair| pair[0].intersection(pair[1]));
        breaches.extend(twice.map(|window| about(Clause::OnHandTwice, window)));
    }
    breaches
}

fn in_one_stretch(person: &Person, span: Span) -> bool {
    person.stretches.iter().any(|stretch| {
        let allowed: Vec<Span> = stretch.ordinary.iter().chain(&person.breaks).copied().collect();
        hull(stretch.ordinary.iter().copied()).is_some_and(|hull| hull.covers(span)) && span.without(&allowed).is_empty()
    })
}
