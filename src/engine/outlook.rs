//! What a generation under way is sure to come to: the energy of what is placed, and of what comes after it at best.

use super::field::Field;
use super::state::State;
use crate::id::{IdVec, TaskId};

/// The least energy a plan can come to, kept as tasks are placed.
#[derive(Debug)]
pub(super) struct Outlook {
    /// Earliest end of each task, as far as those placed before it are known.
    ends: IdVec<TaskId, usize>,
    /// What is counted for each task in `energy`.
    counted: IdVec<TaskId, i64>,
    /// Energy that no way to go on can avoid.
    pub(super) energy: i64,
    open: Vec<TaskId>,
}

impl Outlook {
    /// Nothing placed.
    pub(super) fn new(field: &Field) -> Self {
        let ends = field.alone.earliest_end.clone();
        let counted: IdVec<TaskId, i64> = ends.pairs().map(|(task, end)| field.delay_energy(task, *end)).collect();
        let energy = counted.iter().sum();
        Self { ends, counted, energy, open: Vec::new() }
    }

    /// Counts a task that is placed now, and what its end means for those after it.
    pub(super) fn place(&mut self, field: &Field, state: &State, task: TaskId) {
        let ground = state.ground;
        self.count(task, field.energy_of(state, task));
        let end = state.end_of(task).unwrap_or(0);
        if end <= self.ends[task] {
            return;
        }
        self.ends[task] = end;
        self.open.push(task);
        while let Some(before) = self.open.pop() {
            for (after, lag) in &ground.tasks[before].before {
                // What does not fit any more is no reason to stop: the generation finds out.
                let Some(end) = field.alone.forward(ground, *after, self.ends[before] + lag) else { continue };
                if end > self.ends[*after] {
                    self.ends[*after] = end;
                    self.count(*after, field.delay_energy(*after, end));
                    self.open.push(*after);
                }
            }
        }
    }

    fn count(&mut self, task: TaskId, energy: i64) {
        self.energy += energy - self.counted[task];
        self.counted[task] = energy;
    }
}

#[cfg(test)]
mod tests;
