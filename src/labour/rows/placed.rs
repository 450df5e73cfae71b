//! Row 1: all work of a task is placed or left unplaced.

use super::Meaning;
use crate::labour::build::Built;
use crate::labour::ground::{Ground, int};
use crate::lp::Relation;

/// `Σ work[task, k] + unplaced[task] = length`.
///
/// True of every plan: a task has exactly its slots of work (pauses are none), each in a slot between its
/// earliest start and its latest end in which a team could be at work, so each in a period in which the
/// task has a column; and in a complete plan nothing is unplaced. The bound of a work column, the slots of
/// the period with room for the task, holds because a task has one spell at a time.
pub(in crate::labour) fn placed(ground: &Ground<'_>, built: &mut Built) {
    for task in ground.problem.tasks.ids() {
        let mut terms: Vec<_> = built.columns.work[task].iter().map(|(_, col)| (*col, 1)).collect();
        terms.push((built.columns.unplaced[task], 1));
        built.row(Meaning::Placed(task), terms, Relation::Exactly, int(ground.fit.length(task)));
    }
}
