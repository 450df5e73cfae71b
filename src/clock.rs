//! Ship's clock: the only place that turns elapsed time into civil time and back.
//!
//! The clock has an offset from UTC that may change at stated instants (advanced or retarded on
//! passage). Days are ship's days: from 00:00 to 24:00 by ship's clock, so a day with a clock change has
//! 23 or 25 hours of elapsed time.

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, Timelike};

use crate::time::{Minutes, Moment, Span};

/// A ship's day, counted from day 1 of the job; the day before day 1 is day 0.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Day(i32);

impl Day {
    /// Day number `n`; day 1 is the first day of the job.
    #[must_use]
    pub const fn new(n: i32) -> Self {
        Self(n)
    }
    /// The number people call it by.
    #[must_use]
    pub const fn number(self) -> i32 {
        self.0
    }
    /// The day after it.
    #[must_use]
    pub const fn next(self) -> Self {
        Self(self.0 + 1)
    }
}

/// A change of the ship's clock.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ClockChange {
    /// The instant from which the new offset holds.
    pub at: Moment,
    /// Minutes to add to UTC from then on.
    pub offset: Minutes,
}

/// How a local date-time maps to elapsed time.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Local {
    /// It occurs once.
    Once(Moment),
    /// The clock was put back over it: it occurs twice, and the offset must be said.
    Twice(Moment, Moment),
    /// The clock was put forward over it: it never occurs.
    Never,
}

/// The ship's clock of a job.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ShipClock {
    day_one: NaiveDate,
    offset: Minutes,
    changes: Vec<ClockChange>,
}

impl ShipClock {
    /// A clock that shows `day_one` 00:00 at the origin with `offset` from UTC, and changes as listed
    /// (sorted by time here). `None` where an offset is a day or more, where two changes fall together, or where two
    /// offsets differ by a day or more: such a clock would leave a date out or show a whole one again.
    #[must_use]
    pub fn new(day_one: NaiveDate, offset: Minutes, mut changes: Vec<ClockChange>) -> Option<Self> {
        changes.sort_by_key(|c| c.at);
        let fits = |offset: Minutes| offset.get().abs() < 24 * 60;
        let apart = changes.windows(2).all(|w| w[0].at < w[1].at);
        let (least, most) = changes.iter().map(|c| c.offset).fold((offset, offset), |(a, b), c| (a.min(c), b.max(c)));
        let whole = fits(offset) && changes.iter().all(|c| fits(c.offset)) && most - least < Minutes::DAY;
        (whole && apart).then_some(Self { day_one, offset, changes })
    }

    /// The date of day 1.
    #[must_use]
    pub const fn day_one(&self) -> NaiveDate {
        self.day_one
    }

    /// The changes under way, in time order.
    #[must_use]
    pub fn changes(&self) -> &[ClockChange] {
        &self.changes
    }

    /// The offset from UTC in force at `moment` (a change holds from its own instant).
    #[must_use]
    pub fn offset_at(&self, moment: Moment) -> Minutes {
        self.changes.iter().rev().find(|c| c.at <= moment).map_or(self.offset, |c| c.offset)
    }

    /// What the ship's clock shows at `moment`.
    #[must_use]
    pub fn local(&self, moment: Moment) -> NaiveDateTime {
        self.shown(moment, self.offset_at(moment))
    }

    fn shown(&self, moment: Moment, offset: Minutes) -> NaiveDateTime {
        let minutes = i64::from(moment.minutes()) + i64::from((offset - self.offset).get());
        self.day_one.and_time(NaiveTime::MIN).checked_add_signed(TimeDelta::minutes(minutes)).unwrap_or(NaiveDateTime::MAX)
    }

    /// `moment` with the offset in force, to be written as RFC 3339.
    ///
    /// # Panics
    /// Never: an offset is less than a day, and no offset at all is one.
    #[must_use]
    pub fn stamp(&self, moment: Moment) -> DateTime<FixedOffset> {
        let offset = self.offset_at(moment);
        let east = FixedOffset::east_opt(offset.get() * 60).unwrap_or_else(|| FixedOffset::east_opt(0).expect("zero is an offset"));
        let utc = self.local(moment) - TimeDelta::minutes(i64::from(offset.get()));
        DateTime::from_naive_utc_and_offset(utc, east)
    }

    /// The moment at which the clock shows `local`, seconds ignored.
    #[must_use]
    pub fn moment(&self, local: NaiveDateTime) -> Local {
        let mut hits = Vec::new();
        let mut from = Moment::FAR_PAST;
        let mut offset = self.offset;
        for change in self.changes.iter().copied().chain([ClockChange { at: Moment::FAR_FUTURE, offset: self.offset }]) {
            let at = self.reverse(local, offset);
            if at.is_some_and(|at| from <= at && at < change.at) {
                hits.extend(at);
            }
            from = change.at;
            offset = change.offset;
        }
        match hits.as_slice() {
            [] => Local::Never,
            [one] => Local::Once(*one),
            [first, .., last] => Local::Twice(*first, *last),
        }
    }

    /// The moment at which the clock shows `local` if the offset then is `offset`; `None` where that
    /// offset is not in force then.
    #[must_use]
    pub fn moment_with_offset(&self, local: NaiveDateTime, offset: Minutes) -> Option<Moment> {
        self.reverse(local, offset).filter(|at| self.offset_at(*at) == offset)
    }

    fn reverse(&self, local: NaiveDateTime, offset: Minutes) -> Option<Moment> {
        let since = local.signed_duration_since(self.day_one.and_time(NaiveTime::MIN)).num_minutes();
        let minutes = since - i64::from((offset - self.offset).get());
        i32::try_from(minutes).ok().map(Moment::new).filter(|m| (Moment::FAR_PAST..=Moment::FAR_FUTURE).contains(m))
    }

    /// The same clock as if it were never changed.
    #[must_use]
    pub fn unchanged(&self) -> Self {
        Self { changes: Vec::new(), ..self.clone() }
    }

    /// What the clock shows at `moment`, as the moment at which one that is never changed shows the same.
    #[must_use]
    pub fn face(&self, moment: Moment) -> Moment {
        moment + (self.offset_at(moment) - self.offset)
    }

    /// All that the clock shows during `span`, in the terms of [`ShipClock::face`]: joined, in order. What it leaves out in
    /// the middle of `span` is among it, what it shows twice is there once.
    #[must_use]
    pub fn faces(&self, span: Span) -> Vec<Span> {
        let mut shown = Vec::new();
        let mut from = span.start();
        for change in self.changes.iter().filter(|c| span.start() < c.at && c.at < span.end()) {
            let before = self.offset_at(change.at - Minutes::new(1)) - self.offset;
            shown.extend(Span::new(from + before, change.at + before));
            shown.extend(Span::new(change.at + before, self.face(change.at)));
            from = change.at;
        }
        let last = self.offset_at(from) - self.offset;
        shown.extend(Span::new(from + last, span.end() + last));
        crate::time::union(shown)
    }

    /// All the time in which the clock shows something of `faces`, from the first moment to the last; `None` where it
    /// leaves all of that out.
    #[must_use]
    pub fn of_faces(&self, faces: Span) -> Option<Span> {
        self.showings(faces).into_iter().reduce(Span::hull)
    }

    /// Each stretch of time in which the clock shows something of `faces`, joined, in order: none where it leaves all of that
    /// out, and two or more where it shows it again.
    #[must_use]
    pub fn showings(&self, faces: Span) -> Vec<Span> {
        let bounds = self.changes.iter().map(|c| c.at);
        let starts = [Moment::FAR_PAST].into_iter().chain(bounds.clone());
        let ends = bounds.chain([Moment::FAR_FUTURE]);
        let parts = starts.zip(ends).filter_map(|(from, to)| {
            let ahead = self.offset_at(from) - self.offset;
            Span::new(from, to)?.intersection(Span::new(faces.start() - ahead, faces.end() - ahead)?)
        });
        crate::time::union(parts.collect())
    }

    /// The ship's day in which `moment` falls.
    #[must_use]
    pub fn day(&self, moment: Moment) -> Day {
        let days = self.local(moment).date().signed_duration_since(self.day_one).num_days();
        Day(i32::try_from(days).unwrap_or(i32::MAX - 1) + 1)
    }

    /// The ship's day in whose time ([`ShipClock::day_span`]) `moment` lies. Nearly always the one the clock shows; but
    /// where it is set back over midnight, the hour before midnight that it shows a second time is no part of the old day
    /// any more, since days follow one another.
    #[must_use]
    pub fn day_of(&self, moment: Moment) -> Day {
        let mut day = self.day(moment);
        while self.day_span(day).end() <= moment {
            day = day.next();
        }
        day
    }

    /// The date of `day`.
    #[must_use]
    pub fn date(&self, day: Day) -> NaiveDate {
        self.day_one.checked_add_signed(TimeDelta::days(i64::from(day.0) - 1)).unwrap_or(NaiveDate::MAX)
    }

    /// The moment at which `day` shows `minute` of the day (0 to 1440; 1440 is the next day's 00:00).
    /// A time skipped by the clock maps to the change itself, a time shown twice to its first showing.
    #[must_use]
    pub fn at(&self, day: Day, minute: Minutes) -> Moment {
        let base = self.date(day).and_time(NaiveTime::MIN);
        let local = base + TimeDelta::minutes(i64::from(minute.get()));
        match self.moment(local) {
            Local::Once(at) | Local::Twice(at, _) => at,
            Local::Never => self
                .changes
                .iter()
                .find(|c| self.local(c.at) > local && self.shown(c.at, self.offset_at(c.at - Minutes::new(1))) <= local)
                .map_or(Moment::FAR_FUTURE, |c| c.at),
        }
    }

    /// The whole of `day`: 24 hours of elapsed time, or more or less where the clock changes.
    ///
    /// # Panics
    /// If the clock goes back or forward by a whole day, at once or in all, which [`ShipClock::new`] rules out.
    #[must_use]
    pub fn day_span(&self, day: Day) -> Span {
        Span::new(self.at(day, Minutes::ZERO), self.at(day.next(), Minutes::ZERO)).expect("a ship's day is not empty")
    }

    /// Minutes since 00:00 shown by the clock at `moment`.
    #[must_use]
    pub fn minute_of_day(&self, moment: Moment) -> Minutes {
        let time = self.local(moment).time();
        Minutes::new(i32::try_from(time.hour() * 60 + time.minute()).unwrap_or(0))
    }

    /// `day 4 14:20`, as people write it in a job folder.
    #[must_use]
    pub fn day_time(&self, moment: Moment) -> String {
        format!("day {} {}", self.day(moment).number(), self.hour(moment))
    }

    /// `14:20`.
    #[must_use]
    pub fn hour(&self, moment: Moment) -> String {
        self.local(moment).format("%H:%M").to_string()
    }

    /// `Mon 1 Mar`.
    #[must_use]
    pub fn weekday_date(&self, day: Day) -> String {
        let date = self.date(day);
        format!("{} {} {}", date.format("%a"), date.day(), date.format("%b"))
    }
}

#[cfg(test)]
mod tests;
