//! Which units are out when, and how far groups fall short of what their mode needs.

use super::state::State;
use crate::bits::Bits;
use crate::calendar::units_short;
use crate::id::{IdVec, UnitId};
use crate::time::{Moment, Span};

/// Slots in which each unit is out.
pub(super) fn out(state: &State) -> IdVec<UnitId, Bits> {
    let (ground, problem) = (state.ground, state.ground.problem);
    let mut all = IdVec::new();
    for (id, unit) in problem.units.pairs() {
        let mut bits = Bits::none(ground.len);
        for span in &unit.out {
            let (from, to) = ground.touching(*span);
            bits.insert_range(from, to);
        }
        let tasks = |pick: &dyn Fn(&crate::model::Task) -> bool| -> Vec<crate::id::TaskId> {
            problem.tasks.pairs().filter(|(_, t)| pick(t)).map(|(t, _)| t).collect()
        };
        let moments = |slots: Vec<usize>| slots.into_iter().map(|slot| state.moment(slot)).collect();
        let mut starts: Vec<Moment> =
            moments(tasks(&|t| t.takes_out.contains(&id)).into_iter().filter_map(|t| state.start_of(t)).collect());
        let mut ends: Vec<Moment> = moments(tasks(&|t| t.hands_back.contains(&id)).into_iter().filter_map(|t| state.end_of(t)).collect());
        for (duty_id, duty) in problem.duties.pairs() {
            let span = super::context::duty_span(duty, state.context.duties[duty_id]);
            if duty.opens(id) {
                starts.push(span.start());
            }
            if duty.closes(id) {
                ends.push(span.end());
            }
            if duty.borrows(id) {
                let (from, to) = ground.touching(span);
                bits.insert_range(from, to);
            }
        }
        let by_plan = match (starts.into_iter().min(), ends.into_iter().max()) {
            (None, None) => None,
            (None, Some(back)) => Span::new(problem.start, back),
            // What is handed back only before it is taken out stays out to the end.
            (Some(taken), back) => back.and_then(|back| Span::new(taken, back)).or_else(|| Span::new(taken, problem.layout_end)),
        };
        if let Some((from, to)) = by_plan.map(|span| ground.touching(span)) {
            bits.insert_range(from, to);
        }
        all.push(bits);
    }
    all
}

/// Missing units × slots × mode weight, up to the end of the plan.
pub(super) fn shortfall(state: &State) -> i64 {
    let (ground, problem) = (state.ground, state.ground.problem);
    if problem.units.is_empty() {
        return 0;
    }
    let end = ground.slot_from(problem.end_for(state.moment(state.finish())));
    units_short(problem, &out(state), end, |slot| state.moment(slot), |slot| ground.modes[slot])
}
