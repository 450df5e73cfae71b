//! Earliest times of all tasks forwards through waits and calendars, latest times backwards from a finish.

use super::fit::Fit;
use crate::id::{IdVec, TaskId};
use crate::model::Problem;
use crate::time::Moment;

/// What keeps a task from being ready earlier.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Because {
    /// Nothing but the start of planning.
    Start,
    /// Its own earliest date.
    NotBefore,
    /// The task that must have ended, with its wait.
    After(TaskId),
}

/// Earliest times of a task, in slots of [`super::Range`].
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Earliest {
    /// When everything before it may be done and waited for.
    pub ready: usize,
    /// Earliest start.
    pub start: usize,
    /// Earliest end.
    pub end: usize,
    /// What set `ready`.
    pub because: Because,
}

/// Earliest times of every task: no legal plan starts or ends any task earlier.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Windows {
    earliest: IdVec<TaskId, Earliest>,
}

/// A task that does not fit, with the earliest times of what comes before it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NoFit {
    /// The task.
    pub task: TaskId,
    /// When everything before it may be done and waited for.
    pub ready: usize,
    /// What set `ready`.
    pub because: Because,
    /// Earliest times of every task that comes before it, directly or not; of others nothing is said.
    pub before: Windows,
}

/// Latest times of every task for an asked finish: a legal plan that ends by then starts and ends no task
/// later.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Deadlines {
    /// Latest start and latest end of each task, in slots.
    latest: IdVec<TaskId, (usize, usize)>,
}

impl Windows {
    /// Goes forwards through all tasks.
    ///
    /// # Errors
    /// A task that does not fit before the latest end (or its own latest end) at all: then there is no
    /// legal plan, and that is proven.
    pub fn forward(problem: &Problem, fit: &Fit<'_>) -> Result<Self, Box<NoFit>> {
        let range = fit.people().range();
        let nothing = Earliest { ready: 0, start: 0, end: 0, because: Because::Start };
        let mut earliest = IdVec::filled(nothing, problem.tasks.len());
        for id in problem.order() {
            let task = &problem.tasks[*id];
            let (mut ready, mut because) = (0, Because::Start);
            if let Some(from) = task.not_before.map(|m| range.from(m)).filter(|from| *from > ready) {
                (ready, because) = (from, Because::NotBefore);
            }
            for after in &task.after {
                let from = earliest[after.task].end + range.wait(after.lag);
                if from > ready || (from == ready && because == Because::Start) {
                    (ready, because) = (from, Because::After(after.task));
                }
            }
            let Some((start, end)) = fit.earliest(*id, ready) else {
                return Err(Box::new(NoFit { task: *id, ready, because, before: Self { earliest } }));
            };
            earliest[*id] = Earliest { ready, start, end, because };
        }
        Ok(Self { earliest })
    }

    /// Earliest times of a task.
    #[must_use]
    pub fn of(&self, task: TaskId) -> Earliest {
        self.earliest[task]
    }

    /// The slot boundary before which no legal plan can end: the largest earliest end; 0 without tasks.
    #[must_use]
    pub fn finish(&self) -> usize {
        self.earliest.iter().map(|e| e.end).max().unwrap_or(0)
    }
}

impl Deadlines {
    /// Goes backwards through all tasks from slot boundary `finish`.
    ///
    /// # Errors
    /// A task that cannot be done in time at all: then no legal plan ends by `finish`, and that is proven.
    pub fn backward(problem: &Problem, fit: &Fit<'_>, windows: &Windows, finish: usize) -> Result<Self, TaskId> {
        let range = fit.people().range();
        let mut latest: IdVec<TaskId, (usize, usize)> = IdVec::filled((0, 0), problem.tasks.len());
        for id in problem.order().iter().rev() {
            let mut to = finish;
            for next in problem.successors(*id) {
                to = to.min(latest[next.task].0.checked_sub(range.wait(next.lag)).ok_or(*id)?);
            }
            let (start, end) = fit.latest(*id, to).ok_or(*id)?;
            let earliest = windows.of(*id);
            if start < earliest.start || end < earliest.end {
                return Err(*id);
            }
            latest[*id] = (start, end);
        }
        Ok(Self { latest })
    }

    /// Latest start of a task.
    #[must_use]
    pub fn start(&self, task: TaskId) -> usize {
        self.latest[task].0
    }

    /// Latest end of a task.
    #[must_use]
    pub fn end(&self, task: TaskId) -> usize {
        self.latest[task].1
    }
}

impl Fit<'_> {
    /// The moment of a slot boundary.
    #[must_use]
    pub fn moment(&self, slot: usize) -> Moment {
        self.people().range().moment(slot)
    }
}
