//! A most between the end of one rest and the start of the next.

use crate::rest::Timeline;
use crate::rest::rule::Measured;
use crate::time::{Minutes, Span};

/// From the end of a rest to the start of the next there are at most `at_most`.
///
/// Parameter in minutes. Default: 14 h (STCW Code A-VIII/1 paragraph 3 and MLC 2006 Standard A2.3
/// paragraph 6: "the interval between consecutive periods of rest shall not exceed 14 hours").
///
/// Reading: the interval is the length of a block, breaks too short to be rest included; exactly the limit
/// passes. The window of a finding is the block.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct RestInterval {
    /// The most between two rests.
    pub at_most: Minutes,
}

impl RestInterval {
    pub(super) fn measure(timeline: &Timeline, scope: Span) -> Vec<Measured> {
        let blocks = timeline.blocks().iter().filter(|block| block.overlaps(scope));
        blocks.map(|&block| Measured { window: block, found: block.length() }).collect()
    }

    pub(super) fn text(self) -> String {
        format!("at most {} between two rests", self.at_most)
    }
}
