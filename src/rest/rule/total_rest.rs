//! A least total of rest in a window.

use crate::rest::rule::Measured;
use crate::rest::windows;
use crate::rest::{Edge, Timeline, Windows};
use crate::time::{Minutes, Span};

/// In every window of `window` there are at least `at_least` of rest, all rests added up.
///
/// Parameters in minutes. Defaults: 10 h in any 24 h (STCW Code A-VIII/1 paragraph 2.1, MLC 2006 Standard
/// A2.3 paragraph 5(b)(i)) and 77 h in any 168 h (paragraphs 2.2 and 5(b)(ii)).
///
/// Reading: every moment, which is the same as the windows from every start and back from every end of a
/// block; a rest over an edge counts with its part inside; exactly the limit passes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct TotalRest {
    /// Length of the window.
    pub window: Minutes,
    /// Least rest in it.
    pub at_least: Minutes,
    /// Where the windows lie.
    pub windows: Windows,
    /// What of a rest counts that reaches over an edge.
    pub edge: Edge,
}

impl TotalRest {
    pub(super) fn measure(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        let windows = windows::list(self.windows, self.window, timeline.blocks(), timeline, scope);
        let measured = |window| Measured { window, found: timeline.rests_in(window, self.edge).into_iter().sum() };
        windows.into_iter().map(measured).collect()
    }

    pub(super) fn text(&self) -> String {
        format!("at least {} of rest in any {}", self.at_least, self.window)
    }
}
