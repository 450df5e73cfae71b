//! The incremental checker: insert, test, undo.

mod call;
mod check;
mod rules;
mod trail;
mod view;

#[cfg(test)]
mod tests;

pub use rules::{ClosedRules, NotClosed};
pub use trail::Mark;

use crate::clock::ShipClock;
use crate::rest::line::rules::{Of, SumWindows};
use crate::rest::line::trail::Trail;
use crate::rest::line::view::{Gaps, View, Where};
use crate::rest::rule::Kind;
use crate::rest::{Finding, Timeline, judge, windows};
use crate::time::{Minutes, Moment, Span};

/// What a [`Line`] is made from.
#[derive(Clone, Copy, Debug)]
pub struct LineInput<'a> {
    /// The rules; closed, so that legal so far is legal for good.
    pub rules: &'a ClosedRules,
    /// Recorded work, in any order; what it breaks alone does not count.
    pub recorded: &'a [Span],
    /// Work that is fixed: the person's turns and fixed duties; in any order.
    pub fixed: &'a [Span],
    /// Named breaks laid out for the person; in any order, apart.
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
    rules: ClosedRules,
    breaks: Vec<Span>,
    longest_break: Minutes,
    scope: Span,
    laid: Vec<Vec<Span>>,
    recorded: Vec<Finding>,
    pieces: Vec<Span>,
    blocks: Vec<Span>,
    /// For each sum over anchored windows, how much may be added anywhere without breaking it.
    slack: Vec<Minutes>,
    clean: bool,
    trail: Trail,
}

/// How many conditions are tested.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Depth {
    /// Those from which the others follow; enough to know that nothing is broken.
    Quick,
    /// All; a finding that is excused must not hide another one in the same window.
    Full,
}

/// Where a new stretch goes among sorted ones: it replaces `first..end` by `span`.
#[derive(Clone, Copy, Debug)]
struct Place {
    first: usize,
    end: usize,
    span: Span,
    /// From the first to the last minute that was not covered before; `None` where nothing is new.
    changed: Option<Span>,
    /// How many minutes were not covered before.
    added: Minutes,
}

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
        let mut recorded = crate::rest::findings(set, &alone, scope);
        recorded.sort_unstable();
        let mut breaks = breaks.to_vec();
        breaks.sort_unstable();
        // A call may reach over the end of what is judged.
        let around = Span::new(scope.start() - Minutes::WEEK, scope.end() + Minutes::WEEK).map_or(scope, |wide| wide.hull(scope));
        let laid = rules.sums.iter().map(|sum| match (sum.windows, &set.rules[sum.rule].kind) {
            (SumWindows::Anchored(_), _) => Vec::new(),
            (SumWindows::Laid, Kind::NightWork(night)) => night.nights(clock, around),
            (SumWindows::Laid, kind) => windows::calendar(kind.window().unwrap_or(Minutes::DAY), clock, around),
        });
        let mut line = Self {
            laid: laid.collect(),
            rules: rules.clone(),
            longest_break: breaks.iter().map(|named| named.length()).max().unwrap_or(Minutes::ZERO),
            breaks,
            scope,
            recorded,
            pieces: whole.work().to_vec(),
            blocks: whole.blocks().to_vec(),
            slack: Vec::new(),
            clean: judged.counting.is_empty(),
            trail: Trail::default(),
        };
        line.slack = vec![Minutes::ZERO; line.rules.sums.len()];
        line.measure_slack();
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

    /// Whether no finding counts against what the line holds. Once that is not so it stays so until undone.
    #[must_use]
    pub const fn is_clean(&self) -> bool {
        self.clean
    }

    /// Whether with `span` as work too no finding would count.
    #[must_use]
    pub fn fits(&self, span: Span) -> bool {
        self.clean && self.fits_at(span, self.place_block(span))
    }

    /// Adds `span` as work, whether it fits or not; it may overlap what is there.
    pub fn insert(&mut self, span: Span) {
        let block = self.place_block(span);
        let clean = self.clean && self.fits_at(span, block);
        let piece = place(&self.pieces, span, Gaps::of(Minutes::new(1)));
        self.trail.begin(self.clean, &self.slack);
        self.trail.blocks.replace(&mut self.blocks, block.first, block.end, block.span);
        self.trail.pieces.replace(&mut self.pieces, piece.first, piece.end, piece.span);
        self.clean = clean;
        if block.changed.is_some() || piece.changed.is_some() {
            self.measure_slack();
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

    fn gaps(&self) -> Gaps<'_> {
        Gaps { least: self.rules.set().min_rest, breaks: &self.breaks, longest: self.longest_break }
    }

    fn place_block(&self, span: Span) -> Place {
        place(&self.blocks, span, self.gaps())
    }

    fn fits_at(&self, span: Span, block: Place) -> bool {
        if let Some(region) = block.changed {
            let view = View::around(&self.blocks[..block.first], block.span, &self.blocks[block.end..], self.gaps());
            if !self.passes(Of::Blocks, &view, region, block.added) {
                return false;
            }
        }
        if !self.rules.uses_pieces {
            return true;
        }
        let piece = place(&self.pieces, span, Gaps::of(Minutes::new(1)));
        let Some(region) = piece.changed else { return true };
        let view = View::around(&self.pieces[..piece.first], piece.span, &self.pieces[piece.end..], Gaps::of(Minutes::new(1)));
        self.passes(Of::Work, &view, region, piece.added)
    }

    /// Whether no finding in a window that shares time with `region` counts.
    fn passes(&self, of: Of, view: &View<'_>, region: Span, added: Minutes) -> bool {
        let place = Where { region, scope: self.scope };
        self.check(of, view, place, added, Depth::Quick, |_| false)
            || (!self.recorded.is_empty() && self.check(of, view, place, added, Depth::Full, |finding| self.is_recorded(&finding)))
    }

    /// Whether the record alone has this finding, at least as bad.
    fn is_recorded(&self, finding: &Finding) -> bool {
        self.recorded.iter().any(|old| finding.no_worse_than(old))
    }

    /// Tests every rule over blocks, or every rule over pieces, in the windows that matter; sums are left out
    /// whose slack is at least `added`. Each finding goes to `excused`, which says whether to carry on.
    fn check(&self, of: Of, view: &View<'_>, place: Where, added: Minutes, depth: Depth, mut excused: impl FnMut(Finding) -> bool) -> bool {
        let report = &mut excused;
        for run in &self.rules.runs {
            let passes = match (of, run.gap) {
                (Of::Blocks, None) => check::runs(run, view, place, report),
                (Of::Work, Some(gap)) => check::runs(run, &view.with_gaps(Gaps::of(gap)), place, report),
                (Of::Blocks, Some(_)) | (Of::Work, None) => true,
            };
            if !passes {
                return false;
            }
        }
        if of == Of::Blocks {
            for group in &self.rules.groups {
                let conditions = match depth {
                    Depth::Quick => &group.quick,
                    Depth::Full => &group.full,
                };
                if !check::group(group, conditions, view, place, report) {
                    return false;
                }
            }
        }
        for (number, sum) in self.rules.sums.iter().enumerate() {
            if sum.of != of || self.slack[number] >= added {
                continue;
            }
            let passes = match sum.windows {
                SumWindows::Anchored(length) => check::anchored(sum, length, view, place, report),
                SumWindows::Laid => check::laid(sum, &self.laid[number], view, place, report),
            };
            if !passes {
                return false;
            }
        }
        true
    }

    /// Finds the slack of every sum again.
    ///
    /// The least over the anchored windows that reach the scope is the least over all windows that do:
    /// moved over a rest at one edge, or over work at both, a window comes to an anchored one with no less
    /// in it. The last end before the scope is one of those it may come to.
    fn measure_slack(&mut self) {
        for number in 0..self.rules.sums.len() {
            let sum = &self.rules.sums[number];
            // Windows laid out by the clock are few; they are always tested.
            let SumWindows::Anchored(length) = sum.windows else {
                self.slack[number] = Minutes::new(-1);
                continue;
            };
            let (spans, gaps) = match sum.of {
                Of::Blocks => (&self.blocks, self.gaps()),
                Of::Work => (&self.pieces, Gaps::of(Minutes::new(1))),
            };
            let last = spans[..spans.partition_point(|span| span.end() <= self.scope.start())].last();
            let from = last.map_or(self.scope.start(), |last| last.end() - Minutes::new(1)).min(self.scope.start());
            let most = sum.limit.most(length);
            let mut slack = most;
            if let Some(region) = Span::new(from, Moment::FAR_FUTURE) {
                let place = Where { region, scope: region };
                check::sweep(length, &View::all(spans, gaps), place, &mut |_, covered| {
                    slack = slack.min(most - covered);
                    true
                });
            }
            self.slack[number] = slack;
        }
    }
}

/// Where `span` goes among `spans`.
fn place(spans: &[Span], span: Span, gaps: Gaps<'_>) -> Place {
    let mut first = spans.partition_point(|old| old.end() < span.start());
    let mut end = first + spans[first..].iter().take_while(|old| old.start() <= span.end()).count();
    let mut whole = span;
    if let [head, ..] = &spans[first..end] {
        whole = whole.hull(*head).hull(spans[end - 1]);
    }
    if first > 0 && gaps.join(spans[first - 1].end(), whole.start()) {
        first -= 1;
        whole = whole.hull(spans[first]);
    }
    if end < spans.len() && gaps.join(whole.end(), spans[end].start()) {
        whole = whole.hull(spans[end]);
        end += 1;
    }
    let replaced = &spans[first..end];
    let covered: Minutes = replaced.iter().map(|old| old.length()).sum();
    let from = replaced.first().filter(|old| old.start() == whole.start()).map_or(whole.start(), |old| old.end());
    let to = replaced.last().filter(|old| old.end() == whole.end()).map_or(whole.end(), |old| old.start());
    Place { first, end, span: whole, changed: Span::new(from, to), added: whole.length() - covered }
}
