//! Emergencies and call-outs: findings stay, are excused with the reason, and rest is owed.

use turnto::hours::{Of, WHOLE_NIGHT, check};
use turnto::model::{Problem, RecordKind, Recorded};
use turnto::rest::{Emergencies, Readings};
use turnto::time::{Minutes, Span};

use crate::support::job::{Job, on};

/// Day work on the two days before the job, and `more`.
fn job(more: &[(Span, RecordKind, &str)], readings: Readings) -> Problem {
    let mut job = Job::new(2);
    let person = job.person("A", &[]);
    let set = turnto::id::Id::from_index(0);
    job.parts.rule_sets[set] = job.parts.rule_sets[set].read_as(readings);
    let day = |day: i32| [on(day, "08:00-12:00"), on(day, "13:00-17:00")];
    let mut rows: Vec<Recorded> =
        (-3..=-1).flat_map(day).map(|span| Recorded { span, kind: RecordKind::Duty, note: String::new() }).collect();
    rows.extend(more.iter().map(|(span, kind, note)| Recorded { span: *span, kind: *kind, note: (*note).to_owned() }));
    rows.sort_by_key(|row| row.span);
    job.parts.people[person].recorded = rows;
    job.problem()
}

fn fire() -> Span {
    on(-2, "19:00-02:00")
}

/// STCW Code A-VIII/1 paragraphs 4 and 8: the rules need not be kept in an emergency, and adequate rest follows. If this
/// fails, a finding is hidden, or not excused though its reason is on record, or the rest owed is wrong.
#[test]
fn a_finding_by_an_emergency_stays_and_is_excused() {
    let problem = job(&[(fire(), RecordKind::Emergency, "fire in the purifier room")], Readings::default());
    let hours = &check(&problem, Of::Records, None)[0];
    assert!(!hours.groups.is_empty(), "the finding stays");
    for group in &hours.groups {
        let excuse = group.excuse.as_ref().expect("only the emergency makes it");
        assert_eq!(excuse.reason.as_deref(), Some("fire in the purifier room"));
    }
    // 19:00 to 02:00 was all rest.
    assert_eq!(hours.emergencies.iter().map(|e| e.owed).collect::<Vec<_>>(), [Minutes::hours(7)]);
}

/// If this fails, an emergency without a reason, or a reading that excuses none, excuses all the same.
#[test]
fn without_a_reason_or_by_the_other_reading_nothing_is_excused() {
    let silent = job(&[(fire(), RecordKind::Emergency, " ")], Readings::default());
    let strict = Readings { emergencies: Emergencies::Nothing, ..Readings::default() };
    let read = job(&[(fire(), RecordKind::Emergency, "fire in the purifier room")], strict);
    for problem in [silent, read] {
        let hours = &check(&problem, Of::Records, None)[0];
        assert!(!hours.groups.is_empty() && hours.groups.iter().all(|group| group.excuse.is_none()), "{:?}", hours.groups);
        assert_eq!(hours.emergencies.len(), 1);
    }
}

/// If this fails, an emergency covers up what was broken without it.
#[test]
fn what_was_broken_anyway_is_not_excused() {
    // Duty until 23:30 leaves 8.5 h of rest in the 24 h from 08:00 with or without the half-hour of emergency in it.
    let late = (on(-2, "17:00-23:30"), RecordKind::Duty, "");
    let alarm = (on(-2, "23:30-24:00"), RecordKind::Emergency, "engine stopped in the fairway");
    let problem = job(&[late, alarm], Readings::default());
    let hours = &check(&problem, Of::Records, None)[0];
    let set = &problem.rule_sets[turnto::id::Id::from_index(0)];
    let day = hours.groups.iter().find(|group| set.rules[group.worst.rule].code == "24h").expect("it is broken");
    assert_eq!(day.excuse, None);
}

/// German Seearbeitsgesetz section 45(4): besides the rest owed, six hours unbroken are left. If this fails, somebody who
/// was called out again and again is not seen to have had no whole night.
#[test]
fn a_night_without_six_hours_after_a_call_is_told() {
    let calls = [
        (on(-2, "20:00-20:30"), RecordKind::Call, "alarm"),
        (on(-1, "01:00-01:30"), RecordKind::Call, "alarm"),
        (on(-1, "19:00-20:00"), RecordKind::Call, "alarm"),
    ];
    let problem = job(&calls, Readings::default());
    let hours = &check(&problem, Of::Records, None)[0];
    let told: Vec<(i32, i32)> = hours.calls.iter().map(|call| (call.owed.get(), call.then_unbroken.get())).collect();
    // After the first: 20:30-01:00 and 01:30-08:00, 6 h 30; after the second 01:30-08:00 too; after the third 20:00 on.
    assert_eq!(told, [(30, 390), (30, 390), (60, 1440)]);
    assert!(hours.calls.iter().all(|call| call.then_unbroken >= WHOLE_NIGHT));
    let again = [calls[0], calls[1], (on(-1, "04:00-04:30"), RecordKind::Call, "alarm")];
    let problem = job(&again, Readings::default());
    let longest: Vec<i32> = check(&problem, Of::Records, None)[0].calls.iter().map(|call| call.then_unbroken.get()).collect();
    // 20:30-01:00 is 4 h 30 and 04:30-08:00 is 3 h 30; from 17:00 on there are 8 h 30 in the day from 01:30, 11 h 30
    // in that from 04:30, and 3 h 30 in that from 20:30.
    assert_eq!(longest, [270, 510, 690]);
}
