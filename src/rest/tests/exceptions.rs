//! The exceptions of STCW Code A-VIII/1 paragraph 9, off and on.

use super::{everything, span};
use crate::rest::{ExceptionGap, Permit, RuleSet, Timeline, findings};
use crate::time::{Minutes, Moment, Span};

fn permit(seventy_hours: bool, three_periods: bool) -> Permit {
    Permit { flag: "Invented flag".to_owned(), agreement: "Invented agreement".to_owned(), seventy_hours, three_periods }
}

fn excepted(gap: ExceptionGap) -> RuleSet {
    RuleSet::stcw_mlc_rest().with_exceptions(permit(true, true), gap)
}

/// Codes of the rules broken, no repeats.
fn broken(set: &RuleSet, work: &[Span]) -> Vec<String> {
    let found = findings(set, &Timeline::new(set, work.to_vec(), &[]), span(-30 * 1440, 120 * 1440));
    let mut codes: Vec<String> = found.iter().map(|f| set.rules[f.rule].code.clone()).collect();
    codes.dedup();
    codes
}

/// `days` days from day `first` on, each with work from 00:00 for `hours`.
fn days(first: i32, days: i32, hours: i32) -> Vec<Span> {
    (first..first + days).map(|day| span(day * 1440, day * 1440 + hours * 60)).collect()
}

/// Work of 24 h from day `day` on that leaves 6 + 3 + 1 h of rest (vector P10: compliant only by the exception).
fn three_periods(day: i32) -> Vec<Span> {
    [(0, 5), (6, 11), (14, 18), (24, 28)].map(|(from, to)| span((day * 24 + from) * 60, (day * 24 + to) * 60)).to_vec()
}

/// Ten hours of rest on each of fourteen days are 70 in seven: allowed; on a fifteenth they are not (STCW Code
/// A-VIII/1 paragraph 9; UK SI 2018/58 reg. 7(2)(b)). If this fails, an exception is given that is not allowed, or
/// refused that is.
#[test]
fn seventy_hours_for_two_weeks_and_no_longer() {
    let (plain, set) = (RuleSet::stcw_mlc_rest(), excepted(ExceptionGap::LongerOfTwo));
    assert_eq!(broken(&plain, &days(0, 14, 14)), ["7d"]);
    assert!(broken(&set, &days(0, 14, 14)).is_empty());
    assert_eq!(broken(&set, &days(0, 15, 14)), ["7d"]);
    let late = findings(&set, &Timeline::new(&set, days(0, 15, 14), &[]), everything());
    assert!(late.iter().all(|f| f.window.end() > Moment::new(14 * 1440)), "only what is past two weeks: {late:?}");
    // Seven days with 69.5 h are never allowed, nor a day with 9.5.
    let mut short = days(0, 7, 14);
    short.push(span(5 * 1440 + 14 * 60, 5 * 1440 + 14 * 60 + 30));
    assert_eq!(broken(&set, &short), ["24h", "split", "14h", "7d"]);
}

/// A second fourteen days may begin 28 days after the first at the earliest, not 20 (published: not again before four
/// weeks). If this fails, exceptions come too close together.
#[test]
fn twice_the_longer_lies_between_two_exceptions() {
    let set = excepted(ExceptionGap::LongerOfTwo);
    let two = |apart: i32, first: i32, second: i32| [days(0, first, 14), days(first + apart, second, 14)].concat();
    assert_eq!(broken(&set, &two(20, 14, 14)), ["7d"]);
    assert!(broken(&set, &two(28, 14, 14)).is_empty());
    // Seven days, then fourteen: twenty days apart is twice the first, not twice the longer.
    assert_eq!(broken(&set, &two(20, 7, 14)), ["7d"]);
    assert!(broken(&excepted(ExceptionGap::First), &two(20, 7, 14)).is_empty());
}

/// Three periods on two days of seven are allowed, on a third not; the ten hours are never cut (STCW Code A-VIII/1
/// paragraph 9; UK SI 2018/58 reg. 7(3)(c)). If this fails, an exception is given that is not allowed, or refused
/// that is.
#[test]
fn three_periods_on_two_days_of_seven() {
    let set = excepted(ExceptionGap::LongerOfTwo);
    assert_eq!(broken(&RuleSet::stcw_mlc_rest(), &three_periods(0)), ["split"]);
    assert!(broken(&set, &three_periods(0)).is_empty());
    let on = |list: &[i32]| list.iter().flat_map(|day| three_periods(*day)).collect::<Vec<_>>();
    assert!(broken(&set, &on(&[0, 3])).is_empty());
    assert_eq!(broken(&set, &on(&[0, 3, 6])), ["split"]);
    // The first no longer lies within seven days of the third.
    assert!(broken(&set, &on(&[0, 3, 8])).is_empty());
    // Only one of the two exceptions named: the other rule stays as it is.
    let weekly = RuleSet::stcw_mlc_rest().with_exceptions(permit(true, false), ExceptionGap::LongerOfTwo);
    assert_eq!(broken(&weekly, &three_periods(0)), ["split"]);
    // A third period of under an hour is none: 6 + 3 h 15 + 45 min.
    let short = [(0, 300), (345, 645), (840, 1080), (1440, 1680)].map(|(from, to)| span(from, to));
    assert!(broken(&set, &short).contains(&"split".to_owned()));
}

/// If this fails, the planner counts on exceptions, or what it keeps is not enough for the set.
#[test]
fn the_planner_counts_on_no_exception() {
    let set = excepted(ExceptionGap::LongerOfTwo);
    let steering = set.steering().unwrap();
    assert_eq!(steering.set().rules, RuleSet::stcw_mlc_rest().rules);
    assert!(set.reading_lines().iter().any(|(number, text)| *number == "A11" && text.contains("Invented agreement")));
    let uses = |work: Vec<Span>| {
        let timeline = Timeline::new(&set, work, &[]);
        set.rules.iter().map(|rule| rule.kind.excepted(&timeline, everything()).len()).collect::<Vec<_>>()
    };
    assert!(uses(three_periods(0)).iter().sum::<usize>() > 0, "a use is told");
    assert_eq!(uses(days(0, 3, 10)).iter().sum::<usize>(), 0);
    assert_eq!(Minutes::WEEK.get(), 7 * 1440);
}
