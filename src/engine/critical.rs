//! The chain of tasks that decides when the last one ends.

use super::field::Found;
use super::state::State;
use crate::id::{Id, PersonId, TaskId};
use crate::rng::Stream;

/// A task that began as soon as another had ended, whose tools or people it wanted.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Pair {
    pub(super) first: TaskId,
    pub(super) second: TaskId,
    /// Who of the first could do the second.
    pub(super) person: Option<PersonId>,
}

/// Such pairs on one chain that leads up to the last end, between whose tasks nobody could have worked on. Where
/// several chains do, one by chance.
pub(super) fn pairs(found: &Found, random: &mut Stream) -> Vec<Pair> {
    let state = &found.state;
    let finish = state.finish();
    let last: Vec<TaskId> = state.placed.ids().filter(|t| state.end_of(*t) == Some(finish)).collect();
    let mut pairs = Vec::new();
    if last.is_empty() {
        return pairs;
    }
    let mut task = last[random.below(last.len())];
    loop {
        let before = before(found, task);
        if before.is_empty() {
            return pairs;
        }
        let (next, pair) = before[random.below(before.len())];
        pairs.extend(pair);
        task = next;
    }
}

/// What `task` began right after: what it comes after, and, as a pair, what it shares tools or people with.
fn before(found: &Found, task: TaskId) -> Vec<(TaskId, Option<Pair>)> {
    let state = &found.state;
    let ground = state.ground;
    let Some(start) = state.start_of(task) else { return Vec::new() };
    let teams = &found.field.alone.teams[task];
    let up_to = |end: usize| end == start || (end < start && teams.count_range(end, start) == 0);
    let asked = ground.tasks[task].after.iter();
    let mut before: Vec<(TaskId, Option<Pair>)> =
        asked.filter(|(other, lag)| state.end_of(*other).is_some_and(|end| up_to(end + lag))).map(|(other, _)| (*other, None)).collect();
    for other in ground.tasks.ids().filter(|t| *t != task && !ground.ancestors[task].has(Id::index(*t))) {
        if state.end_of(other).is_some_and(up_to) {
            before.extend(shared(state, other, task).map(|pair| (other, Some(pair))));
        }
    }
    before
}

/// The two as a pair, where `second` wants a tool that `first` wants, or somebody who did it.
fn shared(state: &State, first: TaskId, second: TaskId) -> Option<Pair> {
    let (row, other) = (&state.ground.tasks[second], &state.ground.tasks[first]);
    let wanted = |person: &&PersonId| row.needs.iter().any(|n| n.holders.contains(*person));
    let person = state.placed[first].iter().flat_map(|c| &c.team).find(wanted).copied();
    let tool = other.tools.iter().any(|(tool, _)| row.tools.iter().any(|(t, _)| t == tool));
    (tool || person.is_some()).then_some(Pair { first, second, person })
}

#[cfg(test)]
mod tests;
