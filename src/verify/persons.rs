//! Rule 7: one person through all spells where the task says so, and nobody who did what bars him.

use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;

/// Breaches of same-person and different-person rules.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (id, task) in facts.problem.tasks.pairs() {
        let spells = &facts.tasks[id];
        for need in &task.same {
            let first = spells.first().and_then(|s| s.team.get(*need));
            for spell in spells.iter().skip(1) {
                let person = spell.team.get(*need);
                if let (Some(first), Some(person)) = (first, person)
                    && first != person
                {
                    breaches.push(Breach::new(Clause::NotSame).by(*person).of(Thing::Task(id)).during(spell.span()));
                }
            }
        }
        for rule in &task.different {
            for spell in spells {
                let Some(person) = spell.team.get(rule.need) else { continue };
                let barred = facts.tasks[rule.other].iter().any(|other| {
                    let named = |position: usize| rule.other_needs.is_empty() || rule.other_needs.contains(&position);
                    other.team.iter().enumerate().any(|(position, p)| p == person && named(position))
                });
                if barred {
                    let breach = Breach::new(Clause::NotDifferent).by(*person).of(Thing::Task(id));
                    breaches.push(breach.against(Thing::Task(rule.other)).during(spell.span()));
                }
            }
        }
    }
    breaches
}
