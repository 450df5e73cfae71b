//! Times as people write them: `day 4 14:20`, `2027-03-04T14:20`, windows, repeats, hours of the day.
//!
//! Nothing here knows the ship's clock; [`crate::input::times`] turns what is read into moments.

#[cfg(test)]
mod tests;

use chrono::{Datelike, NaiveDate, Weekday};
use toml::value::{Datetime, Offset};

use crate::input::near::slip;
use crate::input::row::TIME_HELP;

/// A moment by ship's clock, as written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Written {
    /// By the day of the job.
    Day {
        /// The day, day 1 being that of the start.
        day: i32,
        /// Minutes from 00:00, up to 1440; `None` where only the day is given.
        minute: Option<i32>,
        /// Offset from UTC in minutes, if given.
        offset: Option<i32>,
    },
    /// By the date.
    Date {
        /// The date.
        date: NaiveDate,
        /// Minutes from 00:00, up to 1440; `None` where only the date is given.
        minute: Option<i32>,
        /// Offset from UTC in minutes, if given.
        offset: Option<i32>,
    },
}

impl Written {
    /// In words, where `text` begins with a date that no calendar has (`2027-02-30`).
    pub(super) fn no_such_date(text: &str) -> Option<String> {
        let numbers = Scan::new(text).year_month_day().filter(|numbers| date(*numbers).is_none())?;
        let [year, month, day] = numbers;
        Some(format!("there is no such date as {year:04}-{month:02}-{day:02}"))
    }

    /// Why `text` is no time.
    pub(super) fn why_not(text: &str) -> String {
        Self::no_such_date(text).unwrap_or_else(|| {
            let year_last = if year_last(text) { ": dates begin with the year, like 2027-03-24" } else { "" };
            format!("`{text}` is not a time{year_last}")
        })
    }

    /// Reads the whole of `text`.
    pub(super) fn parse(text: &str) -> Option<Self> {
        let mut scan = Scan::new(text);
        let written = scan.moment()?;
        scan.at_end().then_some(written)
    }

    /// The same day or date at another minute.
    pub(super) const fn with_minute(self, minute: i32) -> Self {
        match self {
            Self::Day { day, offset, .. } => Self::Day { day, minute: Some(minute), offset },
            Self::Date { date, offset, .. } => Self::Date { date, minute: Some(minute), offset },
        }
    }

    /// Minutes from 00:00, if a time is given.
    pub(super) const fn minute(self) -> Option<i32> {
        match self {
            Self::Day { minute, .. } | Self::Date { minute, .. } => minute,
        }
    }
}

/// What a TOML date-time says, or why it is none of ours.
pub(super) fn written_literal(literal: &Datetime) -> Result<Written, &'static str> {
    let Some(date) = literal.date else { return Err("a time alone does not say the day") };
    let date = NaiveDate::from_ymd_opt(i32::from(date.year), u32::from(date.month), u32::from(date.day));
    let Some(date) = date else { return Err("there is no such date") };
    let minute = match literal.time {
        None => None,
        Some(time) if time.second.unwrap_or(0) != 0 || time.nanosecond.unwrap_or(0) != 0 => return Err("times are in whole minutes"),
        Some(time) => Some(i32::from(time.hour) * 60 + i32::from(time.minute)),
    };
    let offset = match literal.offset {
        None => None,
        Some(Offset::Z) => Some(0),
        Some(Offset::Custom { minutes }) => Some(i32::from(minutes)),
    };
    Ok(Written::Date { date, minute, offset })
}

/// One end of a window.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum End {
    /// The start of the job.
    Start,
    /// The end of everything that is laid out.
    Layout,
    /// A moment.
    At(Written),
}

/// Hours of the day: minutes from 00:00 (0 to 1439) to an end after it, past 1440 where they run over
/// midnight, at most 24 hours later.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Hours {
    /// First minute.
    pub from: i32,
    /// First minute after it.
    pub to: i32,
}

impl Hours {
    /// Reads the whole of `text`: `08:00-12:00`, `22-06`, `20:00-24:00`.
    pub(super) fn parse(text: &str) -> Option<Self> {
        let mut scan = Scan::new(text);
        let hours = scan.hours()?;
        scan.at_end().then_some(hours)
    }

    /// Whether `text` would be hours of the day, did they not end when they begin: `07:00-07:00`.
    pub(super) fn all_day(text: &str) -> bool {
        let mut scan = Scan::new(text);
        let from = scan.hour();
        from.is_some() && scan.dash() && scan.hour() == from && scan.at_end()
    }
}

/// When something is: once, or again and again.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum When {
    /// Once.
    Once(End, End),
    /// At these hours on some days.
    Repeated {
        /// On which days.
        on: Days,
        /// At what hours.
        hours: Hours,
        /// Not before.
        from: Option<Written>,
        /// Not after.
        to: Option<Written>,
    },
}

/// Days on which something is repeated.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Days {
    /// Every day.
    Daily,
    /// Every so-and-so day of the week.
    Every(Weekday),
}

impl Days {
    /// Whether `date` is one of them.
    pub(super) fn include(self, date: NaiveDate) -> bool {
        match self {
            Self::Daily => true,
            Self::Every(weekday) => date.weekday() == weekday,
        }
    }
}

impl When {
    /// Reads the whole of `text`: `day 3 09:30-16:00`, `day 3 22:00 - day 4 02:00`, `day 3`,
    /// `start - day 4 12:00`, `daily 08:00-08:30`, `every Saturday 10:00-10:30 from day 6 to day 20`.
    pub(super) fn parse(text: &str) -> Option<Self> {
        let mut scan = Scan::new(text);
        let when = if scan.word("daily") {
            scan.repeated(Days::Daily)?
        } else if scan.word("every") {
            let on = if scan.word("day") { Days::Daily } else { Days::Every(scan.weekday()?) };
            scan.repeated(on)?
        } else {
            scan.window()?
        };
        scan.at_end().then_some(when)
    }
}

/// The words that times are made with.
pub(super) const TIME_WORDS: [&str; 22] = [
    "day",
    "daily",
    "every",
    "start",
    "end",
    "from",
    "to",
    "UTC",
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
    "Mon",
    "Tue",
    "Wed",
    "Thu",
    "Fri",
    "Sat",
    "Sun",
];

/// What to write in place of `text`, which is no time.
pub(super) fn moment_help(text: &str) -> String {
    slip(text, &["day", "UTC"]).unwrap_or_else(|| TIME_HELP.to_owned())
}

/// A day of the week in English, in full or its first three letters.
pub(super) fn weekday(word: &str) -> Option<Weekday> {
    let word = word.to_ascii_lowercase();
    let days = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
    let n = days.iter().position(|day| *day == word || (word.len() == 3 && day.starts_with(&word)))?;
    Weekday::try_from(u8::try_from(n).ok()?).ok()
}

/// An offset from UTC in minutes: `UTC+3`, `UTC-03:30`, `+03:00`, `UTC`.
pub(super) fn offset(text: &str) -> Option<i32> {
    let mut scan = Scan::new(text);
    let named = scan.word("utc");
    if named && scan.at_end() {
        return Some(0);
    }
    let minutes = scan.signed_offset()?;
    scan.at_end().then_some(minutes)
}

/// Whether `text` begins with a date that has its year last, as `24.03.2027` or `3/24/2027`.
fn year_last(text: &str) -> bool {
    let date = text.trim().split([' ', 'T', ',']).next().unwrap_or("");
    let parts: Vec<&str> = date.split(['.', '/', '-']).collect();
    let digits = |part: &&str| part.bytes().all(|b| b.is_ascii_digit());
    parts.iter().all(digits)
        && matches!(parts.as_slice(), [a, b, c] if (1..=2).contains(&a.len()) && (1..=2).contains(&b.len()) && c.len() == 4)
}

/// The date of a year, a month and a day, if there is one.
fn date([year, month, day]: [i32; 3]) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(year, u32::try_from(month).ok()?, u32::try_from(day).ok()?)
}

/// Something stands where a time may stand, and is none.
struct NotATime;

/// Reads a text from left to right.
struct Scan<'a> {
    rest: &'a str,
}

impl<'a> Scan<'a> {
    fn new(text: &'a str) -> Self {
        Self { rest: text.trim() }
    }

    fn at_end(&self) -> bool {
        self.rest.trim_start().is_empty()
    }

    fn skip(&mut self) {
        self.rest = self.rest.trim_start();
    }

    /// Takes `word` if it comes next and no letter follows it.
    fn word(&mut self, word: &str) -> bool {
        self.skip();
        let Some(head) = self.rest.get(..word.len()) else { return false };
        let rest = &self.rest[word.len()..];
        if !head.eq_ignore_ascii_case(word) || rest.starts_with(|c: char| c.is_alphabetic()) {
            return false;
        }
        self.rest = rest;
        true
    }

    fn sign(&mut self, sign: char) -> bool {
        self.skip();
        match self.rest.strip_prefix(sign) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    /// Takes a number of at most `most` digits.
    fn number(&mut self, most: usize) -> Option<(i32, usize)> {
        let digits = self.rest.bytes().take_while(u8::is_ascii_digit).count();
        if digits == 0 || digits > most {
            return None;
        }
        let value = self.rest[..digits].parse().ok()?;
        self.rest = &self.rest[digits..];
        Some((value, digits))
    }

    /// Takes `14:20` or `24:00`; minutes from 00:00.
    fn clock(&mut self) -> Option<i32> {
        self.skip();
        let (hours, _) = self.number(2)?;
        self.rest = self.rest.strip_prefix(':')?;
        let (minutes, digits) = self.number(2)?;
        let total = hours * 60 + minutes;
        (digits == 2 && minutes < 60 && total <= 1440).then_some(total)
    }

    /// Takes `14:20`, or the hour alone.
    fn hour(&mut self) -> Option<i32> {
        self.skip();
        let before = self.rest;
        if let Some(minute) = self.clock() {
            return Some(minute);
        }
        self.rest = before;
        let (hours, _) = self.number(2)?;
        (hours <= 24 && !self.rest.starts_with([':', '.'])).then_some(hours * 60)
    }

    /// Takes a time of day if a digit comes next; an error if that is no time.
    fn maybe_clock(&mut self) -> Result<Option<i32>, NotATime> {
        self.skip();
        if self.rest.starts_with(|c: char| c.is_ascii_digit()) { self.clock().map(Some).ok_or(NotATime) } else { Ok(None) }
    }

    fn signed_offset(&mut self) -> Option<i32> {
        self.skip();
        let sign = if self.sign('+') {
            1
        } else if self.sign('-') || self.sign('\u{2212}') {
            -1
        } else {
            return None;
        };
        let (hours, _) = self.number(2)?;
        let minutes = match self.rest.strip_prefix(':') {
            None => 0,
            Some(rest) => {
                self.rest = rest;
                self.number(2).filter(|(m, digits)| *m < 60 && *digits == 2)?.0
            }
        };
        (hours < 24).then_some(sign * (hours * 60 + minutes))
    }

    /// Takes a moment: `day -7`, `day 4 14:20`, `2027-03-04 14:20`, with `UTC+3` after it or not.
    fn moment(&mut self) -> Option<Written> {
        self.skip();
        if self.word("day") {
            self.skip();
            let negative = self.rest.starts_with('-');
            if negative {
                self.rest = &self.rest[1..];
            }
            let (day, _) = self.number(5)?;
            let day = if negative { -day } else { day };
            let minute = self.maybe_clock().ok()?;
            return Some(Written::Day { day, minute, offset: self.maybe_offset().ok()? });
        }
        let date = date(self.year_month_day()?)?;
        let minute = match self.rest.strip_prefix(['T', 't']) {
            Some(rest) => {
                self.rest = rest;
                Some(self.clock()?)
            }
            None => self.maybe_clock().ok()?,
        };
        Some(Written::Date { date, minute, offset: self.maybe_offset().ok()? })
    }

    /// Takes `2027-03-04`, whether there is such a date or not.
    fn year_month_day(&mut self) -> Option<[i32; 3]> {
        let (year, digits) = self.number(4)?;
        self.rest = self.rest.strip_prefix('-')?;
        let (month, month_digits) = self.number(2)?;
        self.rest = self.rest.strip_prefix('-')?;
        let (day, day_digits) = self.number(2)?;
        (digits == 4 && month_digits == 2 && day_digits == 2).then_some([year, month, day])
    }

    /// Takes an offset if `UTC` comes next; an error if that is no offset.
    fn maybe_offset(&mut self) -> Result<Option<i32>, NotATime> {
        if !self.word("utc") {
            return Ok(None);
        }
        if self.at_end() { Ok(Some(0)) } else { self.signed_offset().map(Some).ok_or(NotATime) }
    }

    fn dash(&mut self) -> bool {
        self.sign('-') || self.sign('\u{2013}') || self.word("to")
    }

    fn hours(&mut self) -> Option<Hours> {
        let from = self.hour()?;
        if !self.dash() {
            return None;
        }
        let to = self.hour()?;
        if from >= 1440 || from == to {
            return None;
        }
        Some(Hours { from, to: if to > from { to } else { to + 1440 } })
    }

    fn weekday(&mut self) -> Option<Weekday> {
        self.skip();
        let letters = self.rest.bytes().take_while(u8::is_ascii_alphabetic).count();
        let found = weekday(&self.rest[..letters])?;
        self.rest = &self.rest[letters..];
        Some(found)
    }

    fn repeated(&mut self, on: Days) -> Option<When> {
        let hours = self.hours()?;
        let from = if self.word("from") { Some(self.moment()?) } else { None };
        let to = if self.word("to") { Some(self.moment()?) } else { None };
        Some(When::Repeated { on, hours, from, to })
    }

    fn window(&mut self) -> Option<When> {
        let from = if self.word("start") { End::Start } else { End::At(self.moment()?) };
        if !self.dash() {
            return match from {
                // A day alone is the whole day.
                End::At(day) if day.minute().is_none() => Some(When::Once(from, End::At(day.with_minute(1440)))),
                End::At(_) | End::Start | End::Layout => None,
            };
        }
        if self.word("end") {
            return Some(When::Once(from, End::Layout));
        }
        let before = self.rest;
        if let Some(to) = self.moment() {
            // An end without a time is the end of that day.
            let to = if to.minute().is_none() { to.with_minute(1440) } else { to };
            return Some(When::Once(from, End::At(to)));
        }
        self.rest = before;
        let minute = self.clock()?;
        match from {
            End::At(day) if day.minute().is_some_and(|m| m < minute) => Some(When::Once(from, End::At(day.with_minute(minute)))),
            // Past midnight: the end is on the next day.
            End::At(day) if day.minute().is_some_and(|m| m > minute) => Some(When::Once(from, End::At(day.with_minute(minute + 1440)))),
            End::At(_) | End::Start | End::Layout => None,
        }
    }
}
