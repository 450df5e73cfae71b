//! Rule 8, caps: job time in a ship's day, and ship's days with overtime.

use crate::id::PersonId;
use crate::time::Span;
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;
use crate::verify::spans::{outside, total, touches, within};

/// Breaches of job caps and of limits on evenings.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (id, person) in facts.problem.people.pairs() {
        let labour = &facts.people[id].labour;
        for (day, span) in &facts.days {
            let done = total(&within(labour, *span));
            if let Some(cap) = person.job_cap
                && done > cap
            {
                breaches.push(Breach::new(Clause::OverCap).by(id).of(Thing::Day(*day)).during(*span).time(done, cap));
            }
        }
        let most = person.evenings.map(|most| usize::try_from(most).unwrap_or(usize::MAX));
        let found = evenings(facts, id);
        if let Some(most) = most.filter(|most| found > *most) {
            breaches.push(Breach::new(Clause::TooManyEvenings).by(id).count(found, most));
        }
    }
    breaches
}

/// A person's task time outside ordinary hours, in order.
pub(super) fn overtime(facts: &Facts, id: PersonId) -> Vec<Span> {
    let ordinary: Vec<Span> = facts.problem.people[id].stretches.iter().flat_map(|s| s.ordinary.iter().copied()).collect();
    outside(&facts.people[id].labour, &ordinary)
}

/// Ship's days on which a person has any overtime.
pub(super) fn evenings(facts: &Facts, id: PersonId) -> usize {
    let overtime = overtime(facts, id);
    facts.days.iter().filter(|(_, day)| touches(&overtime, *day)).count()
}
