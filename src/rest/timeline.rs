//! The rest timeline of one person.

use chrono::NaiveDate;

use crate::clock::ShipClock;
use crate::rest::{Edge, RuleSet};
use crate::time::{Minutes, Moment, Span, union};

/// When one person works and when that person rests, made regular.
///
/// Work is the union of the given spans. A gap between two pieces of work is *neither work nor rest* when
/// it is shorter than the set's least rest, or when the whole of it lies inside one named break; such gaps
/// are merged with the work around them into **blocks**. Everything outside the blocks is rest, without
/// end before the first and after the last. Windows start and end at blocks, never at a merged gap.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Timeline {
    work: Vec<Span>,
    blocks: Vec<Span>,
    filled: Vec<Span>,
    rests: Vec<Span>,
    breaks: Vec<Span>,
    clock: ShipClock,
}

impl Timeline {
    /// The timeline of `work` (any order, overlaps allowed) with the named breaks laid out for the person
    /// (any order; those that touch count as one), under the least rest of `set`.
    ///
    /// Days, where a reading needs them, are 24 hours from the origin and day 1 is a Monday, unless
    /// [`Timeline::on_clock`] says otherwise.
    ///
    /// # Panics
    /// Never: the stand-in clock is a legal one.
    #[must_use]
    pub fn new(set: &RuleSet, work: Vec<Span>, breaks: &[Span]) -> Self {
        let work = union(work);
        let breaks = union(breaks.to_vec());
        let blocks = joined(&work, |from, to| is_no_rest(from, to, set.min_rest, &breaks));
        let filled = joined(&work, |from, to| to - from < set.min_rest);
        let monday = NaiveDate::from_ymd_opt(2001, 1, 1).expect("a date of the calendar");
        let clock = ShipClock::new(monday, Minutes::ZERO, Vec::new()).expect("a clock without changes");
        let all = Span::new(Moment::FAR_PAST, Moment::FAR_FUTURE).expect("the past is before the future");
        let rests = all.without(&blocks);
        Self { work, blocks, filled, rests, breaks, clock }
    }

    /// The same timeline with the days of `clock`.
    #[must_use]
    pub fn on_clock(mut self, clock: ShipClock) -> Self {
        self.clock = clock;
        self
    }

    /// The timeline of other work of the same person: same breaks, same clock.
    #[must_use]
    pub fn with_work(&self, set: &RuleSet, work: Vec<Span>) -> Self {
        Self::new(set, work, &self.breaks).on_clock(self.clock.clone())
    }

    /// Work alone, joined where it touches; in time order.
    #[must_use]
    pub fn work(&self) -> &[Span] {
        &self.work
    }

    /// Work with the gaps that are no rest; in time order, at least a rest apart.
    #[must_use]
    pub fn blocks(&self) -> &[Span] {
        &self.blocks
    }

    /// Work with the gaps too short to be rest, named breaks or not; a longer gap that is a named break is none of them. In
    /// time order.
    #[must_use]
    pub fn filled(&self) -> &[Span] {
        &self.filled
    }

    /// The named breaks, joined where they touch; in time order.
    #[must_use]
    pub fn breaks(&self) -> &[Span] {
        &self.breaks
    }

    /// The clock whose days and weeks the calendar readings use.
    #[must_use]
    pub const fn clock(&self) -> &ShipClock {
        &self.clock
    }

    /// The rests, in time order; the first begins in the far past and the last ends in the far future.
    #[must_use]
    pub fn rests(&self) -> &[Span] {
        &self.rests
    }

    /// Lengths of the rests that share time with `window`, in time order: the shared part, or the whole of
    /// each, as `edge` says.
    #[must_use]
    pub fn rests_in(&self, window: Span, edge: Edge) -> Vec<Minutes> {
        let touching = touching(&self.rests, window);
        match edge {
            Edge::Part => touching.filter_map(|rest| rest.intersection(window)).map(Span::length).collect(),
            Edge::Whole => touching.map(Span::length).collect(),
        }
    }
}

/// Those of `spans` (in time order, apart) that share time with `window`.
pub(in crate::rest) fn touching(spans: &[Span], window: Span) -> impl Iterator<Item = Span> {
    let first = spans.partition_point(|span| span.end() <= window.start());
    spans[first..].iter().copied().take_while(move |span| span.start() < window.end())
}

/// `work` (in time order, apart), joined over the gaps of which `joins` says so.
fn joined(work: &[Span], joins: impl Fn(Moment, Moment) -> bool) -> Vec<Span> {
    let mut all: Vec<Span> = Vec::with_capacity(work.len());
    for &piece in work {
        match all.last_mut() {
            Some(last) if joins(last.end(), piece.start()) => *last = last.hull(piece),
            _ => all.push(piece),
        }
    }
    all
}

/// Whether the gap from `from` to `to` between two pieces of work is neither work nor rest.
fn is_no_rest(from: Moment, to: Moment, min_rest: Minutes, breaks: &[Span]) -> bool {
    to - from < min_rest || breaks.iter().any(|named| named.start() <= from && to <= named.end())
}
