//! Which units are out when, and how far groups fall short of what their mode needs.

use super::state::State;
use crate::bits::Bits;
use crate::id::{IdVec, UnitId};
use crate::time::{Minutes, Moment, Span};

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
            if duty.takes_out.contains(&id) {
                starts.push(span.start());
            }
            if duty.hands_back.contains(&id) {
                ends.push(span.end());
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
    let out = out(state);
    let end = ground.slot_from(problem.end_for(state.moment(state.finish())));
    let any_out = |units: &[UnitId]| {
        let mut any = Bits::none(ground.len);
        for unit in units {
            any.unite(&out[*unit]);
        }
        any
    };
    let mut total = 0;
    for (id, group) in problem.groups.pairs() {
        let lasts = group.lasts.unwrap_or(Minutes::ZERO);
        // With none of its units out it is short only where more are needed than there are.
        let needs = problem.modes.iter().flat_map(|mode| &mode.needs);
        let always = needs.filter(|(g, _)| *g == id).any(|(_, needed)| *needed as usize > group.units.len());
        let slots = if always { Bits::all(ground.len) } else { any_out(&group.units) };
        // When the present run of short slots began, and when the last one ended.
        let (mut began, mut ended) = (group.short_before.map(Span::start), group.short_before.map(Span::end));
        for slot in slots.iter().take_while(|slot| *slot < end) {
            let Some(mode) = ground.modes[slot] else { continue };
            let mode = &problem.modes[mode];
            let Some(needed) = mode.needs.iter().find(|(g, _)| *g == id).map(|(_, n)| *n) else { continue };
            let able = group.units.iter().filter(|u| !out[**u].has(slot)).count();
            let missing = i64::from(needed) - i64::try_from(able).unwrap_or(0);
            if missing <= 0 {
                continue;
            }
            let (from, to) = (state.moment(slot), state.moment(slot + 1));
            let goes_on = ended.is_some_and(|end| end >= from || from - end < group.recover);
            let since = began.filter(|_| goes_on).unwrap_or(from);
            (began, ended) = (Some(since), Some(to));
            if to - since > lasts {
                total += missing * i64::from(mode.weight);
            }
        }
    }
    for set in &problem.never_together {
        let most = set.most_out as usize;
        let too_many = |slot: &usize| set.units.iter().filter(|u| out[**u].has(*slot)).count() > most;
        let slots = any_out(&set.units);
        total += slots.iter().take_while(|slot| *slot < end).filter(too_many).map(|_| 1_i64).sum::<i64>();
    }
    total
}
