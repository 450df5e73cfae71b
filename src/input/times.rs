//! From written times to moments: ship's clock, the span of the job, the layout.

use crate::clock::{Day, Local, ShipClock};
use crate::diag::{Code, Place};
use crate::input::sink::Sink;
use crate::input::text::At;
use crate::input::when::{End, Hours, When, Written};
use crate::time::{Grid, Minutes, Moment, Span};

/// What is needed to turn written times into moments.
#[derive(Clone, Debug)]
pub(super) struct Times {
    /// Ship's clock.
    pub clock: ShipClock,
    /// The slot grid.
    pub grid: Grid,
    /// The start of the job.
    pub start: Moment,
    /// First planning end.
    pub end: Moment,
    /// Latest planning end.
    pub latest_end: Moment,
    /// End of the layout.
    pub layout_end: Moment,
    /// Whether start and end could be read; if not, stand-ins are used and nothing is said about times that
    /// do not fit them.
    pub known: bool,
}

impl Times {
    /// The whole layout.
    pub(super) fn layout(&self) -> Span {
        Span::new(self.start, self.layout_end).expect("the layout is longer than a week")
    }

    /// The moment of a written time. A day or date alone is its 00:00.
    pub(super) fn moment(&self, at: &At<Written>, sink: &Sink) -> Option<Moment> {
        resolve(&self.clock, at, self.known, sink)
    }

    /// Both ends of a stretch of whole half-hours of a day, without a word where the clock changes: an end that
    /// the clock shows twice is taken so that the stretch is longest, one that it never shows is the change.
    pub(super) fn widest(&self, from: Written, to: Written) -> (Moment, Moment) {
        let day = |written: Written| match written {
            Written::Day { day, .. } => Day::new(day),
            Written::Date { date, .. } => {
                let since = date.signed_duration_since(self.clock.day_one()).num_days();
                // Further away than any record is believed; the row is then reported as out of reach.
                Day::new(i32::try_from(since.clamp(-30_000, 30_000)).unwrap_or(0) + 1)
            }
        };
        let minute = |written: Written| Minutes::new(written.minute().unwrap_or(0));
        let local = self.clock.date(day(to)).and_time(chrono::NaiveTime::MIN) + chrono::TimeDelta::minutes(i64::from(minute(to).get()));
        let end = match self.clock.moment(local) {
            Local::Twice(_, second) => second,
            Local::Once(_) | Local::Never => self.clock.at(day(to), minute(to)),
        };
        (self.clock.at(day(from), minute(from)), end)
    }

    /// The moment of a written time that must lie in the job: from its start to the end of the layout.
    pub(super) fn moment_in_job(&self, at: &At<Written>, what: &str, sink: &Sink) -> Option<Moment> {
        let moment = self.moment(at, sink)?;
        let inside = self.start <= moment && moment <= self.latest_end;
        if !inside && self.known {
            self.outside(what, at.place, moment < self.start, sink);
        }
        inside.then_some(moment)
    }

    /// Reports the time at `place` where `moment` lies beyond everything that is laid out, so that it would never count.
    pub(super) fn never_comes(&self, what: &str, moment: Moment, place: Place, sink: &Sink) {
        if self.known && moment > self.layout_end {
            self.outside(what, place, false, sink);
        }
    }

    fn outside(&self, what: &str, place: Place, before: bool, sink: &Sink) {
        let (label, message) = if before {
            (format!("the job starts {}", self.say_with_date(self.start)), format!("{what} lies before the start of the job"))
        } else {
            (format!("the end is {}", self.say_with_date(self.latest_end)), format!("{what} lies beyond the job"))
        };
        sink.say(Code::OutsideHorizon, message, place, label, "correct the day, or the start and days in job.toml");
    }

    /// `day 4 14:20`, for messages.
    pub(super) fn say(&self, moment: Moment) -> String {
        self.clock.day_time(moment)
    }

    /// `day 4 14:20 (2027-03-04)`, where a wrong year may be the matter.
    fn say_with_date(&self, moment: Moment) -> String {
        format!("{} ({})", self.clock.day_time(moment), self.clock.date(self.clock.day(moment)))
    }

    fn end_moment(&self, end: End, place: Place, sink: &Sink) -> Option<Moment> {
        match end {
            End::Start => Some(self.start),
            End::Layout => Some(self.layout_end),
            End::At(written) => self.moment(&At::new(written, place), sink),
        }
    }

    /// The stretch of a window that is written once, wherever it lies.
    pub(super) fn once(&self, from: End, to: End, place: Place, sink: &Sink) -> Option<Span> {
        let (start, end) = (self.end_moment(from, place, sink)?, self.end_moment(to, place, sink)?);
        let span = Span::new(start, end);
        if span.is_none() && self.known {
            let message = "the window ends before it begins";
            sink.say(Code::EndsBeforeItBegins, message, place, "", "write the earlier time first, and see that the day is right");
        }
        span
    }

    /// All stretches of a window or repeat, laid out from the start to the end of the layout. Repeats that
    /// begin before the start are left out; a single window that does not meet the layout is reported.
    pub(super) fn spans(&self, when: &At<When>, what: &str, sink: &Sink) -> Vec<Span> {
        match when.value {
            When::Once(from, to) => {
                let Some(span) = self.once(from, to, when.place, sink) else { return Vec::new() };
                if !span.overlaps(self.layout()) {
                    if self.known {
                        self.outside(what, when.place, span.start() < self.start, sink);
                    }
                    return Vec::new();
                }
                vec![span]
            }
            When::Repeated { on, hours, from, to } => {
                let limit = |written: Option<Written>, open: Moment| match written {
                    None => Some(open),
                    Some(w) => self.moment(&At::new(w, when.place), sink),
                };
                let Some(first) = limit(from, self.start) else { return Vec::new() };
                // A last day without a time is in it to its end.
                let to = to.map(|w| if w.minute().is_none() { w.with_minute(1440) } else { w });
                let Some(last) = limit(to, self.layout_end) else { return Vec::new() };
                if self.known && last <= first {
                    let message = "the days of the repeat end before they begin";
                    sink.say(Code::EndsBeforeItBegins, message, when.place, "", "write the earlier day first: from day 2 to day 4");
                    return Vec::new();
                }
                if self.known && (last <= self.start || first >= self.layout_end) {
                    self.outside(what, when.place, last <= self.start, sink);
                    return Vec::new();
                }
                self.days()
                    .filter(|day| on.include(self.clock.date(*day)))
                    .filter_map(|day| self.on(day, hours))
                    .filter(|span| span.start() >= first.max(self.start) && span.end() <= last.min(self.layout_end))
                    .collect()
            }
        }
    }

    /// The ship's days of the layout, and the one before it, whose hours may run over midnight.
    pub(super) fn days(&self) -> impl Iterator<Item = Day> + use<> {
        let first = self.clock.day(self.start).number() - 1;
        let last = self.clock.day(self.layout_end).number();
        (first..=last).map(Day::new)
    }

    /// Hours of the day on one day; `None` where the clock skips all of them.
    pub(super) fn on(&self, day: Day, hours: Hours) -> Option<Span> {
        Span::new(self.clock.at(day, Minutes::new(hours.from)), self.clock.at(day, Minutes::new(hours.to)))
    }

    /// The part of `span` inside the layout.
    pub(super) fn clip(&self, span: Span) -> Option<Span> {
        span.intersection(self.layout())
    }
}

/// The moment of a written time by `clock`. With `certain` false nothing is said about times the clock
/// does not show.
pub(super) fn resolve(clock: &ShipClock, at: &At<Written>, certain: bool, sink: &Sink) -> Option<Moment> {
    let (date, minute, offset) = match at.value {
        Written::Day { day, minute, offset } => (clock.date(Day::new(day)), minute, offset),
        Written::Date { date, minute, offset } => (date, minute, offset),
    };
    let local = date.and_time(chrono::NaiveTime::MIN).checked_add_signed(chrono::TimeDelta::minutes(i64::from(minute.unwrap_or(0))))?;
    if let Some(offset) = offset {
        let found = clock.moment_with_offset(local, Minutes::new(offset));
        if found.is_none() && certain {
            let message = format!("ship's clock is not {} then", offset_text(offset));
            sink.say(Code::WrongOffset, message, at.place, "", "leave the offset out, or correct it here or in job.toml");
        }
        return found;
    }
    match clock.moment(local) {
        Local::Once(moment) => Some(moment),
        Local::Never if !certain => None,
        Local::Twice(first, _) if !certain => Some(first),
        Local::Never => {
            let far = date.signed_duration_since(clock.day_one()).num_days().abs() > 30_000;
            if far {
                sink.say(Code::OutsideHorizon, "the time is out of all reach", at.place, "", "correct the day or the year");
            } else {
                let message = format!("ship's clock never shows {}", local.format("%Y-%m-%d %H:%M"));
                sink.say(
                    Code::NeverOccurs,
                    message,
                    at.place,
                    "the clock is put forward over this time",
                    "use a time before or after the change",
                );
            }
            None
        }
        Local::Twice(first, second) => {
            let message = format!("ship's clock shows {} twice", local.format("%Y-%m-%d %H:%M"));
            let offsets = [first, second].map(|m| offset_text(clock.offset_at(m).get()));
            let help =
                format!("add the offset then: {} for the first, {} for the second, as in \"day 4 02:30 UTC+3\"", offsets[0], offsets[1]);
            sink.say(Code::OccursTwice, message, at.place, "the clock is put back over this time", help);
            None
        }
    }
}

/// `UTC+3`, `UTC-3:30`.
pub(super) fn offset_text(minutes: i32) -> String {
    let sign = if minutes < 0 { '-' } else { '+' };
    let (hours, rest) = (minutes.abs() / 60, minutes.abs() % 60);
    if rest == 0 { format!("UTC{sign}{hours}") } else { format!("UTC{sign}{hours}:{rest:02}") }
}
