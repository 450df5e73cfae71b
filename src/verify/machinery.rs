//! Rule 10: able machines in every group, and machines never out together.

use crate::account::{MachineryRow, ShortOf, Shortfall};
use crate::id::{GroupId, IdVec, UnitId};
use crate::time::{Moment, Span};
use crate::verify::facts::Facts;
use crate::verify::short;
use crate::verify::spans::{slots, touches};

/// What the plan's slots come to.
#[derive(Default)]
pub(super) struct Machinery {
    /// Rows of equal state, per group, then time.
    pub(super) rows: Vec<MachineryRow>,
    /// Stretches that count as short, in time order.
    pub(super) shortfalls: Vec<Shortfall>,
    /// Missing units × slots × mode weight.
    pub(super) missing: i64,
}

/// State of a group in one slot.
struct State {
    slot: Span,
    out: Vec<UnitId>,
    able: u32,
    needed: u32,
    weight: u32,
}

/// Goes through all slots of the plan, group by group, then set by set of units never out together.
pub(super) fn machinery(facts: &Facts) -> Machinery {
    let mut result = Machinery::default();
    let out: IdVec<UnitId, Vec<Span>> = facts.problem.units.ids().map(|unit| out(facts, unit)).collect();
    let is_out = |unit: UnitId, slot: Span| touches(&out[unit], slot);
    for group in facts.problem.groups.ids() {
        let states: Vec<State> = slots(facts.problem.grid, facts.time).map(|(_, span)| state(facts, group, span, &is_out)).collect();
        for (state, counts) in states.iter().zip(counting(facts, group, &states)) {
            push_row(&mut result.rows, group, state);
            if counts {
                result.missing += i64::from(state.needed - state.able) * i64::from(state.weight);
                short::extend(&mut result.shortfalls, state.slot, ShortOf::Units { group, able: state.able, needed: state.needed });
            }
        }
    }
    for (set, rule) in facts.problem.never_together.iter().enumerate() {
        for (_, slot) in slots(facts.problem.grid, facts.time) {
            let count = rule.units.iter().filter(|unit| is_out(**unit, slot)).count();
            let out = u32::try_from(count).unwrap_or(u32::MAX);
            if out > rule.most_out {
                result.missing += 1;
                short::extend(&mut result.shortfalls, slot, ShortOf::Together { set, out, most_out: rule.most_out });
            }
        }
    }
    result.shortfalls.sort_by_key(|shortfall| shortfall.span);
    result
}

/// When a unit is out: for reasons of its own, and from the first start of a task or duty that takes it out
/// (or from the start of the plan) to the last end of one that hands it back (or to the end of the layout).
/// One that is handed back only before it is taken out stays out to the end. A duty that does both has it out for
/// its own time, each time it is done.
fn out(facts: &Facts, unit: UnitId) -> Vec<Span> {
    let problem = facts.problem;
    let tasks = || problem.tasks.pairs().filter_map(|(id, task)| Some((task, facts.task_span(id)?)));
    let duties = || problem.duties.pairs().filter_map(|(id, duty)| Some((duty, facts.duties[id]?)));
    let taken = tasks().filter(|(task, _)| task.takes_out.contains(&unit)).map(|(_, span)| span.start());
    let taken = taken.chain(duties().filter(|(duty, _)| duty.opens(unit)).map(|(_, span)| span.start())).min();
    let back = tasks().filter(|(task, _)| task.hands_back.contains(&unit)).map(|(_, span)| span.end());
    let back = back.chain(duties().filter(|(duty, _)| duty.closes(unit)).map(|(_, span)| span.end())).max();
    let by_plan = match (taken, back) {
        (None, None) => None,
        (None, Some(back)) => Span::new(problem.start, back),
        (Some(taken), None) => Span::new(taken, problem.layout_end),
        (Some(taken), Some(back)) => Span::new(taken, back).or_else(|| Span::new(taken, problem.layout_end)),
    };
    let borrowed = duties().filter(|(duty, _)| duty.borrows(unit)).map(|(_, span)| span);
    problem.units[unit].out.iter().copied().chain(by_plan).chain(borrowed).collect()
}

fn state(facts: &Facts, group: GroupId, slot: Span, is_out: &impl Fn(UnitId, Span) -> bool) -> State {
    let units = &facts.problem.groups[group].units;
    let out: Vec<UnitId> = units.iter().copied().filter(|unit| is_out(*unit, slot)).collect();
    let mode = facts.problem.mode_at(slot.start()).map(|mode| &facts.problem.modes[mode]);
    let needed = mode.and_then(|m| m.needs.iter().find(|(g, _)| *g == group)).map_or(0, |(_, number)| *number);
    let able = u32::try_from(units.len() - out.len()).unwrap_or(u32::MAX);
    State { slot, out, able, needed, weight: mode.map_or(1, |m| m.weight) }
}

/// Which slots count as short. A group that lasts a while may be short that long from the start of a run of
/// short slots; a run that begins before the group was whole for long enough goes on with the one before, that of
/// before the plan included.
fn counting(facts: &Facts, group: GroupId, states: &[State]) -> Vec<bool> {
    let row = &facts.problem.groups[group];
    let mut run_start: Option<Moment> = row.short_before.map(Span::start);
    let mut last_short_end: Option<Moment> = row.short_before.map(Span::end);
    let mut counts = Vec::with_capacity(states.len());
    for state in states {
        if state.able >= state.needed {
            counts.push(false);
            continue;
        }
        let goes_on = last_short_end.is_some_and(|end| state.slot.start() == end || state.slot.start() - end < row.recover);
        let start = if goes_on { run_start.unwrap_or(state.slot.start()) } else { state.slot.start() };
        run_start = Some(start);
        last_short_end = Some(state.slot.end());
        counts.push(row.lasts.is_none_or(|lasts| state.slot.end() - start > lasts));
    }
    counts
}

fn push_row(rows: &mut Vec<MachineryRow>, group: GroupId, state: &State) {
    match rows.last_mut() {
        Some(last)
            if last.group == group
                && last.span.end() == state.slot.start()
                && (last.able, last.needed, &last.out) == (state.able, state.needed, &state.out) =>
        {
            last.span = last.span.hull(state.slot);
        }
        _ => rows.push(MachineryRow { group, span: state.slot, able: state.able, needed: state.needed, out: state.out.clone() }),
    }
}
