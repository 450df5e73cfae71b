//! Date-times of a stream: fixed places, read without building anything.

use chrono::{Datelike, NaiveDate};

use crate::time::{Minutes, Moment};

/// A moment as a row gives it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Stamp {
    /// The moment in UTC, counted from 2000-01-01 00:00 UTC; a time without an offset is taken as UTC.
    pub at: Moment,
    /// The offset from UTC that stands behind it.
    pub offset: Option<Minutes>,
}

/// The first day of the calendar of streams: moments count from its 00:00 UTC.
///
/// # Panics
/// Never: it is a date of the calendar.
#[must_use]
pub fn stream_day_one() -> NaiveDate {
    NaiveDate::from_ymd_opt(2000, 1, 1).expect("a date of the calendar")
}

/// Reads `2027-03-04T08:00`, with a space for the `T`, seconds of `:00`, and `Z` or `+03:00` behind it; 24:00 is
/// allowed. `None` for anything else.
pub(super) fn stamp(text: &str) -> Option<Stamp> {
    let bytes = text.as_bytes();
    if bytes.len() < 16 || bytes[4] != b'-' || bytes[7] != b'-' || !matches!(bytes[10], b'T' | b't' | b' ') || bytes[13] != b':' {
        return None;
    }
    let (year, month, day) = (number(&bytes[..4])?, number(&bytes[5..7])?, number(&bytes[8..10])?);
    let (hour, minute) = (number(&bytes[11..13])?, number(&bytes[14..16])?);
    if hour > 24 || minute > 59 || (hour == 24 && minute > 0) {
        return None;
    }
    let rest = bytes[16..].strip_prefix(b":00").unwrap_or(&bytes[16..]);
    let offset = match rest {
        [] => None,
        [b'Z' | b'z'] => Some(0),
        [sign @ (b'+' | b'-'), h1, h2, b':', m1, m2] => {
            let (hours, minutes) = (number(&[*h1, *h2])?, number(&[*m1, *m2])?);
            let size = hours * 60 + minutes;
            (hours < 24 && minutes < 60).then_some(())?;
            Some(if *sign == b'-' { -size } else { size })
        }
        _ => return None,
    };
    let date = NaiveDate::from_ymd_opt(year, u32::try_from(month).ok()?, u32::try_from(day).ok()?)?;
    // As far as moments reach, with room for any window.
    if !(1930..=2070).contains(&year) {
        return None;
    }
    let days = date.num_days_from_ce() - DAYS_BEFORE;
    let at = Moment::new(days * 1440 + hour * 60 + minute - offset.unwrap_or(0));
    Some(Stamp { at, offset: offset.map(Minutes::new) })
}

/// Days from the first of the common era to the first day of the calendar of streams.
const DAYS_BEFORE: i32 = 730_120;

fn number(digits: &[u8]) -> Option<i32> {
    digits.iter().try_fold(0, |sum, digit| digit.is_ascii_digit().then(|| sum * 10 + i32::from(digit - b'0')))
}

#[cfg(test)]
mod tests {
    use super::{DAYS_BEFORE, stamp, stream_day_one};
    use chrono::{DateTime, Datelike};

    /// If this fails, a stream is checked on the wrong days.
    #[test]
    fn stamps_are_those_of_the_calendar() {
        assert_eq!(stream_day_one().num_days_from_ce(), DAYS_BEFORE);
        for text in ["2027-03-04T08:00+03:00", "2024-02-29T23:59Z", "2000-01-01T00:00-11:30", "1999-12-31T12:05+00:00"] {
            let read = stamp(text).unwrap();
            let known = DateTime::parse_from_rfc3339(&(text[..16].to_owned() + ":00" + &text[16..])).unwrap();
            let origin = DateTime::parse_from_rfc3339("2000-01-01T00:00:00Z").unwrap();
            assert_eq!(i64::from(read.at.minutes()), (known - origin).num_minutes(), "{text}");
            assert_eq!(read.offset.map(|o| o.get() * 60), Some(known.offset().local_minus_utc()), "{text}");
        }
        assert_eq!(stamp("2027-03-04 24:00").unwrap().at, stamp("2027-03-05T00:00:00Z").unwrap().at);
        for text in ["2027-02-30T08:00", "2027-03-04", "2027-03-04T24:01", "2027-03-04T08:60", "2027-03-04T08:00+3", "04.03.2027 08:00", ""]
        {
            assert_eq!(stamp(text), None, "{text}");
        }
    }
}
