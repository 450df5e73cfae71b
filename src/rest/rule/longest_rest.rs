//! A least longest rest of a window.

use crate::rest::rule::Measured;
use crate::rest::windows;
use crate::rest::{Edge, Timeline, Windows};
use crate::time::{Minutes, Span};

/// In every window of `window` one rest is at least `at_least` long.
///
/// Parameters in minutes. Default: 6 h in 24 h (STCW Code A-VIII/1 paragraph 3, MLC 2006 Standard A2.3
/// paragraph 6: "one of which shall be at least six hours in length"). With 11 h it states the daily rest
/// of Directive 2003/88/EC article 3.
///
/// Reading: as for the split, from every start of a block forward and every end back; a rest over the far
/// edge counts with its part inside; exactly the limit passes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct LongestRest {
    /// Length of the window.
    pub window: Minutes,
    /// Least length of its longest rest.
    pub at_least: Minutes,
    /// Where the windows lie.
    pub windows: Windows,
    /// What of a rest counts that reaches over an edge.
    pub edge: Edge,
}

impl LongestRest {
    pub(super) fn measure(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        let windows = windows::list(self.windows, self.window, timeline.blocks(), timeline, scope);
        let longest = |window| timeline.rests_in(window, self.edge).into_iter().max().unwrap_or(Minutes::ZERO);
        windows.into_iter().map(|window| Measured { window, found: longest(window) }).collect()
    }

    pub(super) fn text(&self) -> String {
        format!("a rest of at least {} in any {}", self.at_least, self.window)
    }
}
