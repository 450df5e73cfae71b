//! A number of rests of a least length in a window.

use crate::rest::rule::Measured;
use crate::rest::windows;
use crate::rest::{Edge, Timeline, Windows};
use crate::time::{Minutes, Span};

/// In every window of `window` there are at least `count` rests of `unit`; a rest of twice the unit counts
/// for two.
///
/// Parameters: minutes and a number. It states days off: two rests of 24 h in 168 h. What is found and what
/// is required are given in time: number × unit.
///
/// Reading: from every start of a block forward and every end back; a rest over the far edge counts with
/// its part inside.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct RestCount {
    /// Length of the window.
    pub window: Minutes,
    /// Length of a rest that counts once.
    pub unit: Minutes,
    /// How many are needed.
    pub count: i32,
    /// Where the windows lie.
    pub windows: Windows,
}

impl RestCount {
    pub(super) fn measure(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        let windows = windows::list(self.windows, self.window, timeline.blocks(), timeline, scope);
        windows.into_iter().map(|window| Measured { window, found: self.found(timeline, window) }).collect()
    }

    fn found(&self, timeline: &Timeline, window: Span) -> Minutes {
        let times = |rest: Minutes| rest.get() / self.unit.get();
        let number: i32 = timeline.rests_in(window, Edge::Part).into_iter().map(times).sum();
        Minutes::new(number * self.unit.get())
    }

    /// The number needed, as time.
    #[must_use]
    pub const fn required(&self) -> Minutes {
        Minutes::new(self.count * self.unit.get())
    }

    pub(super) fn text(&self) -> String {
        format!("at least {} × {} of unbroken rest in any {}", self.count, self.unit, self.window)
    }
}
