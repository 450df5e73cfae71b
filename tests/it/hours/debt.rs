//! Rest owed for call-outs, emergencies and exempt drills, set against the rest given later.

use turnto::hours::{By, Of, PersonHours, check};
use turnto::id::Id;
use turnto::model::{Problem, RecordKind, Recorded};
use turnto::rest::{CallOuts, Drills, Readings};
use turnto::time::{Minutes, Moment, Span};

use crate::support::job::{Job, at, on};

/// Records of the seven days before the job, `daily` on each, and `more`; the job begins on day 1 at 08:00.
fn job(daily: &[&str], more: &[(Span, RecordKind)], readings: Readings) -> Problem {
    let mut job = Job::new(2);
    let person = job.person("A", &[]);
    let set = Id::from_index(0);
    job.parts.rule_sets[set] = job.parts.rule_sets[set].read_as(readings);
    let row = |(span, kind): (Span, RecordKind)| Recorded { span, kind, note: "alarm".to_owned() };
    let days = (-6..=0).flat_map(|day| daily.iter().map(move |times| (on(day, times), RecordKind::Duty)));
    let mut rows: Vec<Recorded> = days.chain(more.iter().copied()).map(row).collect();
    rows.sort_by_key(|row| row.span);
    job.parts.people[person].recorded = rows;
    job.problem()
}

fn hours(problem: &Problem) -> PersonHours {
    check(problem, Of::Records, None).remove(0)
}

/// For each call-out: owed, given, when all was given, by when it is due, whether that has passed.
fn calls(problem: &Problem) -> Vec<(i32, i32, Option<Moment>, By, bool)> {
    let row = |c: &turnto::hours::CallOut| (c.owed.get(), c.balance.given.get(), c.balance.even_at, c.balance.by, c.balance.overdue);
    hours(problem).calls.iter().map(row).collect()
}

const DAY: &[&str] = &["08:00-12:00", "13:00-17:00"];
const LONG: &[&str] = &["06:00-20:00"];

fn call(day: i32, times: &str) -> (Span, RecordKind) {
    (on(day, times), RecordKind::Call)
}

/// German Seearbeitsgesetz section 45(4) and Singapore Merchant Shipping (MLC) Act section 16(4): rest at least as long as
/// what was lost, in the next rest period. If this fails, rest that was given is not counted, or the ten hours of a day are.
#[test]
fn rest_beyond_the_least_of_a_day_is_given_back() {
    // From 03:00: 5 h to 08:00, an hour at noon, four from 17:00 make ten at 21:00; the next hour is the one that was lost. The
    // five hours are no rest period of six, so the next is the night.
    let problem = job(DAY, &[call(-2, "02:00-03:00")], Readings::default());
    assert_eq!(calls(&problem), [(60, 60, Some(at(-2, "22:00")), By::EndOfRest(at(-1, "08:00")), false)]);
    assert_eq!(hours(&problem).still_owed(), Minutes::ZERO);
}

/// If this fails, days that leave just the ten hours pass for rest in return.
#[test]
fn the_least_of_a_day_gives_nothing_back() {
    let problem = job(LONG, &[call(-2, "02:00-03:00")], Readings::default());
    assert_eq!(calls(&problem), [(60, 0, None, By::EndOfRest(at(-1, "06:00")), true)]);
    assert!(hours(&problem).overdue());
    assert_eq!(hours(&problem).still_owed(), Minutes::hours(1));
}

/// If this fails, one hour of rest is counted in return for two hours that were lost.
#[test]
fn no_minute_is_given_back_for_two() {
    let problem = job(DAY, &[call(-2, "01:00-02:00"), call(-2, "04:00-05:00")], Readings::default());
    // The first has ten hours at 21:00 and its own at 22:00. The second, from 05:00 and without that hour, has 3 + 1 + 4 h and
    // 22:00-24:00, and then its own.
    let even: Vec<Option<Moment>> = calls(&problem).iter().map(|row| row.2).collect();
    assert_eq!(even, [Some(at(-2, "22:00")), Some(at(-1, "01:00"))]);
}

/// If this fails, rest is counted that nobody knows of, or rest that is not yet due passes for overdue.
#[test]
fn what_is_not_known_yet_is_owed_and_not_overdue() {
    // Called the night before the job begins at 08:00: five hours are known after it.
    let problem = job(DAY, &[call(1, "02:00-03:00")], Readings::default());
    assert_eq!(calls(&problem), [(60, 0, None, By::EndOfRestFrom(at(1, "03:00")), false)]);
    assert!(!hours(&problem).overdue());
    assert_eq!(hours(&problem).still_owed(), Minutes::hours(1));
}

/// Reading A9, of the Danish authority's earlier order: owed is only what is missing from the ten hours. If this fails, the
/// reading changes nothing, or too much.
#[test]
fn owed_may_be_read_as_what_is_below_the_least() {
    let below = Readings { call_outs: CallOuts::BelowLeast, ..Readings::default() };
    let owed = |daily, times: &str| calls(&job(daily, &[call(-2, times)], below))[0].0;
    // 15 h of rest are left beside day work.
    assert_eq!(owed(DAY, "02:00-03:00"), 0);
    // Nine of ten are left beside fourteen hours of work.
    assert_eq!(owed(LONG, "02:00-03:00"), 60);
    // Of two hours that were lost, with an hour and a half to spare, half an hour is missing.
    assert_eq!(owed(&["06:00-18:30"], "01:00-03:00"), 30);
}

/// If this fails, rest lost to an emergency is not balanced, or is given a term that the Code does not set.
#[test]
fn an_emergency_is_balanced_too() {
    let fire = (on(-2, "19:00-21:00"), RecordKind::Emergency);
    let hours = hours(&job(DAY, &[fire], Readings::default()));
    let balance = hours.emergencies[0].balance;
    // From 21:00: 11 h to 08:00, of which the last is given; then an hour at noon.
    assert_eq!((balance.given, balance.even_at, balance.by), (Minutes::hours(2), Some(at(-1, "13:00")), By::Soon));
}

/// Reading A8 (German Seearbeitsgesetz section 47(2)): a drill is exempt and equal rest follows. If this fails, it is not owed
/// where it is exempt, or is where it counts as work.
#[test]
fn an_exempt_drill_is_owed() {
    let drill = (on(-2, "18:00-19:00"), RecordKind::Drill);
    let exempt = Readings { drills: Drills::Exempt, ..Readings::default() };
    assert_eq!(hours(&job(DAY, &[drill], Readings::default())).drills[0].balance, None);
    let owed = hours(&job(DAY, &[drill], exempt)).drills[0];
    let balance = owed.balance.expect("it is owed");
    // From 19:00: ten hours at 05:00.
    assert_eq!((owed.rest_lost, balance.even_at), (Minutes::hours(1), Some(at(-1, "06:00"))));
}
