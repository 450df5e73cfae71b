//! Rule 5, order: what comes after what, with waits, and between which moments.

use crate::time::Span;
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;

/// Breaches of order and windows of tasks, and whatever lies outside the plan.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let grid = facts.problem.grid;
    let mut breaches = Vec::new();
    for (id, task) in facts.problem.tasks.pairs() {
        let Some(span) = facts.task_span(id) else { continue };
        let about = |clause| Breach::new(clause).of(Thing::Task(id));
        for after in &task.after {
            let Some(before) = facts.task_span(after.task) else { continue };
            let earliest = grid.moment(grid.ceil(before.end() + after.lag));
            breaches.extend(
                Span::new(span.start(), earliest).map(|early| about(Clause::TooSoon).against(Thing::Task(after.task)).during(early)),
            );
        }
        let early = task.not_before.and_then(|earliest| Span::new(span.start(), earliest));
        breaches.extend(early.map(|window| about(Clause::NotBefore).during(window)));
        let late = task.not_after.and_then(|latest| Span::new(latest, span.end()));
        breaches.extend(late.map(|window| about(Clause::NotAfter).during(window)));
    }
    let outside = |span: Span| span.without(&[facts.time]);
    for spell in &facts.plan.spells {
        let beyond = outside(spell.span()).into_iter();
        breaches.extend(beyond.map(|window| Breach::new(Clause::OutsidePlan).of(Thing::Task(spell.task)).during(window)));
    }
    for hand in &facts.plan.on_hand {
        let beyond = outside(hand.span).into_iter();
        breaches.extend(beyond.map(|window| Breach::new(Clause::OutsidePlan).of(Thing::OnHand).by(hand.person).during(window)));
    }
    breaches
}
