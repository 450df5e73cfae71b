//! What a milestone waits for, by itself.

use std::collections::BTreeSet;

use crate::id::{MilestoneId, TaskId};
use crate::model::{Defect, Problem};
use crate::variant::leave_out::remove;

/// The job as if it ended with a milestone: its tasks, what they come after, and nothing else. Machines are neither taken
/// out nor handed back, for what hands them back may be gone.
///
/// That is for what can be proven, not to be planned: whatever is true of all plans of it, of its people, tools and
/// order, is true of every plan of the whole job, which does all of this and more.
///
/// # Errors
/// What does not hang together.
pub fn up_to(problem: &Problem, milestone: MilestoneId) -> Result<Problem, Vec<Defect>> {
    let mut parts = problem.clone().into_parts();
    remove(problem, &mut parts, &not_before(problem, milestone));
    for task in parts.tasks.iter_mut() {
        task.takes_out.clear();
        task.hands_back.clear();
    }
    Problem::new(parts)
}

/// Whether a milestone waits, directly or not, for every task.
#[must_use]
pub fn waits_for_all(problem: &Problem, milestone: MilestoneId) -> bool {
    not_before(problem, milestone).is_empty()
}

/// The tasks that a milestone does not wait for.
fn not_before(problem: &Problem, milestone: MilestoneId) -> BTreeSet<TaskId> {
    let mut waits: BTreeSet<TaskId> = problem.milestones[milestone].tasks.iter().copied().collect();
    // What comes before a task stands before it in the order, so what waits for it is known first.
    for task in problem.order().iter().rev() {
        if problem.successors(*task).iter().any(|next| waits.contains(&next.task)) {
            waits.insert(*task);
        }
    }
    problem.tasks.ids().filter(|task| !waits.contains(task)).collect()
}
