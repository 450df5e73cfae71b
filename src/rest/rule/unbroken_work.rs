//! A most of work without a short break.

use crate::rest::Timeline;
use crate::rest::rule::Measured;
use crate::time::{Minutes, Span};

/// There are at most `at_most` from the end of one break of at least `least_break` to the start of the next.
///
/// Parameters in minutes. It states breaks at work that are shorter than rest: 15 minutes after each 2 h for
/// those under 18 (MLC 2006 Guideline B2.3.1 paragraph 1(c)), or 30 minutes after 4.5 h.
///
/// Reading: pieces of work with shorter gaps between them count as one, gaps included; exactly the limit
/// passes. The window of a finding is that run of work.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct UnbrokenWork {
    /// The most without a break.
    pub at_most: Minutes,
    /// The least length of a break.
    pub least_break: Minutes,
}

impl UnbrokenWork {
    pub(super) fn measure(self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        let mut runs: Vec<Span> = Vec::new();
        for &piece in timeline.work() {
            match runs.last_mut() {
                Some(last) if piece.start() - last.end() < self.least_break => *last = last.hull(piece),
                _ => runs.push(piece),
            }
        }
        runs.retain(|run| run.overlaps(scope));
        runs.into_iter().map(|run| Measured { window: run, found: run.length() }).collect()
    }

    pub(super) fn text(self) -> String {
        format!("at most {} of work without a break of {}", self.at_most, self.least_break)
    }
}
