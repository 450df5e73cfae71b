//! Worked rest cases of the trade, each under two readings with numbers and verdict.
//!
//! All are worked out from the limits (10 h in any 24 h, in two periods of which one of 6 h, 14 h between, 77 h in
//! any 7 days) on a grid of half-hours. Reading "after six hours": 24 hours start when work starts after at least
//! six hours off. Default: at every start and end of work. A lunch of one hour is a named break, no rest.

use turnto::rest::rule::{BestRests, Kind, LongestRest, MostWork, TotalRest};
use turnto::rest::{Edge, Readings, RuleSet, ShortGap, Timeline, Windows, findings};
use turnto::time::{Minutes, Span};

use crate::support::job::{at, on};

struct Case {
    id: &'static str,
    /// Work of every day.
    daily: &'static [&'static str],
    /// Work of day 18 instead, where that is another.
    once: Option<&'static [&'static str]>,
    sundays_off: bool,
    /// Least, in hundredths of an hour, after six hours off: two longest rests together, longest rest.
    after_six: [i32; 2],
    /// Least two longest rests from every minute, cut at both edges; `None` where nothing is said.
    every_minute: Option<i32>,
    /// Least rest in any 24 h and any 7 days.
    any: [i32; 2],
    /// Rules broken after six hours off, and by default.
    broken: [&'static [&'static str]; 2],
}

const WATCH: &[&str] = &["04:00-13:00", "16:00-20:00"];
const DAY: &[&str] = &["08:00-12:00", "13:00-18:00"];
const LONG_DAY: &[&str] = &["08:00-12:00", "13:00-20:00"];
const NONE: &[&str] = &[];

const fn case(id: &'static str, daily: &'static [&'static str], after_six: [i32; 2], every_minute: i32, any: [i32; 2]) -> Case {
    Case { id, daily, once: None, sundays_off: false, after_six, every_minute: Some(every_minute), any, broken: [NONE, NONE] }
}

fn cases() -> Vec<Case> {
    vec![
        // Legal in all readings: two rests of 8 h.
        case("R1 four on, eight off", &["00:00-04:00", "12:00-16:00"], [1600, 800], 1200, [1600, 11200]),
        // Six on, six off: from every minute 3 + 6 + 3, best two 9.
        case("R2 six on, six off", &["00:00-06:00", "12:00-18:00"], [1200, 600], 900, [1200, 8400]),
        Case {
            broken: [&["7d"], &["7d"]],
            ..case("R3 as R2, 2 h after one watch", &["00:00-08:00", "12:00-18:00"], [1000, 600], 700, [1000, 7000])
        },
        case("R4 as R2, 1 h after one watch", &["00:00-07:00", "12:00-18:00"], [1100, 600], 800, [1100, 7700]),
        case("R5 watch, job, watch", WATCH, [1100, 800], 800, [1100, 7700]),
        Case {
            once: Some(&["04:00-13:00", "15:30-20:00"]),
            broken: [&["7d"], &["7d"]],
            ..case("R6 as R5, drill 15:30-17:00 once", WATCH, [1050, 800], 800, [1050, 7650])
        },
        // Lunch 12-13 is no rest, the hour 15-16 is: 8 + 1.
        Case {
            broken: [&["24h", "split", "7d"], &["24h", "split", "7d"]],
            ..case("R7 watch, job to 15, watch", &["04:00-12:00", "13:00-15:00", "16:00-20:00"], [900, 800], 800, [900, 6300])
        },
        case("R8 watch, job, watch from 20", &["08:00-12:00", "13:00-17:00", "20:00-24:00"], [1100, 800], 800, [1100, 7700]),
        case("R9 middle watch and job", &["00:00-04:00", "08:00-16:00"], [1200, 800], 800, [1200, 8400]),
        case("R10 day work", DAY, [1400, 1400], 1400, [1400, 9800]),
        case("R11 day work to 20", LONG_DAY, [1200, 1200], 1200, [1200, 8400]),
        Case {
            once: Some(&["02:00-03:30", "08:00-12:00", "13:00-18:00"]),
            ..case("R12 as R10, called 02:00-03:30 once", DAY, [1250, 800], 850, [1250, 9650])
        },
        Case {
            once: Some(&["01:30-03:00", "08:00-12:00", "13:00-20:00"]),
            broken: [&["6h"], &["6h"]],
            // From every minute, 22:45 being the worst: 2.75 and 2.75 at the edges, 5 between (8 on half-hours alone).
            ..case("R13a as R11, called 01:30-03:00 once", LONG_DAY, [1050, 550], 775, [1050, 8250])
        },
        // Starting at 09:00 gives a rest of 6 h, but not inside the 24 h that began at 08:00 the day before.
        Case {
            once: Some(&["01:30-03:00", "09:00-12:00", "13:00-20:00"]),
            broken: [&["6h"], &["6h"]],
            ..case("R13b as R13a, start 09:00", LONG_DAY, [1050, 550], 800, [1050, 8250])
        },
        Case {
            once: Some(&["06:00-21:00"]),
            every_minute: None,
            broken: [&["24h", "split", "14h"], &["24h", "split", "14h"]],
            ..case("R14 fifteen hours without rest", NONE, [900, 900], 0, [900, 15300])
        },
        // From every minute the day's 4 h are split at worst over both edges, and there are never more.
        Case {
            once: Some(&["00:00-20:00"]),
            broken: [&["24h", "split", "6h", "14h"], &["24h", "split", "6h", "14h"]],
            ..case("R15 bunkering, twenty hours awake", NONE, [400, 400], 400, [400, 14800])
        },
        Case { sundays_off: true, ..case("R16 as R10, Sundays off", DAY, [1400, 1400], 1400, [1400, 10800]) },
        Case {
            once: Some(&["04:00-13:00", "16:00-20:30"]),
            every_minute: None,
            broken: [&["7d"], &["7d"]],
            ..case("R17 as R5, a watch half an hour over once", WATCH, [1050, 750], 0, [1050, 7650])
        },
    ]
}

/// 35 days of a case; what happens once is on day 18. Day 1 is a Monday.
fn timeline(case: &Case, set: &RuleSet, lunch: bool) -> Timeline {
    let mut work = Vec::new();
    for day in 1..=35 {
        let pieces = if day == 18 { case.once.unwrap_or(case.daily) } else { case.daily };
        if !(case.sundays_off && day % 7 == 0) {
            work.extend(pieces.iter().map(|times| on(day, times)));
        }
    }
    let breaks: Vec<Span> = if lunch { (1..=35).map(|day| on(day, "12:00-13:00")).collect() } else { Vec::new() };
    Timeline::new(set, work, &breaks)
}

/// Windows that touch days 12 to 24 lie inside what is laid out.
fn scope() -> Span {
    Span::new(at(12, "00:00"), at(25, "00:00")).expect("from before to")
}

/// In hundredths of an hour, which are exact for quarters of one.
fn least(kind: Kind, line: &Timeline) -> i32 {
    kind.measure(line, scope()).into_iter().map(|m| m.found).min().expect("there is work").get() * 100 / 60
}

fn best_two(windows: Windows) -> Kind {
    Kind::BestRests(BestRests { window: Minutes::DAY, count: 2, at_least: Minutes::ZERO, windows, edge: Edge::Part })
}

fn longest(windows: Windows) -> Kind {
    Kind::LongestRest(LongestRest { window: Minutes::DAY, at_least: Minutes::ZERO, windows, edge: Edge::Part })
}

fn total(window: Minutes) -> Kind {
    Kind::TotalRest(TotalRest { window, at_least: Minutes::ZERO, windows: Windows::Anchored, edge: Edge::Part })
}

fn broken(set: &RuleSet, line: &Timeline) -> Vec<String> {
    let mut codes: Vec<(usize, String)> = findings(set, line, scope()).iter().map(|f| (f.rule, set.rules[f.rule].code.clone())).collect();
    codes.sort();
    codes.dedup();
    codes.into_iter().map(|(_, code)| code).collect()
}

/// If this fails, the rules no longer judge the patterns that people aboard really work as the trade judges them.
#[test]
fn the_worked_cases_come_out_as_worked() {
    let default = RuleSet::stcw_mlc_rest();
    let six = Windows::AfterRest(Minutes::hours(6));
    let after_six = default.read_as(Readings { day: six, split: six, ..Readings::default() });
    for case in cases() {
        let line = timeline(&case, &default, true);
        let id = case.id;
        assert_eq!([least(best_two(six), &line), least(longest(six), &line)], case.after_six, "{id}: after six hours off");
        if let Some(every) = case.every_minute {
            assert_eq!(least(best_two(Windows::EveryMinute), &line), every, "{id}: every minute");
        }
        assert_eq!([least(total(Minutes::DAY), &line), least(total(Minutes::WEEK), &line)], case.any, "{id}: any 24 h, any 7 d");
        assert_eq!(broken(&after_six, &line), case.broken[0], "{id}: broken after six hours off");
        assert_eq!(broken(&default, &line), case.broken[1], "{id}: broken by default");
    }
}

/// If this fails, a lunch hour counts the same whether it is a named break or not.
#[test]
fn a_lunch_that_is_no_named_break_is_rest() {
    let set = RuleSet::stcw_mlc_rest();
    let case = &cases()[7];
    assert!(case.id.starts_with("R8"));
    // R8 with the hour from 12 to 13 as rest: 77 + 7.
    assert_eq!(least(total(Minutes::WEEK), &timeline(case, &set, false)), 8400);
}

/// If this fails, the rest regime and the work regime have come to be one: R5 has 13 h of work a day, 91 h in seven
/// days, which is all that 77 h of rest leave (R18: 168 - 77 = 91), and far more than 72.
#[test]
fn what_is_legal_by_rest_is_illegal_by_work() {
    let work = RuleSet::by_code("mlc-work").expect("a built-in set");
    let case = &cases()[4];
    assert!(case.id.starts_with("R5"));
    let line = timeline(case, &work, true);
    assert_eq!(broken(&work, &line), ["work-7d"]);
    let most = Kind::MostWork(MostWork {
        window: Minutes::WEEK,
        at_most: Minutes::WEEK,
        windows: Windows::Anchored,
        short_gap: ShortGap::Neither,
    });
    let found = most.measure(&line, scope()).into_iter().map(|m| m.found).max().expect("there is work");
    assert_eq!(found, Minutes::WEEK - Minutes::hours(77));
}
