//! A most of work in a window.

use crate::rest::rule::Measured;
use crate::rest::timeline::touching;
use crate::rest::windows;
use crate::rest::{ShortGap, Timeline, Windows};
use crate::time::{Minutes, Span};

/// In every window of `window` there are at most `at_most` of work.
///
/// Parameters in minutes. Defaults: 14 h in any 24 h and 72 h in any 168 h (MLC 2006 Standard A2.3
/// paragraph 5(a)).
///
/// Reading: every moment, which is the same as the windows from every start of a piece of work and back
/// from every end of one; a break too short to be rest is neither work nor rest, unless `short_gap` says
/// that it is work, named or not; a longer named break is neither in any case; exactly the limit passes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct MostWork {
    /// Length of the window.
    pub window: Minutes,
    /// Most work in it.
    pub at_most: Minutes,
    /// Where the windows lie.
    pub windows: Windows,
    /// What a gap is that is too short to be rest.
    pub short_gap: ShortGap,
}

impl MostWork {
    pub(super) fn measure(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        let pieces = match self.short_gap {
            ShortGap::Neither => timeline.work(),
            ShortGap::Work => timeline.filled(),
        };
        let windows = windows::list(self.windows, self.window, pieces, timeline, scope);
        let work = |window| touching(pieces, window).filter_map(|piece| piece.intersection(window)).map(Span::length).sum();
        windows.into_iter().map(|window| Measured { window, found: work(window) }).collect()
    }

    pub(super) fn text(&self) -> String {
        format!("at most {} of work in any {}", self.at_most, self.window)
    }
}
