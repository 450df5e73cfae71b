//! Whole timelines, fast: for records of many people over many days.

use crate::clock::ShipClock;
use crate::rest::Finding;
use crate::rest::line::check::{Book, Which};
use crate::rest::line::rules::{ClosedRules, Of};
use crate::rest::line::view::{Gaps, Parted, Where};
use crate::time::{Minutes, Span};

/// Checks timelines one after the other: exactly the findings of the naive checker, in time linear in the
/// work, without allocating once its lists have grown.
#[derive(Clone, Debug)]
pub struct Sweep {
    rules: ClosedRules,
    scope: Span,
    laid: Vec<Vec<Span>>,
    pieces: Vec<Span>,
    blocks: Vec<Span>,
    found: Vec<Finding>,
}

impl Sweep {
    /// A sweep under `rules` for windows that share time with `scope`, with the days of `clock`.
    #[must_use]
    pub fn new(rules: &ClosedRules, clock: &ShipClock, scope: Span) -> Self {
        let laid = rules.laid(clock, scope);
        Self { rules: rules.clone(), scope, laid, pieces: Vec::new(), blocks: Vec::new(), found: Vec::new() }
    }

    /// Looks at other windows from now on: those that share time with `scope`, with the days of `clock`.
    pub fn turn_to(&mut self, clock: &ShipClock, scope: Span) {
        self.laid = self.rules.laid(clock, scope);
        self.scope = scope;
    }

    /// All findings, sorted by rule, then window.
    ///
    /// `work` is sorted by start; overlaps are allowed. `breaks` are the named breaks, sorted, apart.
    pub fn findings(&mut self, work: &[Span], breaks: &[Span]) -> &[Finding] {
        let longest = breaks.iter().map(|named| named.length()).max().unwrap_or(Minutes::ZERO);
        let gaps = Gaps { least: self.rules.set().min_rest, breaks, longest };
        self.normalise(work, gaps);
        self.found.clear();
        let found = &mut self.found;
        let mut note = |finding: Finding| {
            found.push(finding);
            true
        };
        let book = Book { rules: &self.rules, laid: &self.laid };
        let place = Where { region: self.scope, scope: self.scope };
        book.check(Of::Blocks, &Parted(&self.blocks), place, Which::All, |_| false, &mut note);
        if self.rules.uses_pieces {
            book.check(Of::Work, &Parted(&self.pieces), place, Which::All, |_| false, &mut note);
        }
        self.found.sort_unstable();
        self.found.dedup();
        &self.found
    }

    fn normalise(&mut self, work: &[Span], gaps: Gaps<'_>) {
        self.blocks.clear();
        self.pieces.clear();
        for &span in work {
            match self.blocks.last_mut() {
                Some(last) if gaps.join(last.end(), span.start()) => *last = last.hull(span),
                _ => self.blocks.push(span),
            }
        }
        if self.rules.uses_pieces {
            for &span in work {
                match self.pieces.last_mut() {
                    Some(last) if span.start() <= last.end() => *last = last.hull(span),
                    _ => self.pieces.push(span),
                }
            }
        }
    }
}
