//! How much later a task could end with everything after it moved along, by order and waits alone.

use crate::id::{IdVec, TaskId};
use crate::report::Report;
use crate::time::{Minutes, Moment};

/// Slack of every task: how much later it could end before the finish of the job, a milestone or an end
/// that is stated for a task moves, if only order and waits counted and every task took as long from
/// start to end as the plan has it. People, tools and hours can make it less; the slack found by planning
/// again stands in [`super::Solved::slack`] where there is one.
///
/// Total float in the sense of the critical path method (Kelley and Walker 1959).
pub(super) fn by_order(report: &Report<'_>) -> IdVec<TaskId, Minutes> {
    let (problem, account) = (report.problem(), report.account());
    let mut latest: IdVec<TaskId, Moment> = problem.tasks.ids().map(|_| account.finish.max(problem.start)).collect();
    for (id, task) in problem.tasks.pairs() {
        if let Some(by) = task.not_after {
            latest[id] = latest[id].min(by);
        }
    }
    // A milestone already missed cannot be missed for the first time: it holds its tasks where they are.
    for (id, milestone) in problem.milestones.pairs() {
        let due = milestone.due.max(account.milestones.get(id).map_or(milestone.due, |m| m.met_at));
        for task in &milestone.tasks {
            latest[*task] = latest[*task].min(due);
        }
    }
    for id in problem.order().iter().rev() {
        for next in problem.successors(*id) {
            let length = account.tasks[next.task].end - account.tasks[next.task].start;
            latest[*id] = latest[*id].min(latest[next.task] - length - next.lag);
        }
    }
    latest.pairs().map(|(id, at)| (*at - account.tasks[id].end).max(Minutes::ZERO)).collect()
}
