//! A timeline as it would be, without building it.

use crate::time::{Minutes, Moment, Span};

/// Which gaps between two stretches do not part them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gaps<'a> {
    /// Shorter gaps do not.
    pub(super) least: Minutes,
    /// Gaps inside one of these do not; sorted, apart.
    pub(super) breaks: &'a [Span],
    /// The longest of them.
    pub(super) longest: Minutes,
}

impl Gaps<'_> {
    /// Gaps of this length and more part, whatever the breaks.
    pub(super) const fn of(least: Minutes) -> Self {
        Self { least, breaks: &[], longest: Minutes::ZERO }
    }

    /// Whether the gap from `from` to `to` does not part what is around it.
    #[inline]
    pub(super) fn join(&self, from: Moment, to: Moment) -> bool {
        let gap = to - from;
        gap < self.least || (gap <= self.longest && self.in_break(from, to))
    }

    fn in_break(&self, from: Moment, to: Moment) -> bool {
        let after = self.breaks.partition_point(|named| named.start() <= from);
        after > 0 && to <= self.breaks[after - 1].end()
    }
}

/// Stretches in time order without overlap: some before, up to two in the middle, some after. Where a gap
/// does not part two of them they belong to one run.
#[derive(Clone, Copy, Debug)]
pub(super) struct View<'a> {
    before: &'a [Span],
    middle: [Span; 2],
    middles: usize,
    after: &'a [Span],
    gaps: Gaps<'a>,
    /// The gaps after stretches before this index part; those after later ones have to be looked at.
    parted: usize,
}

/// The windows of a view that matter: those that share time with both.
#[derive(Clone, Copy, Debug)]
pub(super) struct Where {
    /// What was changed, or is asked about.
    pub(super) region: Span,
    /// What is judged at all.
    pub(super) scope: Span,
}

impl Where {
    /// Whether the window from `start` to `end` matters.
    #[inline]
    pub(super) fn matters(&self, start: Moment, end: Moment) -> bool {
        let shares = |span: Span| start < span.end() && span.start() < end;
        shares(self.region) && shares(self.scope)
    }
}

impl<'a> View<'a> {
    /// `middle` between the others, every gap of which parts.
    pub(super) const fn around(before: &'a [Span], middle: Span, after: &'a [Span], gaps: Gaps<'a>) -> Self {
        Self { before, middle: [middle; 2], middles: 1, after, gaps, parted: usize::MAX }
    }

    /// `first` and `second` between the others; the gaps up to `first` part.
    pub(super) fn with(before: &'a [Span], first: Option<Span>, second: Option<Span>, after: &'a [Span], gaps: Gaps<'a>) -> Self {
        let (middle, middles) = match (first, second) {
            (Some(first), Some(second)) => ([first, second], 2),
            (Some(only), None) | (None, Some(only)) => ([only; 2], 1),
            (None, None) => ([unused(); 2], 0),
        };
        Self { before, middle, middles, after, gaps, parted: before.len() }
    }
}

/// Stretches in time order without overlap, some of which may belong together in runs.
pub(super) trait Stretches {
    /// Number of stretches.
    fn len(&self) -> usize;

    /// The stretch of this index.
    fn get(&self, index: usize) -> Span;

    /// End of the stretch of this index, with the gap after it where that does not part.
    fn end(&self, index: usize) -> Moment;

    /// Whether a run begins with this index.
    fn begins(&self, index: usize) -> bool;

    /// Whether a run ends with this index.
    fn ends(&self, index: usize) -> bool;

    /// An index near which the question is.
    fn pivot(&self) -> usize;

    /// The same stretches with other gaps that part them.
    fn with_gaps<'b>(&'b self, gaps: Gaps<'b>) -> View<'b>;

    /// Start of the stretch of this index.
    #[inline]
    fn start(&self, index: usize) -> Moment {
        self.get(index).start()
    }

    /// One more than the last index that starts before `moment`.
    #[inline]
    fn starting_before(&self, moment: Moment) -> usize {
        let mut index = self.pivot().min(self.len());
        while index < self.len() && self.start(index) < moment {
            index += 1;
        }
        while index > 0 && self.start(index - 1) >= moment {
            index -= 1;
        }
        index
    }

    /// The first index that ends after `moment`.
    #[inline]
    fn ending_after(&self, moment: Moment) -> usize {
        let mut index = self.pivot().min(self.len());
        while index > 0 && self.end(index - 1) > moment {
            index -= 1;
        }
        while index < self.len() && self.end(index) <= moment {
            index += 1;
        }
        index
    }
}

impl Stretches for View<'_> {
    #[inline]
    fn len(&self) -> usize {
        self.before.len() + self.middles + self.after.len()
    }

    #[inline]
    fn get(&self, index: usize) -> Span {
        let before = self.before.len();
        if index < before {
            self.before[index]
        } else if index < before + self.middles {
            self.middle[index - before]
        } else {
            self.after[index - before - self.middles]
        }
    }

    #[inline]
    fn end(&self, index: usize) -> Moment {
        let end = self.get(index).end();
        if index >= self.parted && index + 1 < self.len() {
            let next = self.start(index + 1);
            if self.gaps.join(end, next) { next } else { end }
        } else {
            end
        }
    }

    #[inline]
    fn begins(&self, index: usize) -> bool {
        index <= self.parted || self.end(index - 1) < self.start(index)
    }

    #[inline]
    fn ends(&self, index: usize) -> bool {
        index < self.parted || index + 1 == self.len() || self.end(index) < self.start(index + 1)
    }

    #[inline]
    fn pivot(&self) -> usize {
        self.before.len()
    }

    fn with_gaps<'b>(&'b self, gaps: Gaps<'b>) -> View<'b> {
        View { gaps, parted: 0, ..*self }
    }
}

/// Stretches every gap between which parts.
#[derive(Clone, Copy, Debug)]
pub(super) struct Parted<'a>(pub(super) &'a [Span]);

impl Stretches for Parted<'_> {
    #[inline]
    fn len(&self) -> usize {
        self.0.len()
    }

    #[inline]
    fn get(&self, index: usize) -> Span {
        self.0[index]
    }

    #[inline]
    fn end(&self, index: usize) -> Moment {
        self.0[index].end()
    }

    #[inline]
    fn begins(&self, _: usize) -> bool {
        true
    }

    #[inline]
    fn ends(&self, _: usize) -> bool {
        true
    }

    fn pivot(&self) -> usize {
        0
    }

    fn with_gaps<'b>(&'b self, gaps: Gaps<'b>) -> View<'b> {
        View::with(&[], None, None, self.0, gaps)
    }

    fn starting_before(&self, moment: Moment) -> usize {
        self.0.partition_point(|span| span.start() < moment)
    }

    fn ending_after(&self, moment: Moment) -> usize {
        self.0.partition_point(|span| span.end() <= moment)
    }
}

/// Fills a place in the middle that is not used.
fn unused() -> Span {
    Span::new(Moment::FAR_PAST, Moment::FAR_FUTURE).expect("the past is before the future")
}
