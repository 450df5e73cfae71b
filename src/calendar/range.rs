//! The slots from the start of planning to its latest end, counted from zero.

use crate::clock::Day;
use crate::model::Problem;
use crate::time::{Grid, Minutes, Moment, Slot, Slots, Span};

/// The slots from the start of planning to the latest end, counted from zero, with their ship's days.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Range {
    grid: Grid,
    first: Slot,
    days: Vec<Day>,
}

impl Range {
    /// The range of a problem.
    #[must_use]
    pub fn new(problem: &Problem) -> Self {
        let (grid, first) = (problem.grid, problem.grid.ceil(problem.start));
        let len = count(grid.floor(problem.latest_end) - first);
        let days = (0..len).map(|i| problem.clock.day_of(grid.moment(first + slots(i)))).collect();
        Self { grid, first, days }
    }

    /// Number of slots.
    #[must_use]
    pub fn len(&self) -> usize {
        self.days.len()
    }

    /// Whether there is no slot at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.days.is_empty()
    }

    /// The moment at which slot `i` starts, which is also the end of the slot before it.
    #[must_use]
    pub fn moment(&self, i: usize) -> Moment {
        self.grid.moment(self.first + slots(i))
    }

    /// The ship's day in which slot `i` starts; the last day for what lies behind the range.
    #[must_use]
    pub fn day(&self, i: usize) -> Day {
        self.days.get(i).or(self.days.last()).copied().unwrap_or(Day::new(1))
    }

    /// Length of a slot.
    #[must_use]
    pub const fn slot(&self) -> Minutes {
        self.grid.slot()
    }

    /// How long so many slots are.
    #[must_use]
    pub fn length(&self, i: usize) -> Minutes {
        self.grid.length(slots(i))
    }

    /// The first slot that starts at or after `moment`: 0 for the past, more than [`Range::len`] for what
    /// lies behind the range.
    #[must_use]
    pub fn from(&self, moment: Moment) -> usize {
        count(self.grid.ceil(moment) - self.first)
    }

    /// The number of slots that end at or before `moment`.
    #[must_use]
    pub fn to(&self, moment: Moment) -> usize {
        count(self.grid.floor(moment) - self.first)
    }

    /// The slots that lie wholly inside `span`, as a half-open range cut to this one.
    #[must_use]
    pub fn inside(&self, span: Span) -> (usize, usize) {
        let (from, to) = (self.from(span.start()).min(self.len()), self.to(span.end()).min(self.len()));
        (from, to.max(from))
    }

    /// The slots that share a minute with `span`, as a half-open range cut to this one.
    #[must_use]
    pub fn touching(&self, span: Span) -> (usize, usize) {
        (self.to(span.start()).min(self.len()), self.from(span.end()).min(self.len()))
    }

    /// A wait in slots, rounded up as the rule says.
    #[must_use]
    pub fn wait(&self, lag: Minutes) -> usize {
        count(self.grid.ceil_length(lag))
    }
}

/// A number of slots as an index; 0 where it is negative.
pub(super) fn count(slots: Slots) -> usize {
    usize::try_from(slots.count()).unwrap_or(0)
}

fn slots(i: usize) -> Slots {
    Slots::new(i32::try_from(i).unwrap_or(i32::MAX))
}
