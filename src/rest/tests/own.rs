//! Sets that are not of the sea, made from the same parts: road haulage and air crew. And what steers is strict enough.

use proptest::prelude::*;

use super::{broken, everything, hours, work};
use crate::rest::rule::{Between, Kind, LongestRest, MostWork, Rule, UnbrokenWork};
use crate::rest::{ClosedRules, Divided, Edge, Permit, Readings, RuleSet, RuleSetParts, ShortGap, Timeline, Windows, findings};
use crate::time::Minutes;

/// A set with a quarter of an hour as the least rest.
fn own(code: &str, kinds: Vec<(&str, Kind)>) -> RuleSet {
    let rule = |(code, kind): (&str, Kind)| Rule { code: code.to_owned(), kind, source: "as the test says".to_owned() };
    let (name, source, min_rest) = (code.to_owned(), "as the test says".to_owned(), Minutes::new(15));
    let rules = kinds.into_iter().map(rule).collect();
    let parts =
        RuleSetParts { code: code.to_owned(), name, source, min_rest, rules, readings: Readings::default(), own: true, permit: None };
    RuleSet::new(parts).expect("the numbers make sense")
}

/// Regulation (EC) No 561/2006, from memory: article 7, a break of 45 min after 4 h 30 of driving; article 6(1), at most
/// 9 h of driving between two daily rests; article 6(2), 56 h a week; article 6(3), 90 h in any two weeks in a row;
/// article 8, a daily rest of 9 h (the reduced one) within 24 h from the end of the last one. Not in it: breaks in two
/// parts, ten hours of driving twice a week.
fn road() -> RuleSet {
    let (edge, short_gap, windows) = (Edge::Part, ShortGap::Neither, Windows::Calendar);
    let driving = |at_most, least_break| Kind::UnbrokenWork(UnbrokenWork { at_most, least_break, between: Between::Not });
    let week = |weeks: i32, limit: i32| {
        Kind::MostWork(MostWork { window: Minutes::hours(168 * weeks), at_most: Minutes::hours(limit), windows, short_gap })
    };
    let daily = LongestRest { window: Minutes::DAY, at_least: Minutes::hours(9), windows: Windows::AfterRest(Minutes::hours(9)), edge };
    own(
        "road-eu",
        vec![
            ("break", driving(Minutes::new(270), Minutes::new(45))),
            ("day", driving(Minutes::hours(9), Minutes::hours(9))),
            ("week", week(1, 56)),
            ("two-weeks", week(2, 90)),
            ("daily-rest", Kind::LongestRest(daily)),
        ],
    )
}

/// 14 CFR part 117, from memory: section 117.23(c), at most 60 h of flight duty in any 168 consecutive hours and 190 h
/// in any 672; section 117.25(b), 30 consecutive hours free of duty within the 168 h before a duty begins; section
/// 117.25(e), ten consecutive hours of rest immediately before a duty.
fn air() -> RuleSet {
    let (edge, short_gap) = (Edge::Part, ShortGap::Neither);
    let most = |window: i32, limit: i32| {
        let (window, at_most) = (Minutes::hours(window), Minutes::hours(limit));
        Kind::MostWork(MostWork { window, at_most, windows: Windows::Anchored, short_gap })
    };
    let before = |window: i32, rest: i32| {
        let (window, at_least) = (Minutes::hours(window), Minutes::hours(rest));
        Kind::LongestRest(LongestRest { window, at_least, windows: Windows::BackFromWorkStart, edge })
    };
    own(
        "air-us",
        vec![("168h", most(168, 60)), ("672h", most(672, 190)), ("weekly-rest", before(168, 30)), ("rest-before", before(10, 10))],
    )
}

fn codes(set: &RuleSet, work: &[(i32, i32)]) -> Vec<String> {
    let broken = broken(set, hours(work));
    set.rules.iter().zip(broken).filter(|(_, broken)| *broken).map(|(rule, _)| rule.code.clone()).collect()
}

/// If this fails, rules of the road cannot be stated: worked out by hand beside each case.
#[test]
fn road_haulage_can_be_stated() {
    let set = road();
    let minutes = |list: &[(i32, i32)]| {
        let spans = list.iter().map(|&(from, to)| super::span(from, to)).collect::<Vec<_>>();
        let broken = broken(&set, spans);
        set.rules.iter().zip(broken).filter(|(_, b)| *b).map(|(r, _)| r.code.clone()).collect::<Vec<_>>()
    };
    // 4 h 30, 45 min off, 4 h 30: nine hours, all in order.
    assert_eq!(minutes(&[(360, 630), (675, 945)]), [""; 0]);
    // A break of 44 min is none: nine hours of driving without one. So is 15 min in the middle.
    assert_eq!(minutes(&[(360, 630), (674, 944)]), ["break"]);
    assert_eq!(minutes(&[(360, 495), (510, 646)]), ["break"]);
    // The gap itself is not driving: 2 h, half an hour off, 2 h 30 are 4 h 30.
    assert_eq!(minutes(&[(360, 480), (510, 660)]), [""; 0]);
    // Ten hours of driving in a day.
    assert_eq!(minutes(&[(360, 630), (675, 945), (990, 1050)]), ["day"]);
    // Two duties of 8 h with 8 h between: no nine hours of rest in the 24 h from the first, and 16 h of driving.
    assert_eq!(codes(&set, &[(0, 4), (5, 9), (17, 21), (22, 26)]), ["day", "daily-rest"]);
    // 8 h on seven days from a Monday on are 56 h; on the next seven days 5 h a day make 91 h in the two weeks.
    let day = |d: i32, h: i32| [(d * 24, d * 24 + 4), (d * 24 + 5, d * 24 + 1 + h)];
    let first: Vec<(i32, i32)> = (0..7).flat_map(|d| day(d, 8)).collect();
    assert_eq!(codes(&set, &first), [""; 0]);
    let both: Vec<(i32, i32)> = (0..14).flat_map(|d| day(d, if d < 7 { 8 } else { 5 })).collect();
    assert_eq!(codes(&set, &both), ["two-weeks"]);
    assert_eq!(codes(&set, &[&first[..], &[(6 * 24 + 10, 6 * 24 + 11)]].concat()), ["week"]);
}

/// If this fails, rules of the air cannot be stated: worked out by hand beside each case.
#[test]
fn air_crew_limits_can_be_stated() {
    let set = air();
    // Twelve hours of duty on five days are 60 h, on six 72; with twelve hours between duties and no day off it takes
    // until the seventh day for the 30 h within the 168 h before to be gone: the record begins after rest.
    let days = |n: i32, h: i32| (0..n).map(|d| (d * 24, d * 24 + h)).collect::<Vec<_>>();
    assert_eq!(codes(&set, &days(5, 12)), [""; 0]);
    assert_eq!(codes(&set, &days(6, 12)), ["168h"]);
    assert_eq!(codes(&set, &days(8, 8)), ["weekly-rest"]);
    // The seventh day begins 144 h after the first: 24 h before it are free, and these are not thirty.
    assert_eq!(codes(&set, &days(7, 8)), ["weekly-rest"]);
    assert_eq!(codes(&set, &days(6, 8)), [""; 0]);
    // Nine hours between two duties.
    assert_eq!(codes(&set, &[(0, 8), (17, 25)]), ["rest-before"]);
    // 48 h in each of four weeks are 192 h in 672.
    let month: Vec<(i32, i32)> = (0..28).filter(|d| d % 7 < 4).map(|d| (d * 24, d * 24 + 12)).collect();
    assert_eq!(codes(&set, &month), ["672h"]);
}

/// Sets in every reading that can steer, a user's own among them.
fn steering() -> Vec<RuleSet> {
    let base = RuleSet::stcw_mlc_rest();
    let days = [Windows::AfterRest(Minutes::hours(6)), Windows::FirstWorkOfDay, Windows::Calendar, Windows::BackFromWorkStart];
    let mut sets: Vec<RuleSet> = RuleSet::codes().filter_map(RuleSet::by_code).collect();
    sets.extend(days.map(|day| base.read_as(Readings { day, ..Readings::default() })));
    sets.push(base.read_as(Readings { week: Windows::Calendar, edge: Edge::Whole, ..Readings::default() }));
    sets.push(RuleSet::by_code("both").expect("built in").read_as(Readings { short_gap: ShortGap::Work, ..Readings::default() }));
    let (flag, agreement) = ("a".to_owned(), "b".to_owned());
    sets.push(
        base.with_exceptions(Permit { flag, agreement, seventy_hours: true, three_periods: true }, Readings::default().exception_gap),
    );
    sets.push(road());
    sets
}

/// Readings that no closed rules are as strict as cannot steer, and say so. If this fails, a plan is made by rules it
/// is then found to break.
#[test]
fn what_cannot_steer_says_so() {
    assert!(steering().iter().all(|set| set.steering().is_ok()));
    let base = RuleSet::stcw_mlc_rest();
    for readings in [
        Readings { split: Windows::EveryMinute, ..Readings::default() },
        Readings { split: Windows::BackFromWorkStart, ..Readings::default() },
        Readings { divided: Divided::AllRest, ..Readings::default() },
    ] {
        assert!(base.read_as(readings).steering().is_err(), "{readings:?}");
    }
    assert!(air().steering().is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    /// If it fails, the planner keeps its rules and the verifier still finds the set broken.
    #[test]
    fn what_steers_is_at_least_as_strict(work in work()) {
        for set in steering() {
            let rules = set.steering().expect("steers");
            let passes = |set: &RuleSet| findings(set, &Timeline::new(set, work.clone(), &[]), everything()).is_empty();
            prop_assert!(!passes(rules.set()) || passes(&set), "{}", set.code);
            prop_assert!(ClosedRules::new(rules.set()).is_ok());
        }
    }
}
