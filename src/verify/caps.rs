//! Rule 8, caps: job time in a ship's day, and ship's days with overtime.

use crate::id::PersonId;
use crate::model::Before;
use crate::time::{Minutes, Span};
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;
use crate::verify::spans::{outside, total, touches, within};

/// Breaches of job caps and of limits on evenings.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (id, person) in facts.problem.people.pairs() {
        let labour = &facts.people[id].labour;
        for (day, span) in &facts.days {
            let planned = total(&within(labour, *span));
            let done = planned + before(facts, id, *span).worked;
            // What was worked before planning begins stands, above the cap as it may be; nothing may come on top of it.
            if let Some(cap) = person.job_cap
                && done > cap
                && planned > Minutes::ZERO
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

/// Ship's days on which a person has any overtime. A day that had some before planning begins has been counted.
pub(super) fn evenings(facts: &Facts, id: PersonId) -> usize {
    let overtime = overtime(facts, id);
    let counted = |day: Span| before(facts, id, day).overtime > Minutes::ZERO;
    facts.days.iter().filter(|(_, day)| touches(&overtime, *day) && !counted(*day)).count()
}

/// What `day` has seen of a person before planning begins; nothing on any day but the one of the start.
pub(super) fn before(facts: &Facts, id: PersonId, day: Span) -> Before {
    if day.contains(facts.time.start()) { facts.problem.people[id].before } else { Before::default() }
}
