//! Machines that broke down: from when to when the log has them out.

use crate::id::UnitId;
use crate::replan::progress::Work;
use crate::replan::{Effects, State, Whole};
use crate::time::{Moment, Span};

/// When the log has a machine out, each with whether it is for the plan to say when that ends. Where the log does not say until
/// when, that is until what it added for the machine has handed it back, and to the end of all that is laid out where that is
/// not over at `start`: then something may be to come that hands it back.
pub(super) fn broken(whole: &Whole, work: &Work, effects: &Effects, unit: UnitId, start: Moment) -> Vec<(Span, bool)> {
    let mending = mending(whole, work, unit, start);
    let cut = |(span, ends): &(Span, bool)| {
        let open = |row: &&Mending| row.back.is_none_or(|back| back > span.start());
        let mut mending: Vec<&Mending> = mending.iter().filter(|_| !ends).filter(open).collect();
        // What was added before it broke down is for something else, unless nothing was added since.
        if mending.iter().any(|row| row.added >= span.start()) {
            mending.retain(|row| row.added >= span.start());
        }
        let all_back = |at: Moment| mending.iter().filter(|row| row.added <= at).all(|row| row.back.is_some_and(|back| back <= at));
        let end = mending.iter().filter_map(|row| row.back).filter(|at| all_back(*at)).min();
        let to_come = end.is_none() && mending.iter().any(|row| row.back.is_none());
        Some((Span::new(span.start(), end.unwrap_or(span.end()).min(span.end()))?, to_come))
    };
    effects.out[unit].iter().filter_map(cut).collect()
}

/// Something the log added that hands a machine back. What the job itself has for a machine, such as cleaning it every week,
/// does not mend it.
struct Mending {
    /// When the log added it.
    added: Moment,
    /// When it handed the machine back, if it has.
    back: Option<Moment>,
}

/// All that the log has added by `start` and that hands a machine back, but for what will not be done.
fn mending(whole: &Whole, work: &Work, unit: UnitId, start: Moment) -> Vec<Mending> {
    let added = |entry: usize| whole.log.entries.get(entry).map(|e| e.at);
    let ids = whole.parts.tasks.ids().skip(whole.own);
    let tasks = whole.log.tasks.iter().zip(ids).filter(|((_, task), _)| task.hands_back.contains(&unit));
    let tasks = tasks.filter_map(|((entry, _), id)| match work.left[id].state {
        State::Open => Some(Mending { added: added(*entry)?, back: None }),
        State::Done(end) => Some(Mending { added: added(*entry)?, back: Some(end) }),
        State::Dropped | State::Ahead => None,
    });
    let duties = whole.log.duties.iter().filter(|(_, duty)| duty.hands_back.contains(&unit)).filter_map(|(entry, duty)| {
        let added = added(*entry).filter(|at| *at <= start)?;
        Some(Mending { added, back: Some(duty.when.earliest_end()).filter(|end| *end <= start) })
    });
    tasks.chain(duties).collect()
}
