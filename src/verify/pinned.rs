//! What was decided beforehand: starts, people put on tasks, people kept off them.

use crate::time::Span;
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;
use crate::verify::under_way;

/// Breaches of what was decided about tasks.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (id, task) in facts.problem.tasks.pairs() {
        let (Some(asked), Some(span)) = (task.pinned.start, facts.task_span(id)) else { continue };
        if let Some(apart) = Span::new(span.start().min(asked), span.start().max(asked)) {
            breaches.push(Breach::new(Clause::NotAtItsTime).of(Thing::Task(id)).during(apart));
        }
    }
    for spell in facts.plan.spells.iter().filter(|spell| !under_way::has_to_go_on(facts, spell)) {
        let pinned = &facts.problem.tasks[spell.task].pinned;
        let about = |clause| Breach::new(clause).of(Thing::Task(spell.task)).during(spell.span());
        for (position, person) in spell.team.iter().enumerate() {
            if pinned.team.iter().any(|(need, put)| *need == position && put != person) {
                breaches.push(about(Clause::NotWhoWasPut).by(*person));
            }
            if pinned.off.contains(&(position, *person)) {
                breaches.push(about(Clause::KeptOff).by(*person));
            }
        }
    }
    breaches
}
