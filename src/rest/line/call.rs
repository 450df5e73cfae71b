//! Whether a person may be called, as far as rest goes.

use crate::rest::Finding;
use crate::rest::line::Line;
use crate::rest::line::check::{WORK_GAPS, Which};
use crate::rest::line::rules::{Of, SumWindows};
use crate::rest::line::view::{Gaps, Stretches, View, Where};
use crate::time::{Minutes, Moment, Span};

/// More than any slack: every sum is tested, whatever the slack.
const EVERYTHING: Minutes = Minutes::new(i32::MAX);

/// The timeline around a call: what was done before it, the call or none, and what must be done after.
#[derive(Clone, Copy)]
struct Around<'a> {
    blocks: &'a [Span],
    cut_block: Option<Span>,
    pieces: &'a [Span],
    cut_piece: Option<Span>,
    tail: &'a [Span],
}

impl Line {
    /// Whether calling the person at `at` for `length` causes no finding.
    ///
    /// The timeline is the work before `at` (cut off there), the call, and of `tail` what starts at or
    /// after the end of the call. It is compared with the same timeline without the call: a finding in a
    /// window that shares time with the call counts unless that one has it too, in the same window and at
    /// least as bad. Whether other work fits does not matter.
    ///
    /// `tail` holds what may not be dropped for a call: the person's turns and unleavable duties, all of
    /// which the line holds too; sorted, without overlap. A call that is not longer than nothing is none.
    #[must_use]
    pub fn call_fits(&self, at: Moment, length: Minutes, tail: &[Span]) -> bool {
        let Some(call) = Span::of(at, length) else { return true };
        let around = self.around(at, &tail[tail.partition_point(|span| span.start() < call.end())..]);
        let place = Where { region: call, scope: call };
        let blocks = View::with(around.blocks, around.cut_block, Some(call), around.tail, self.gaps());
        let pivot = blocks.pivot() + usize::from(around.cut_block.is_some());
        let before = if pivot > 0 && !blocks.begins(pivot) { at - blocks.get(pivot - 1).end() } else { Minutes::ZERO };
        let grown = before + (blocks.end(pivot) - at);
        // The slack is known from the scope on, and says how much any window can still take.
        let added = |minutes: Minutes| if at < self.frame.scope.start() { EVERYTHING } else { minutes };
        if !self.passes_call(Of::Blocks, &blocks, place, added(grown), &around) {
            return false;
        }
        if !self.frame.rules.uses_pieces {
            return true;
        }
        let pieces = View::with(around.pieces, around.cut_piece, Some(call), around.tail, WORK_GAPS);
        self.passes_call(Of::Work, &pieces, place, added(length), &around)
    }

    /// How long before a call of at most `length` work can matter to whether it fits; what ended earlier does not.
    #[must_use]
    pub fn call_reach(&self, length: Minutes) -> Minutes {
        let rules = &self.frame.rules;
        let joins = self.gaps().least.max(self.frame.longest_break);
        let group = |g: &crate::rest::line::rules::Group| g.window;
        let run = |r: &crate::rest::line::rules::Run| r.at_most + r.gap.unwrap_or(joins);
        let sums = rules.sums.iter().enumerate().filter(|(number, _)| self.slack[*number] < length + joins);
        let sum = |(number, sum): (usize, &crate::rest::line::rules::Sum)| match sum.windows {
            SumWindows::Anchored(window) => window,
            SumWindows::Laid => self.frame.laid[number].iter().map(|w| w.length()).max().unwrap_or(Minutes::ZERO),
        };
        let reaches = rules.groups.iter().map(group).chain(rules.runs.iter().map(run)).chain(sums.map(sum));
        reaches.max().unwrap_or(Minutes::ZERO) + joins
    }

    /// Whether every finding of the view is one that the timeline without the call has too.
    fn passes_call(&self, of: Of, view: &View<'_>, place: Where, added: Minutes, around: &Around<'_>) -> bool {
        let without = around.without(of, self.gaps());
        self.check(of, view, place, added, Which::All, |finding| self.has(of, &without, &finding))
    }

    /// The work before `at`, cut off there, with `tail` after it.
    fn around<'a>(&'a self, at: Moment, tail: &'a [Span]) -> Around<'a> {
        let started = self.pieces.partition_point(|piece| piece.start() < at);
        let last = started.checked_sub(1).map(|index| self.pieces[index]);
        let cut_piece = last.and_then(|piece| Span::new(piece.start(), piece.end().min(at)));
        let begun = self.blocks.partition_point(|block| block.start() < at);
        let block = begun.checked_sub(1).map(|index| self.blocks[index]);
        // The last block ends with the last piece before the call: a gap of no rest may be cut away.
        let cut_block = block.zip(cut_piece).and_then(|(block, piece)| Span::new(block.start(), piece.end()));
        let pieces = &self.pieces[..started.saturating_sub(1)];
        Around { blocks: &self.blocks[..begun.saturating_sub(1)], cut_block, pieces, cut_piece, tail }
    }

    /// Whether `view` has `finding` too, at least as bad.
    fn has(&self, of: Of, view: &View<'_>, finding: &Finding) -> bool {
        // A window that shares time with its first and with its last minute covers it.
        let (from, to) = (finding.window.start(), finding.window.end());
        let minute = Minutes::new(1);
        let Some((region, scope)) = Span::of(from, minute).zip(Span::of(to - minute, minute)) else { return false };
        let mut has = false;
        self.check(of, view, Where { region, scope }, EVERYTHING, Which::One(finding.rule), |other| {
            has |= finding.no_worse_than(&other);
            !has
        });
        has
    }
}

impl<'a> Around<'a> {
    /// The timeline without the call.
    fn without(&self, of: Of, gaps: Gaps<'a>) -> View<'a> {
        match of {
            Of::Blocks => View::with(self.blocks, self.cut_block, None, self.tail, gaps),
            Of::Work => View::with(self.pieces, self.cut_piece, None, self.tail, WORK_GAPS),
        }
    }
}
