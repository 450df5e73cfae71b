//! Machines that broke down: from when to when the log has them out.

use crate::id::{TaskId, UnitId};
use crate::replan::progress::Work;
use crate::replan::{Effects, State, Whole};
use crate::time::{Moment, Span};

/// When the log has a machine out. Where it does not say until when, that is until what the log added for it has handed it
/// back, as far as that is over at `start`; to the end of all that is laid out where it is not. What is only to be handed
/// back later is for the plan to say: see [`mended_by`].
pub(super) fn broken(whole: &Whole, work: &Work, effects: &Effects, unit: UnitId, start: Moment) -> Vec<Span> {
    let to_come = mended_by(whole, work, unit, start);
    let back: Vec<Moment> = if to_come { Vec::new() } else { handed_back(whole, work, unit, start) };
    let cut = |(span, ends): &(Span, bool)| {
        let end = back.iter().copied().filter(|at| !ends && *at > span.start()).max().unwrap_or(span.end());
        Span::new(span.start(), end.min(span.end()))
    };
    effects.out[unit].iter().filter_map(cut).collect()
}

/// Whether something that the log added and that is still to be done hands a machine back. What the job itself has for a
/// machine, such as cleaning it every week, does not mend it.
pub(super) fn mended_by(whole: &Whole, work: &Work, unit: UnitId, start: Moment) -> bool {
    added(whole, unit).any(|id| work.left[id].is_open()) || duty_ends(whole, unit, start).any(|end| end > start)
}

/// When what the log added has handed a machine back.
fn handed_back(whole: &Whole, work: &Work, unit: UnitId, start: Moment) -> Vec<Moment> {
    let done = added(whole, unit).filter_map(|id| match work.left[id].state {
        State::Done(end) => Some(end),
        State::Open | State::Dropped | State::Ahead => None,
    });
    done.chain(duty_ends(whole, unit, start).filter(|end| *end <= start)).collect()
}

/// When duties that the log has added by `start` hand a machine back, at the earliest.
fn duty_ends(whole: &Whole, unit: UnitId, start: Moment) -> impl Iterator<Item = Moment> {
    let known = move |entry: usize| whole.log.entries.get(entry).is_some_and(|e| e.at <= start);
    let duties = whole.log.duties.iter().filter(move |(entry, duty)| known(*entry) && duty.hands_back.contains(&unit));
    duties.map(|(_, duty)| duty.when.earliest_end())
}

/// Tasks that the log added and that hand a machine back.
fn added(whole: &Whole, unit: UnitId) -> impl Iterator<Item = TaskId> {
    whole.parts.tasks.pairs().skip(whole.own).filter(move |(_, task)| task.hands_back.contains(&unit)).map(|(id, _)| id)
}
