//! Which clocks there are.

use chrono::NaiveDate;

use crate::clock::{ClockChange, Day, ShipClock};
use crate::time::{Minutes, Moment};

fn clock(offset: i32, changes: &[(i32, i32)]) -> Option<ShipClock> {
    let day_one = NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date of the calendar");
    let change = |(hour, offset): &(i32, i32)| ClockChange { at: Moment::new(hour * 60), offset: Minutes::new(*offset) };
    ShipClock::new(day_one, Minutes::new(offset), changes.iter().map(change).collect())
}

/// A clock that jumps by a day has a date that is never shown, or one that is shown twice from end to end; then a ship's
/// day has no beginning before its end. If this fails, such a clock is taken and the program breaks off later.
#[test]
fn no_clock_jumps_by_a_day_at_once_or_in_all() {
    let hours = |h: i32| h * 60;
    assert!(clock(hours(12), &[(30, hours(-12))]).is_none(), "back by 24 h, as at the date line");
    assert!(clock(hours(-12), &[(30, hours(12))]).is_none(), "forward by 24 h");
    assert!(clock(hours(14), &[(30, hours(-12))]).is_none(), "back by 26 h");
    // Forward by 23 h, back by 12 and by 14: day 2 would begin after day 3.
    assert!(clock(0, &[(23, hours(23)), (26, hours(11)), (27, hours(-3))]).is_none(), "26 h in all");
    assert!(clock(0, &[(23, hours(24))]).is_none(), "an offset of a day");
}

/// If this fails, a clock that is taken has a day that is empty or lies before the one before it.
#[test]
fn every_clock_that_is_taken_has_its_days_one_after_the_other() {
    let mut taken = 0;
    for first in (-720..=840).step_by(60) {
        for second in (-720..=840).step_by(120) {
            for third in (-720..=840).step_by(180) {
                for at in [1, 23, 25] {
                    let Some(clock) = clock(first, &[(at, second), (at + 2, third)]) else { continue };
                    taken += 1;
                    for day in -2..6 {
                        let (one, next) = (clock.day_span(Day::new(day)), clock.day_span(Day::new(day + 1)));
                        assert_eq!(one.end(), next.start(), "{first}, {second}, {third}");
                    }
                }
            }
        }
    }
    assert!(taken > 5_000, "{taken}");
}

/// If this fails, what the clock shows during a stretch of time is not what it shows.
#[test]
fn what_the_clock_shows_of_a_stretch() {
    let span = |from: i32, to: i32| crate::time::Span::new(Moment::new(from), Moment::new(to)).expect("it has a length");
    let at = 26;
    let back = clock(0, &[(at, -60)]).expect("a clock");
    // Half an hour before the change and a quarter after it: 25:30 to 26:00, then 25:00 to 25:15 once more.
    assert_eq!(back.faces(span(25 * 60 + 30, 26 * 60 + 15)), [span(25 * 60, 25 * 60 + 15), span(25 * 60 + 30, 26 * 60)]);
    // What it shows from 25:30 to 26:00 it shows twice.
    assert_eq!(back.of_faces(span(25 * 60 + 30, 26 * 60)), Some(span(25 * 60 + 30, 27 * 60)));
    let forward = clock(0, &[(at, 60)]).expect("a clock");
    assert_eq!(forward.faces(span(25 * 60, 27 * 60)), [span(25 * 60, 28 * 60)]);
    assert_eq!(forward.of_faces(span(26 * 60, 27 * 60)), None, "it leaves that out");
    assert_eq!(forward.of_faces(span(25 * 60, 28 * 60)), Some(span(25 * 60, 27 * 60)));
    assert_eq!(forward.face(Moment::new(at * 60)), Moment::new(27 * 60));
}

/// If this fails, ship's days come one before the other where the clock is set back over midnight: 00:30 of day 2 becomes 23:30,
/// which the clock shows as day 1 once more.
#[test]
fn a_day_that_has_begun_goes_on_when_the_clock_is_set_back_over_midnight() {
    let half_past = Moment::new(24 * 60 + 30);
    let change = ClockChange { at: half_past, offset: Minutes::hours(2) };
    let date = NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date of the calendar");
    let clock = ShipClock::new(date, Minutes::hours(3), vec![change]).expect("a clock");
    assert_eq!(clock.day(half_past), Day::new(1), "what it shows");
    let days: Vec<i32> = (0..60 * 3).map(|m| clock.day_of(Moment::new(23 * 60 + m)).number()).collect();
    assert!(days.is_sorted() && days[59] == 1 && days[60] == 2, "{days:?}");
    for minute in -3000..6000 {
        let moment = Moment::new(minute);
        assert!(clock.day_span(clock.day_of(moment)).contains(moment), "{minute}");
    }
}

/// If this fails, half an hour that the clock shows twice counts for one of the two.
#[test]
fn what_the_clock_shows_twice_is_found_twice() {
    let span = |from: i32, to: i32| crate::time::Span::new(Moment::new(from), Moment::new(to)).expect("it has a length");
    let back = clock(0, &[(26, -60)]).expect("a clock");
    let half = |from: i32| back.showings(span(from, from + 30));
    assert_eq!(half(25 * 60), [span(25 * 60, 25 * 60 + 30), span(26 * 60, 26 * 60 + 30)]);
    assert_eq!(half(25 * 60 + 30), [span(25 * 60 + 30, 26 * 60), span(26 * 60 + 30, 27 * 60)]);
    assert_eq!((half(24 * 60), half(26 * 60)), (vec![span(24 * 60, 24 * 60 + 30)], vec![span(27 * 60, 27 * 60 + 30)]));
    // Half an hour put back: the two showings follow each other at once.
    let back = clock(0, &[(26, -30)]).expect("a clock");
    assert_eq!(back.showings(span(25 * 60 + 30, 26 * 60)), [span(25 * 60 + 30, 26 * 60 + 30)]);
}
