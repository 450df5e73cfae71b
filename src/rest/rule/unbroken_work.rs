//! A most of work without a short break.

use crate::rest::Timeline;
use crate::rest::rule::Measured;
use crate::time::{Minutes, Span};

/// There are at most `at_most` from the end of one break of at least `least_break` to the start of the next.
///
/// Parameters in minutes. It states breaks at work that are shorter than rest: 15 minutes after each 2 h for
/// those under 18 (MLC 2006 Guideline B2.3.1 paragraph 1(c)), or 30 minutes after 4.5 h. With a long break it states
/// how far apart long rests may be.
///
/// Reading: pieces of work with shorter gaps between them count as one; whether these gaps are part of what is found
/// is said by `between`; exactly the limit passes. The window of a finding is that run of work.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct UnbrokenWork {
    /// The most without a break.
    pub at_most: Minutes,
    /// The least length of a break.
    pub least_break: Minutes,
    /// Whether shorter gaps count.
    pub between: Between,
}

/// What the gaps are that are too short to be a break.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Between {
    /// They count as the work around them: the limit is on elapsed time.
    #[default]
    Counts,
    /// They do not count: the limit is on work done (driving time of Regulation (EC) No 561/2006 article 7).
    Not,
}

impl UnbrokenWork {
    pub(super) fn measure(self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        let mut runs: Vec<Measured> = Vec::new();
        for &piece in timeline.work() {
            match runs.last_mut() {
                Some(last) if piece.start() - last.window.end() < self.least_break => {
                    last.window = last.window.hull(piece);
                    last.found = match self.between {
                        Between::Counts => last.window.length(),
                        Between::Not => last.found + piece.length(),
                    };
                }
                _ => runs.push(Measured { window: piece, found: piece.length() }),
            }
        }
        runs.retain(|run| run.window.overlaps(scope));
        runs
    }

    pub(super) fn text(self) -> String {
        let counted = match self.between {
            Between::Counts => "",
            Between::Not => ", shorter gaps not counted",
        };
        format!("at most {} of work without a break of {}{counted}", self.at_most, self.least_break)
    }
}
