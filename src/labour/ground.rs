//! What a labour model is built from.

use crate::calendar::{Deadlines, Fit, Hours, Windows};
use crate::id::TaskId;
use crate::model::Problem;

use super::classes::{self, Class};
use super::periods::{self, Grain, Period};

/// Whether unbooked time is kept for the reserve.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Reserve {
    /// Every day keeps the unbooked time its modes ask for.
    Kept,
    /// Nothing is asked for.
    Open,
}

/// What is taken for granted of the plans a model speaks about.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Premises {
    /// Which hours they work.
    pub hours: Hours,
    /// Whether they keep unbooked time.
    pub reserve: Reserve,
}

/// A problem laid out for one asked finish.
#[derive(Debug)]
pub(super) struct Ground<'a> {
    pub(super) problem: &'a Problem,
    pub(super) fit: &'a Fit<'a>,
    pub(super) windows: &'a Windows,
    pub(super) deadlines: Deadlines,
    pub(super) premises: Premises,
    pub(super) grain: Grain,
    pub(super) classes: Vec<Class>,
    pub(super) periods: Vec<Period>,
}

impl<'a> Ground<'a> {
    /// Lays a problem out for a finish at slot boundary `finish`.
    ///
    /// # Errors
    /// A task that cannot be done by then at all.
    pub(super) fn new(
        problem: &'a Problem,
        fit: &'a Fit<'a>,
        windows: &'a Windows,
        premises: Premises,
        finish: usize,
        grain: Grain,
    ) -> Result<Self, TaskId> {
        let deadlines = Deadlines::backward(problem, fit, windows, finish)?;
        let classes = classes::all(problem, fit.people());
        let periods = periods::all(problem, fit, windows, &classes, finish, grain);
        Ok(Self { problem, fit, windows, deadlines, premises, grain, classes, periods })
    }

    /// Slots of period `k` in which the task could be at work: a team could, nothing before it is still to
    /// do for sure, and everything after it can still be done in time.
    pub(super) fn room(&self, task: TaskId, k: usize) -> usize {
        let from = self.periods[k].from.max(self.windows.of(task).start);
        let to = self.periods[k].to.min(self.deadlines.end(task));
        self.fit.slots(task).count_range(from, to)
    }

    /// Slots of period `k` in which at least one of some tasks could be at work.
    pub(super) fn open(&self, tasks: &[TaskId], k: usize) -> usize {
        let period = &self.periods[k];
        (period.from..period.to).filter(|i| tasks.iter().any(|t| self.fit.slots(*t).has(*i))).count()
    }

    /// Minutes of so many slots.
    pub(super) fn minutes(&self, slots: usize) -> i64 {
        int(slots) * i64::from(self.fit.people().range().slot().get())
    }
}

/// A count as a whole number of a model.
pub(super) fn int(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}
