//! Readings that change what is counted, each on timelines worked out by hand.

use chrono::NaiveDate;

use super::{everything, hours, span};
use crate::clock::{ClockChange, ShipClock};
use crate::rest::rule::Kind;
use crate::rest::{Counted, Exactly, Finding, Readings, RuleSet, Timeline, Windows, findings};
use crate::time::{Minutes, Moment};

/// Day 1 is 1 March 2027, and at 02:00 of day 2 the clock is put forward or back by so many minutes.
fn changed(by: i32) -> ShipClock {
    let day_one = NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date");
    let change = ClockChange { at: Moment::new(26 * 60), offset: Minutes::new(by) };
    ShipClock::new(day_one, Minutes::ZERO, vec![change]).expect("a clock")
}

fn found(counted: Counted, by: i32, work: &[(i32, i32)]) -> Vec<Finding> {
    let set = RuleSet::stcw_mlc_rest().read_as(Readings { counted, ..Readings::default() });
    findings(&set, &Timeline::new(&set, hours(work), &[]).on_clock(changed(by)), everything())
}

/// Reading A14. If it fails, hours are not counted as the ship's clock shows them where that is chosen, or they are where it
/// is not.
#[test]
fn hours_as_the_clock_shows_them() {
    // 06:00 to 20:00, then from 06:00 shown on: forward by an hour that is 9 h of elapsed rest and 10 h shown.
    let forward = [(6, 20), (29, 31)];
    let elapsed = found(Counted::Elapsed, 60, &forward);
    assert!(elapsed.iter().any(|f| (f.rule, f.found, f.window) == (0, Minutes::hours(9), span(6 * 60, 30 * 60))), "{elapsed:?}");
    assert_eq!(found(Counted::Shown, 60, &forward), []);
    // Back by an hour, 10 h elapsed are 9 h shown, and the 24 h shown from 06:00 on are 25 h long.
    let back = [(6, 20), (30, 34)];
    assert_eq!(found(Counted::Elapsed, -60, &back), []);
    let shown = found(Counted::Shown, -60, &back);
    assert!(shown.iter().any(|f| (f.rule, f.found, f.window) == (0, Minutes::hours(9), span(6 * 60, 31 * 60))), "{shown:?}");
    // Without a change both are the same.
    assert_eq!(found(Counted::Shown, 0, &forward), found(Counted::Elapsed, 0, &forward));
}

/// If it fails, the planner would take rules for elapsed time that are not, or refuse where the clock never changes.
#[test]
fn hours_as_shown_do_not_go_into_the_fast_checker() {
    let set = RuleSet::stcw_mlc_rest().read_as(Readings { counted: Counted::Shown, ..Readings::default() });
    assert!(crate::rest::ClosedRules::new(&set).is_err());
    assert!(set.steering().is_ok_and(|rules| rules.set().readings.counted == Counted::Elapsed));
}

/// The default numbers, on work that leaves exactly the least of each: 14 h of work a day on six days, then day work that
/// makes 77 h in seven days; and 6 + 4 h in a day.
fn exactly(rule: &str, exactly: Exactly) -> bool {
    let set = RuleSet::stcw_mlc_rest().read_as(Readings { exactly, ..Readings::default() });
    let work = match rule {
        // 6 + 4 h of rest, 7 h of work in one go: only totals, split and the six hours are at their limit.
        "24h" | "split" | "6h" => hours(&[(0, 7), (11, 18), (24, 31)]),
        "14h" => hours(&[(0, 14)]),
        // Seven days with 11 h of rest each.
        "7d" => (0..7).map(|day| span(day * 1440, day * 1440 + 13 * 60)).collect(),
        other => panic!("no case for {other}"),
    };
    findings(&set, &Timeline::new(&set, work, &[]), everything()).iter().any(|f| set.rules[f.rule].code == rule)
}

/// Reading A16. If it fails, exactly ten hours, six, fourteen or 77 pass where they are read to fail, or the other way round.
#[test]
fn exactly_the_limit() {
    for rule in ["24h", "split", "6h", "14h", "7d"] {
        assert!(!exactly(rule, Exactly::Passes), "{rule}");
        assert!(exactly(rule, Exactly::Fails), "{rule}");
    }
}

/// If it fails, a limit is made stricter twice, or one that cannot be stricter is made impossible or senseless.
#[test]
fn exactly_is_read_once_and_makes_nothing_impossible() {
    let fails = Readings { exactly: Exactly::Fails, ..Readings::default() };
    for set in RuleSet::codes().filter_map(RuleSet::by_code) {
        let once = set.read_as(fails);
        assert_eq!(once.read_as(fails), once);
        assert_eq!(once.read_as(Readings { day: Windows::Calendar, ..fails }).read_as(fails).rules, once.rules, "{}", set.code);
        assert_eq!(RuleSet::new(once.clone().into_parts()), Ok(once.clone()));
        for (rule, before) in once.rules.iter().zip(&set.rules) {
            let by = rule.kind.limit().required() - before.kind.limit().required();
            let kept = match before.kind {
                Kind::NightWork(night) => night.at_most.is_zero(),
                Kind::RestCount(_) | Kind::RestPeriods(_) => true,
                _ => false,
            };
            assert_eq!(by.get().abs(), i32::from(!kept), "{} of {}", rule.code, set.code);
        }
    }
}

/// If it fails, the planner keeps to ten hours where more than ten are asked for.
#[test]
fn the_planner_keeps_the_stricter_limit() {
    let set = RuleSet::stcw_mlc_rest().read_as(Readings { exactly: Exactly::Fails, ..Readings::default() });
    let asked = |rules: &RuleSet| rules.rules.iter().map(|rule| rule.kind.limit().required()).collect::<Vec<_>>();
    assert_eq!(set.steering().map(|rules| asked(rules.set())), Ok(asked(&set)));
    assert_eq!(asked(&set).first(), Some(&Minutes::new(601)));
}
