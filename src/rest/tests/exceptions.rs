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

/// Spans given in minutes.
fn minutes(spans: &[(i32, i32)]) -> Vec<Span> {
    spans.iter().map(|(from, to)| span(*from, *to)).collect()
}

/// The day of [`three_periods`] from a given hour on.
fn three_from(hour: i32) -> Vec<Span> {
    minutes(&[(0, 300), (360, 660), (840, 1080), (1440, 1680)].map(|(from, to)| (hour * 60 + from, hour * 60 + to)))
}

/// Timelines that meet every condition of the exception of three periods but one, with what is then broken. Each condition
/// with its source: if this fails, it is no longer asked for, or more is asked for than it says.
#[test]
fn three_periods_need_every_condition() {
    let set = excepted(ExceptionGap::LongerOfTwo);
    let cases: [(&str, Vec<Span>, &[&str]); 9] = [
        // All conditions met: 6 + 3 + 1 h (NO, summary of the parliamentary committee; vector P10).
        ("6 + 3 + 1 h", three_from(0), &[]),
        // One of at least six hours (STCW A-VIII/1 paragraph 9; UK SI 2018/58 reg. 7(3)(a)): 5 h 30 + 3 h 30 + 1 h.
        ("no six hours", minutes(&[(0, 300), (360, 660), (870, 1110), (1440, 1680)]), &["split", "6h"]),
        // Neither other under one hour (the same): 6 h + 3 h 15 + 45 min.
        ("one under an hour", minutes(&[(0, 300), (345, 645), (840, 1080), (1440, 1680)]), &["24h", "split"]),
        // Up to three periods (the same): 6 + 2 + 1 + 1 h, ten hours in four.
        ("four periods", minutes(&[(0, 240), (300, 540), (600, 840), (960, 1080), (1440, 1680)]), &["split"]),
        // The ten hours are never reduced (NO: "can the parties agree less than 10 h? No"): 6 h + 2 h 30 + 1 h.
        ("nine and a half hours", minutes(&[(0, 300), (360, 690), (840, 1080), (1440, 1680)]), &["24h", "split"]),
        // At most 14 h between two rests stays (UK reg. 7(3)(b)); it always takes the ten hours with it.
        ("fifteen hours at work", minutes(&[(0, 900), (960, 1080), (1440, 1680)]), &["24h", "split", "14h"]),
        // A call-out is work, exception or not (STCW A-VIII/1 paragraphs 6 and 9): an hour of the six.
        ("called out of the six hours", [three_from(0), minutes(&[(1200, 1260)])].concat(), &["24h", "split", "6h"]),
        // At most two 24-hour periods in any seven days (UK reg. 7(3)(c); German Seearbeitsgesetz section 49(1)2): the third
        // an hour too early.
        ("third use after 167 h", [three_from(0), three_from(72), three_from(167)].concat(), &["split"]),
        // Exactly seven days after the first it is allowed.
        ("third use after 168 h", [three_from(0), three_from(72), three_from(168)].concat(), &[]),
    ];
    for (name, work, expected) in cases {
        assert_eq!(broken(&set, &work), expected, "{name}");
        // Without the flag state's permit each of them breaks the split (STCW A-VIII/1 paragraph 9: a Party may allow).
        assert!(broken(&RuleSet::stcw_mlc_rest(), &work).contains(&"split".to_owned()), "{name}");
    }
}

/// Timelines that meet every condition of the exception of 70 hours but one, with what is then broken; each condition with
/// its source.
#[test]
fn seventy_hours_need_every_condition() {
    let two = |first: i32, off: i32, second: i32| [days(0, first, 14), days(first + off, second, 14)].concat();
    let longer = ExceptionGap::LongerOfTwo;
    let cases: [(&str, ExceptionGap, Vec<Span>, &[&str]); 12] = [
        // All met: two weeks with exactly 70 h in any seven days (STCW A-VIII/1 paragraph 9).
        ("two weeks of 70 h", longer, days(0, 14, 14), &[]),
        // Not under 70 h (UK SI 2018/58 reg. 7(2)(a); German Seearbeitsgesetz section 49(1)3): a quarter of an hour less.
        ("69 h 45", longer, [days(0, 7, 14), minutes(&[(3 * 1440 + 840, 3 * 1440 + 855)])].concat(), &["24h", "split", "14h", "7d"]),
        // Not beyond two consecutive weeks (UK reg. 7(2)(b)): a fifteenth day.
        ("fifteen days", longer, days(0, 15, 14), &["7d"]),
        // Twice the longer of the two apart (UK reg. 7(2)(c)): 14 days, then 27 and 28 days, then 14.
        ("27 days apart", longer, two(14, 27, 14), &["7d"]),
        ("28 days apart", longer, two(14, 28, 14), &[]),
        // The bare words, "twice the duration of the exception", read as of the first: 7 days, 14 apart.
        ("twice the first", ExceptionGap::First, two(7, 14, 14), &[]),
        ("twice the longer asked", longer, two(7, 14, 14), &["7d"]),
        // Waived where as long a time off follows (German Seearbeitsgesetz section 49(1)3): 14 days and a little less.
        ("time off as long", ExceptionGap::LeaveWaives, two(14, 14, 14), &[]),
        ("time off too short", ExceptionGap::LeaveWaives, two(14, 13, 14), &["7d"]),
        // Time off with an hour of work in it is none.
        ("time off with work", ExceptionGap::LeaveWaives, [two(14, 14, 14), minutes(&[(20 * 1440, 20 * 1440 + 60)])].concat(), &["7d"]),
        // A published explainer: an exception of 7 hours, the next after 14; a day off is 34 h from work to work.
        ("by the hours", ExceptionGap::Hours, two(7, 1, 7), &[]),
        ("the same by the longer", longer, two(7, 1, 7), &["7d"]),
    ];
    for (name, gap, work, expected) in cases {
        assert_eq!(broken(&excepted(gap), &work), expected, "{name}");
        assert!(broken(&RuleSet::stcw_mlc_rest(), &work).contains(&"7d".to_owned()), "{name}: off without a permit");
    }
}
