//! Rule 8, hours: tasks are done in ordinary hours and overtime; rule 4: a spell lies in one working stretch
//! of every member of its team. Emergency tasks are free of both.

use crate::model::Stretch;
use crate::plan::Spell;
use crate::time::Span;
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;
use crate::verify::spans::outside;

/// Work outside hours, and spells that reach from one working stretch into another.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (person, own) in facts.people.pairs() {
        for spell in own.spells.iter().filter(|s| !facts.problem.tasks[s.task].emergency) {
            let about = |clause, window| Breach::new(clause).by(person).of(Thing::Task(spell.task)).during(window);
            let stretches = facts.problem.people[person].stretches.iter().filter(|s| s.hull().overlaps(spell.span()));
            let hours: Vec<Span> = stretches.clone().flat_map(Stretch::hours).collect();
            let beyond = outside(&spell.work, &hours);
            if beyond.is_empty() && !stretches.into_iter().any(|s| covers(s.hull(), spell)) {
                breaches.push(about(Clause::NotOneStretch, spell.span()));
            }
            breaches.extend(beyond.into_iter().map(|window| about(Clause::OutsideHours, window)));
        }
    }
    breaches
}

fn covers(hull: Span, spell: &Spell) -> bool {
    hull.covers(spell.span())
}
