//! Points and lengths of time, as different types.
//!
//! Everything inside is elapsed time in whole minutes, counted from the **origin**: 00:00 by ship's
//! clock of day 1 of the job. Instants before the origin are negative. Stretches are half-open. Ship's
//! clock (offsets, clock changes, days) is the business of [`crate::clock`] alone.

use std::fmt;
use std::ops::{Add, AddAssign, Neg, Sub};

/// A point in elapsed time, in minutes from the origin.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Moment(i32);

/// A length of elapsed time in minutes; may be negative as a difference.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct Minutes(i32);

impl Moment {
    /// The origin: 00:00 by ship's clock of day 1.
    pub const ORIGIN: Self = Self(0);
    /// Earlier than any moment of a job (about 95 years before the origin).
    pub const FAR_PAST: Self = Self(-50_000_000);
    /// Later than any moment of a job (about 95 years after the origin).
    pub const FAR_FUTURE: Self = Self(50_000_000);

    /// The moment `minutes` after the origin.
    #[must_use]
    #[inline]
    pub const fn new(minutes: i32) -> Self {
        Self(minutes)
    }

    /// Minutes since the origin.
    #[must_use]
    #[inline]
    pub const fn minutes(self) -> i32 {
        self.0
    }
}

impl Minutes {
    /// No time at all.
    pub const ZERO: Self = Self(0);
    /// Twenty-four hours of elapsed time.
    pub const DAY: Self = Self(24 * 60);
    /// 168 hours of elapsed time.
    pub const WEEK: Self = Self(7 * 24 * 60);

    /// A length of so many minutes.
    #[must_use]
    #[inline]
    pub const fn new(minutes: i32) -> Self {
        Self(minutes)
    }

    /// A length of so many hours.
    #[must_use]
    #[inline]
    pub const fn hours(hours: i32) -> Self {
        Self(hours * 60)
    }

    /// The number of minutes.
    #[must_use]
    #[inline]
    pub const fn get(self) -> i32 {
        self.0
    }

    /// Hours as a number to print or to write to a file; never to calculate with.
    #[must_use]
    #[inline]
    pub fn as_hours(self) -> f64 {
        f64::from(self.0) / 60.0
    }

    /// Whether nothing is left of it.
    #[must_use]
    #[inline]
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }
}

impl fmt::Display for Minutes {
    /// Hours and minutes: `7 h 30`, `12 h`, `-0 h 30`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let (hours, rest) = (self.0.abs() / 60, self.0.abs() % 60);
        let text = if rest == 0 { format!("{sign}{hours} h") } else { format!("{sign}{hours} h {rest:02}") };
        f.pad(&text)
    }
}

impl Add<Minutes> for Moment {
    type Output = Self;
    #[inline]
    fn add(self, length: Minutes) -> Self {
        Self(self.0 + length.0)
    }
}

impl Sub<Minutes> for Moment {
    type Output = Self;
    #[inline]
    fn sub(self, length: Minutes) -> Self {
        Self(self.0 - length.0)
    }
}

impl Sub for Moment {
    type Output = Minutes;
    #[inline]
    fn sub(self, other: Self) -> Minutes {
        Minutes(self.0 - other.0)
    }
}

impl Add for Minutes {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Minutes {
    #[inline]
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Minutes {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Minutes {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl std::iter::Sum for Minutes {
    fn sum<It: Iterator<Item = Self>>(lengths: It) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

/// A half-open stretch `[start, end)` of elapsed time, never empty.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Span {
    start: Moment,
    end: Moment,
}

impl Span {
    /// The stretch from `start` (in it) to `end` (not in it); `None` where that is empty.
    #[must_use]
    #[inline]
    pub fn new(start: Moment, end: Moment) -> Option<Self> {
        (start < end).then_some(Self { start, end })
    }

    /// The stretch of `length` from `start`; `None` where `length` is not positive.
    #[must_use]
    #[inline]
    pub fn of(start: Moment, length: Minutes) -> Option<Self> {
        Self::new(start, start + length)
    }

    /// The first moment of it.
    #[must_use]
    #[inline]
    pub const fn start(self) -> Moment {
        self.start
    }

    /// The first moment after it.
    #[must_use]
    #[inline]
    pub const fn end(self) -> Moment {
        self.end
    }

    /// How long it is; always positive.
    #[must_use]
    #[inline]
    pub fn length(self) -> Minutes {
        self.end - self.start
    }

    /// Whether `moment` lies in it (the end does not).
    #[must_use]
    #[inline]
    pub fn contains(self, moment: Moment) -> bool {
        self.start <= moment && moment < self.end
    }

    /// Whether the whole of `other` lies in it.
    #[must_use]
    #[inline]
    pub fn covers(self, other: Self) -> bool {
        self.start <= other.start && other.end <= self.end
    }

    /// Whether the two share at least a minute.
    #[must_use]
    #[inline]
    pub fn overlaps(self, other: Self) -> bool {
        self.start < other.end && other.start < self.end
    }

    /// What the two share.
    #[must_use]
    #[inline]
    pub fn intersection(self, other: Self) -> Option<Self> {
        Self::new(self.start.max(other.start), self.end.min(other.end))
    }

    /// The shortest stretch that covers both.
    #[must_use]
    #[inline]
    pub fn hull(self, other: Self) -> Self {
        Self { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The parts of it outside every one of `holes` (sorted by start or not), in time order.
    #[must_use]
    pub fn without(self, holes: &[Self]) -> Vec<Self> {
        let mut sorted: Vec<Self> = holes.iter().copied().filter(|h| h.overlaps(self)).collect();
        sorted.sort_unstable();
        let mut parts = Vec::new();
        let mut from = self.start;
        for hole in sorted {
            parts.extend(Self::new(from, hole.start));
            from = from.max(hole.end);
        }
        parts.extend(Self::new(from, self.end));
        parts
    }
}

/// Joins stretches that touch or overlap; the result is sorted and its members are apart.
#[must_use]
pub fn union(mut spans: Vec<Span>) -> Vec<Span> {
    spans.sort_unstable();
    let mut joined: Vec<Span> = Vec::with_capacity(spans.len());
    for span in spans {
        match joined.last_mut() {
            Some(last) if span.start <= last.end => last.end = last.end.max(span.end),
            _ => joined.push(span),
        }
    }
    joined
}

/// A point on the slot grid: the start of slot number `n` counted from the origin; may be negative.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Slot(i32);

/// A number of whole slots.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct Slots(i32);

impl Slot {
    /// The start of slot number `n`.
    #[must_use]
    #[inline]
    pub const fn new(n: i32) -> Self {
        Self(n)
    }
    /// The slot number, counted from the origin.
    #[must_use]
    #[inline]
    pub const fn number(self) -> i32 {
        self.0
    }
}

impl Slots {
    /// No slot.
    pub const ZERO: Self = Self(0);
    /// So many slots.
    #[must_use]
    #[inline]
    pub const fn new(n: i32) -> Self {
        Self(n)
    }
    /// The number of slots.
    #[must_use]
    #[inline]
    pub const fn count(self) -> i32 {
        self.0
    }
}

impl Add<Slots> for Slot {
    type Output = Self;
    #[inline]
    fn add(self, length: Slots) -> Self {
        Self(self.0 + length.0)
    }
}

impl Sub<Slots> for Slot {
    type Output = Self;
    #[inline]
    fn sub(self, length: Slots) -> Self {
        Self(self.0 - length.0)
    }
}

impl Sub for Slot {
    type Output = Slots;
    #[inline]
    fn sub(self, other: Self) -> Slots {
        Slots(self.0 - other.0)
    }
}

impl Add for Slots {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Slots {
    #[inline]
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Slots {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl std::iter::Sum for Slots {
    fn sum<It: Iterator<Item = Self>>(lengths: It) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

/// The grid on which placements sit: slots of equal length, aligned to the origin.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Grid {
    slot: i32,
}

impl Grid {
    /// A grid of slots of `slot` minutes; `None` unless that is between 1 and 60 and divides an hour.
    #[must_use]
    #[inline]
    pub fn new(slot: Minutes) -> Option<Self> {
        ((1..=60).contains(&slot.0) && 60 % slot.0 == 0).then_some(Self { slot: slot.0 })
    }

    /// Length of a slot.
    #[must_use]
    #[inline]
    pub const fn slot(self) -> Minutes {
        Minutes(self.slot)
    }

    /// The moment at which `slot` starts.
    #[must_use]
    #[inline]
    pub const fn moment(self, slot: Slot) -> Moment {
        Moment(slot.0 * self.slot)
    }

    /// How long `slots` slots are.
    #[must_use]
    #[inline]
    pub const fn length(self, slots: Slots) -> Minutes {
        Minutes(slots.0 * self.slot)
    }

    /// The last slot boundary at or before `moment`.
    #[must_use]
    #[inline]
    pub const fn floor(self, moment: Moment) -> Slot {
        Slot(moment.0.div_euclid(self.slot))
    }

    /// The first slot boundary at or after `moment`.
    #[must_use]
    #[inline]
    pub const fn ceil(self, moment: Moment) -> Slot {
        Slot(-(-moment.0).div_euclid(self.slot))
    }

    /// The smallest number of slots that holds `length`.
    #[must_use]
    #[inline]
    pub const fn ceil_length(self, length: Minutes) -> Slots {
        Slots(-(-length.0).div_euclid(self.slot))
    }

    /// Whether `moment` is a slot boundary.
    #[must_use]
    #[inline]
    pub const fn aligned(self, moment: Moment) -> bool {
        moment.0.rem_euclid(self.slot) == 0
    }
}
