//! The incremental checker: insert, test, undo.

mod call;
mod check;
mod place;
mod rests;
mod rules;
mod runs;
mod sums;
mod sweep;
mod trail;
mod view;

#[cfg(test)]
mod tests;

pub use rules::{ClosedRules, NotClosed};
pub use sweep::Sweep;
pub use trail::Mark;

use std::sync::Arc;

use crate::clock::ShipClock;
use crate::rest::line::check::{Book, WORK_GAPS, Which};
use crate::rest::line::place::{Place, place};
use crate::rest::line::rules::{Of, SumWindows};
use crate::rest::line::trail::Trail;
use crate::rest::line::view::{Gaps, View, Where};
use crate::rest::{Finding, Timeline, findings, judge};
use crate::time::{Minutes, Span, union};

/// What a [`Line`] is made from.
#[derive(Clone, Copy, Debug)]
pub struct LineInput<'a> {
    /// The rules; closed, so that legal so far is legal for good.
    pub rules: &'a ClosedRules,
    /// Recorded work, in any order; what it breaks alone does not count.
    pub recorded: &'a [Span],
    /// Work that is fixed: the person's turns and fixed duties; in any order.
    pub fixed: &'a [Span],
    /// Named breaks laid out for the person; in any order; those that touch count as one.
    pub breaks: &'a [Span],
    /// What is judged: findings in windows that share time with it.
    pub scope: Span,
    /// Where a rule needs days.
    pub clock: &'a ShipClock,
}

/// The rest timeline of one person while a plan grows.
///
/// It always holds the recorded and the fixed work; the rest is inserted and undone. Answers are exactly
/// those of the naive checker ([`judge`]) on the same work. Work given to it is work alone: named breaks
/// inside a stretch on hand are left out of it, they are merged as gaps.
#[derive(Clone, Debug)]
pub struct Line {
    frame: Arc<Frame>,
    pieces: Vec<Span>,
    blocks: Vec<Span>,
    /// For each sum, how much may at least be added anywhere in the scope without breaking it.
    slack: Vec<Minutes>,
    clean: bool,
    trail: Trail,
}

/// What does not change while the plan grows; shared by copies of a line.
#[derive(Debug)]
struct Frame {
    rules: ClosedRules,
    /// In time order, apart.
    breaks: Vec<Span>,
    longest_break: Minutes,
    scope: Span,
    /// For each sum, its windows where they are laid out by the clock; in time order.
    laid: Vec<Vec<Span>>,
    /// Findings of the record alone.
    recorded: Vec<Finding>,
}

/// With less slack than this left it is found again after an insertion: more than most insertions and calls.
const ENOUGH: Minutes = Minutes::hours(6);

impl Line {
    /// A line with the recorded and the fixed work.
    ///
    /// # Panics
    /// If a span lies further from the origin than the far past or the far future.
    #[must_use]
    pub fn new(input: LineInput<'_>) -> Self {
        let LineInput { rules, recorded, fixed, breaks, scope, clock } = input;
        let set = rules.set();
        let alone = Timeline::new(set, recorded.to_vec(), breaks).on_clock(clock.clone());
        let whole = Timeline::new(set, [recorded, fixed].concat(), breaks).on_clock(clock.clone());
        let judged = judge(set, &whole, &alone, scope);
        let recorded = findings(set, &alone, scope);
        let breaks = union(breaks.to_vec());
        // A call may reach over the end of what is judged.
        let around = Span::new(scope.start() - Minutes::WEEK, scope.end() + Minutes::WEEK).map_or(scope, |wide| wide.hull(scope));
        let laid = rules.laid(clock, around);
        let longest_break = breaks.iter().map(|named| named.length()).max().unwrap_or(Minutes::ZERO);
        let frame = Frame { laid, rules: rules.clone(), longest_break, breaks, scope, recorded };
        let mut line = Self {
            frame: Arc::new(frame),
            pieces: whole.work().to_vec(),
            blocks: whole.blocks().to_vec(),
            slack: Vec::new(),
            clean: judged.counting.is_empty(),
            trail: Trail::default(),
        };
        line.slack = (0..line.frame.rules.sums.len()).map(|number| line.measure_slack(number)).collect();
        line
    }

    /// Work with the gaps that are no rest, in time order; at least a rest apart.
    #[must_use]
    pub fn blocks(&self) -> &[Span] {
        &self.blocks
    }

    /// Work alone, joined where it touches, in time order.
    #[must_use]
    pub fn work(&self) -> &[Span] {
        &self.pieces
    }

    /// Whether no finding counts against what the line holds. Once an insertion that did not fit has made that
    /// untrue, it stays so until undone.
    #[must_use]
    pub const fn is_clean(&self) -> bool {
        self.clean
    }

    /// Whether with `span` as work too no finding would count. Exactly [`judge`], while the line is clean;
    /// never, while it is not, because more work cures nothing.
    #[must_use]
    pub fn fits(&self, span: Span) -> bool {
        self.clean && self.fits_at(self.place_block(span), self.place_piece(span))
    }

    /// Adds `span` as work, whether it fits or not; it may overlap what is there. Whether anything was new.
    pub fn insert(&mut self, span: Span) -> bool {
        self.add(span, |line, block, piece| line.clean && line.fits_at(block, piece))
    }

    fn add(&mut self, span: Span, clean: impl FnOnce(&Self, Place, Place) -> bool) -> bool {
        let (block, piece) = (self.place_block(span), self.place_piece(span));
        if block.changed.is_none() && piece.changed.is_none() {
            return false;
        }
        let clean = clean(self, block, piece);
        self.trail.begin(self.clean, &self.slack);
        self.trail.blocks.replace(&mut self.blocks, block.first, block.end, block.span);
        self.trail.pieces.replace(&mut self.pieces, piece.first, piece.end, piece.span);
        self.clean = clean;
        self.use_slack(block.added, piece.added);
        true
    }

    /// Whether with the time on hand `span` no finding would count: [`Line::fits`] of what lies outside named breaks.
    #[must_use]
    pub fn fits_on_hand(&self, span: Span) -> bool {
        if !self.parts_at_breaks(span) {
            return self.fits(span);
        }
        let mut with = self.clone();
        with.insert_on_hand(span);
        with.clean
    }

    /// Adds `span` as time on hand: work but for the named breaks in it. Whether anything was new.
    pub fn insert_on_hand(&mut self, span: Span) -> bool {
        self.add_on_hand(span, Self::insert)
    }

    /// The same where [`Line::fits_on_hand`] has said that it fits, without asking again.
    pub fn insert_fitting_on_hand(&mut self, span: Span) -> bool {
        debug_assert!(!self.clean || self.fits_on_hand(span), "only what fits is inserted unseen");
        self.add_on_hand(span, |line, span| line.add(span, |line, _, _| line.clean))
    }

    fn add_on_hand(&mut self, span: Span, add: impl Fn(&mut Self, Span) -> bool) -> bool {
        if self.parts_at_breaks(span) {
            let pieces = span.without(&self.frame.breaks);
            let new = pieces.into_iter().filter(|piece| add(self, *piece)).count();
            new > 0
        } else {
            add(self, span)
        }
    }

    /// Whether it matters that `span` is not work in its named breaks: only rules on pieces of work see them.
    fn parts_at_breaks(&self, span: Span) -> bool {
        self.frame.rules.uses_pieces && {
            let first = self.frame.breaks.partition_point(|b| b.end() <= span.start());
            self.frame.breaks.get(first).is_some_and(|b| b.start() < span.end())
        }
    }

    /// The present state, to come back to.
    #[must_use]
    pub fn mark(&self) -> Mark {
        self.trail.mark()
    }

    /// Takes back every insertion since `mark`. A mark that was itself undone past does nothing.
    pub fn undo(&mut self, mark: Mark) {
        while self.trail.is_after(mark) {
            self.trail.blocks.restore(&mut self.blocks);
            self.trail.pieces.restore(&mut self.pieces);
            self.trail.end(&mut self.clean, &mut self.slack);
        }
    }

    /// Makes everything inserted so far part of the line for good: earlier marks undo nothing any more.
    pub fn settle(&mut self) {
        self.trail.clear();
    }

    fn gaps(&self) -> Gaps<'_> {
        Gaps { least: self.frame.rules.set().min_rest, breaks: &self.frame.breaks, longest: self.frame.longest_break }
    }

    fn place_block(&self, span: Span) -> Place {
        place(&self.blocks, span, self.gaps())
    }

    fn place_piece(&self, span: Span) -> Place {
        place(&self.pieces, span, WORK_GAPS)
    }

    fn fits_at(&self, block: Place, piece: Place) -> bool {
        if let Some(region) = block.changed {
            let view = View::around(&self.blocks[..block.first], block.span, &self.blocks[block.end..], self.gaps());
            if !self.passes(Of::Blocks, &view, region, block.added) {
                return false;
            }
        }
        if !self.frame.rules.uses_pieces {
            return true;
        }
        let Some(changed) = piece.changed else { return true };
        let view = View::around(&self.pieces[..piece.first], piece.span, &self.pieces[piece.end..], WORK_GAPS);
        // A gap beside it may have become too short to be rest.
        let beside = self.frame.rules.goes_on;
        let region = Span::new(changed.start() - beside, changed.end() + beside).unwrap_or(changed);
        self.passes(Of::Work, &view, region, piece.added)
    }

    /// Whether no finding in a window that shares time with `region` counts.
    fn passes(&self, of: Of, view: &View<'_>, region: Span, added: Minutes) -> bool {
        let place = Where { region, scope: self.frame.scope };
        self.check(of, view, place, added, Which::All, |finding| self.is_recorded(&finding))
    }

    /// Whether the record alone has this finding, at least as bad.
    fn is_recorded(&self, finding: &Finding) -> bool {
        self.frame.recorded.iter().any(|old| finding.no_worse_than(old))
    }

    /// Tests rules in the windows that matter; sums are left out whose slack is at least `added`. Each finding
    /// goes to `excused`, which says whether to carry on.
    fn check(&self, of: Of, view: &View<'_>, place: Where, added: Minutes, which: Which, mut excused: impl FnMut(Finding) -> bool) -> bool {
        let spared = |number: usize| self.slack[number] >= added;
        let book = Book { rules: &self.frame.rules, laid: &self.frame.laid };
        book.check(of, view, place, which, spared, &mut excused)
    }

    /// Takes what was added off the slack of each sum. What is left may be less than the true slack; where
    /// it is so little that it may matter, it is found again.
    fn use_slack(&mut self, blocks: Minutes, work: Minutes) {
        for number in 0..self.slack.len() {
            let left = match self.frame.rules.sums[number].of {
                Of::Blocks => self.slack[number] - blocks,
                Of::Work => self.slack[number] - work,
            };
            self.slack[number] = if left < ENOUGH { self.measure_slack(number) } else { left };
        }
    }

    /// How much may be added anywhere without breaking a sum; nothing where its windows are laid out by the
    /// clock or short gaps are added, so that these, which are few, are always tested.
    fn measure_slack(&self, number: usize) -> Minutes {
        let sum = &self.frame.rules.sums[number];
        let (SumWindows::Anchored(length), None) = (sum.windows, sum.gap) else { return Minutes::new(-1) };
        let spans = match sum.of {
            Of::Blocks => &self.blocks,
            Of::Work => &self.pieces,
        };
        sum.limit.most(length) - sums::most_covered(spans, length, self.frame.scope.start())
    }
}
