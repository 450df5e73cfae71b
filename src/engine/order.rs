//! The order in which tasks are placed, changed so that none comes before what it comes after.

use super::ground::Ground;
use crate::id::{Id, TaskId};

/// Where a task is in an order.
pub(super) fn place_of(order: &[TaskId], task: TaskId) -> usize {
    order.iter().position(|t| *t == task).unwrap_or(0)
}

/// Puts `task`, with what it comes after, before `other`.
pub(super) fn pull(order: &mut [TaskId], ground: &Ground, task: TaskId, other: TaskId) {
    let (to, at) = (place_of(order, other), place_of(order, task));
    if to < at {
        let before = |t: &TaskId| *t == task || ground.ancestors[task].has(Id::index(*t));
        order[to..=at].sort_by_key(|t| !before(t));
    }
}

/// Puts `other`, with what comes after it, after `task`.
pub(super) fn push(order: &mut [TaskId], ground: &Ground, other: TaskId, task: TaskId) {
    let (at, to) = (place_of(order, other), place_of(order, task));
    if at < to {
        let after = |t: &TaskId| *t == other || ground.ancestors[*t].has(Id::index(other));
        order[at..=to].sort_by_key(|t| after(t));
    }
}
