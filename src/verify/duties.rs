//! Rule 5, duties: fixed ones at their time, movable ones on the grid inside their window.

use crate::model::When;
use crate::time::{Minutes, Span};
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;

/// Breaches in the times of duties.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (id, duty) in facts.problem.duties.pairs() {
        let about = |clause| Breach::new(clause).of(Thing::Duty(id));
        let Some(placed) = facts.plan.duties.get(id).copied() else {
            breaches.push(about(Clause::DutyNotPlaced));
            continue;
        };
        match duty.when {
            When::Fixed(span) => {
                if placed != span.start() {
                    breaches.push(about(Clause::DutyMoved).during(span));
                }
            }
            When::Movable { window, length } => {
                let from_start = Span::new(window.start().max(facts.problem.start), window.end());
                let inside = from_start.is_some_and(|w| w.start() <= placed && placed <= w.end() - length.max(Minutes::ZERO));
                if !inside {
                    breaches.push(about(Clause::DutyOutsideWindow).during(window));
                }
                if !facts.problem.grid.aligned(placed) {
                    breaches.push(about(Clause::DutyOffGrid).during(window));
                }
            }
        }
    }
    breaches
}
