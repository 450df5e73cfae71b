//! Tasks left out, with what hangs on them.

use std::collections::BTreeSet;

use crate::id::{IdVec, MilestoneId, TaskId};
use crate::model::{After, CloseUp, Different, Hold, Milestone, Parts, Problem, Task};
use crate::plan::Spell;
use crate::variant::Refused;

/// Whether each task may be left out: the job says so for closing up early, or no milestone waits for it.
fn may_be(problem: &Problem) -> IdVec<TaskId, bool> {
    let mut waits: IdVec<TaskId, bool> = problem.tasks.ids().map(|_| problem.milestones.is_empty()).collect();
    for task in problem.milestones.iter().flat_map(|m| &m.tasks) {
        waits[*task] = true;
    }
    // What comes after a task stands behind it in the order, so it is known first.
    for task in problem.order().iter().rev() {
        waits[*task] |= problem.successors(*task).iter().any(|next| waits[next.task]);
    }
    problem.tasks.pairs().map(|(id, row)| row.close_up == CloseUp::LeftOut || !waits[id]).collect()
}

/// Whether a task may be left out: the job says so for closing up early, or no milestone waits for it.
#[must_use]
pub fn may_be_left_out(problem: &Problem, task: TaskId) -> bool {
    may_be(problem)[task]
}

/// A task and what goes with it if it is left out, in table order: what comes after it and may be left out as well, what
/// puts back only such tasks, and what may be left out and leads to nothing else.
#[must_use]
pub fn hangs_on(problem: &Problem, task: TaskId) -> Vec<TaskId> {
    let may = may_be(problem);
    let mut gone = BTreeSet::from([task]);
    loop {
        let goes = |id: TaskId, row: &Task| {
            if let CloseUp::PutsBack(opened) = &row.close_up {
                return !opened.is_empty() && opened.iter().all(|t| gone.contains(t));
            }
            let next = problem.successors(id);
            let only = !next.is_empty() && next.iter().all(|s| gone.contains(&s.task));
            may[id] && (only || row.after.iter().any(|a| gone.contains(&a.task)))
        };
        let more: Vec<TaskId> = problem.tasks.pairs().filter(|(id, row)| !gone.contains(id) && goes(*id, row)).map(|(id, _)| id).collect();
        if more.is_empty() {
            return gone.into_iter().collect();
        }
        gone.extend(more);
    }
}

/// Leaves out a task with what hangs on it. What came after them comes after what they came after.
pub(super) fn leave_out(problem: &Problem, parts: &mut Parts, task: TaskId) -> Result<(), Refused> {
    let gone = hangs_on(problem, task);
    if gone.len() == parts.tasks.len() {
        return Err(Refused::Nothing("nothing would be left of the job"));
    }
    if gone.iter().any(|t| !problem.tasks[*t].takes_out.is_empty() || !problem.tasks[*t].hands_back.is_empty()) {
        return Err(Refused::Nothing("a machine is taken out or handed back by it"));
    }
    remove(problem, parts, &gone.into_iter().collect());
    Ok(())
}

/// Removes tasks. What came after them comes after what they came after; milestones that wait for nothing else are gone.
pub(super) fn remove(problem: &Problem, parts: &mut Parts, gone: &BTreeSet<TaskId>) {
    let left: IdVec<TaskId, TaskId> = problem.tasks.ids().filter(|t| !gone.contains(t)).collect();
    let here = |old: TaskId| left.find(|t| *t == old);
    let row = |old: &TaskId| {
        let task = &problem.tasks[*old];
        let close_up = match &task.close_up {
            CloseUp::PutsBack(opened) => CloseUp::PutsBack(opened.iter().filter_map(|t| here(*t)).collect()),
            CloseUp::Needed | CloseUp::LeftOut => task.close_up.clone(),
        };
        let different = task.different.iter().filter_map(|d| Some(Different { other: here(d.other)?, ..d.clone() })).collect();
        Task { after: after(problem, task, &here), different, close_up, ..task.clone() }
    };
    parts.tasks = left.iter().map(row).collect();
    let hold = |h: &Hold| {
        // What is never filled is held for nobody.
        let fill = match h.fill {
            Some(fill) => Some(here(fill)?),
            None => None,
        };
        Some(Hold { fill, filling: h.filling.and_then(here), empty: here(h.empty)?, ..*h })
    };
    parts.holds = problem.holds.iter().filter_map(hold).collect();
    let mut milestones: IdVec<MilestoneId, Milestone> = IdVec::new();
    for milestone in problem.milestones.iter() {
        let tasks: Vec<TaskId> = milestone.tasks.iter().filter_map(|t| here(*t)).collect();
        if !tasks.is_empty() {
            let _: MilestoneId = milestones.push(Milestone { tasks, ..milestone.clone() });
        }
    }
    parts.milestones = milestones;
    if let Some(told) = &mut parts.told {
        told.spells = told.spells.iter().filter_map(|s| Some(Spell { task: here(s.task)?, ..s.clone() })).collect();
    }
}

/// What a task comes after once others are left out.
fn after(problem: &Problem, task: &Task, here: &dyn Fn(TaskId) -> Option<TaskId>) -> Vec<After> {
    let mut after: Vec<After> = Vec::new();
    let mut open = task.after.clone();
    while let Some(before) = open.pop() {
        match here(before.task) {
            None => open.extend(problem.tasks[before.task].after.iter().copied()),
            Some(id) => match after.iter_mut().find(|a| a.task == id) {
                Some(known) => known.lag = known.lag.max(before.lag),
                None => after.push(After { task: id, lag: before.lag }),
            },
        }
    }
    after.sort_unstable();
    after
}
