//! A least sum of the longest rests of a window.

use crate::rest::rule::Measured;
use crate::rest::windows;
use crate::rest::{Edge, Timeline, Windows};
use crate::time::{Minutes, Span};

/// In every window of `window` the `count` longest rests add up to at least `at_least`.
///
/// Parameters: minutes and a number of rests. Default: the two longest of 24 h make 10 h: "the hours of
/// rest may be divided into no more than two periods" (STCW Code A-VIII/1 paragraph 3, MLC 2006 Standard
/// A2.3 paragraph 6), read as dividing the *least* hours (UK SI 2018/58 reg. 7(3)).
///
/// Reading: tested in the windows from every start of a block forward and from every end back, never from
/// inside a rest, because that would condemn six hours on and six off, which published verdicts accept. A
/// rest over the far edge counts with its part inside; exactly the limit passes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct BestRests {
    /// Length of the window.
    pub window: Minutes,
    /// How many rests are added up.
    pub count: usize,
    /// The least they make together.
    pub at_least: Minutes,
    /// Where the windows lie.
    pub windows: Windows,
    /// What of a rest counts that reaches over an edge.
    pub edge: Edge,
}

impl BestRests {
    pub(super) fn measure(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        let windows = windows::list(self.windows, self.window, timeline.blocks(), timeline, scope);
        windows.into_iter().map(|window| Measured { window, found: self.found(timeline, window) }).collect()
    }

    fn found(&self, timeline: &Timeline, window: Span) -> Minutes {
        let mut rests = timeline.rests_in(window, self.edge);
        rests.sort_unstable_by(|a, b| b.cmp(a));
        rests.into_iter().take(self.count).sum()
    }

    pub(super) fn text(&self) -> String {
        let Self { count, at_least, window, .. } = self;
        format!("at least {at_least} of rest in at most {count} periods of any {window}")
    }
}
