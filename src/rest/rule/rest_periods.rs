//! All rest of a window in a few periods.

use crate::rest::rule::Measured;
use crate::rest::windows;
use crate::rest::{Edge, Timeline, Windows};
use crate::time::{Minutes, Span};

/// In every window of `window` all rest lies in at most `count` periods.
///
/// Parameters: minutes and a number of rests. The bare words of STCW Code A-VIII/1 paragraph 3 ("the hours
/// of rest may be divided into no more than two periods") can be read so; the default set reads them with
/// [`super::BestRests`] instead. What is found is the rest outside the `count` longest rests; none is
/// allowed.
///
/// Not closed: more work can remove a short rest and so cure a finding.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct RestPeriods {
    /// Length of the window.
    pub window: Minutes,
    /// The most periods.
    pub count: usize,
    /// Where the windows lie.
    pub windows: Windows,
}

impl RestPeriods {
    pub(super) fn measure(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        let windows = windows::list(self.windows, self.window, timeline.blocks(), timeline, scope);
        windows.into_iter().map(|window| Measured { window, found: self.found(timeline, window) }).collect()
    }

    fn found(&self, timeline: &Timeline, window: Span) -> Minutes {
        let mut rests = timeline.rests_in(window, Edge::Part);
        rests.sort_unstable_by(|a, b| b.cmp(a));
        rests.into_iter().skip(self.count).sum()
    }

    pub(super) fn text(&self) -> String {
        format!("all rest of any {} in at most {} periods", self.window, self.count)
    }
}
