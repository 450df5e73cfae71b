//! Those who stand the first watches after leaving port, and drills under their other reading.

use turnto::hours::{FirstWatch, Of, check, departing};
use turnto::model::{Problem, RecordKind, Recorded, Stand};
use turnto::rest::{Departure, Drills, Readings};
use turnto::time::{Minutes, Span};

use crate::support::job::{Job, at, on};

fn recorded(span: Span, kind: RecordKind) -> Recorded {
    Recorded { span, kind, note: String::new() }
}

/// Watches of six hours, A and B in turn, and C's night watch open; B worked from 08:00 to 23:00 before the job.
fn job(readings: Readings) -> Problem {
    let mut job = Job::new(2);
    let fit = job.competence("FIT");
    let [a, b, c] = ["A", "B", "C"].map(|code| job.person(code, &[fit]));
    let set = turnto::id::Id::from_index(0);
    job.parts.rule_sets[set] = job.parts.rule_sets[set].read_as(readings);
    job.parts.people[b].recorded = vec![recorded(on(0, "08:00-23:00"), RecordKind::Duty)];
    let fixed = Stand::Fixed;
    let turns = [("00:00-06:00", fixed(a)), ("06:00-12:00", fixed(a)), ("12:00-18:00", fixed(b)), ("18:00-24:00", Stand::Open(vec![c]))];
    job.post("OOW", fit, &turns);
    job.problem()
}

fn row(problem: &Problem, watch: &FirstWatch) -> (Option<String>, i32, i32, bool) {
    let who = watch.person.map(|person| problem.people[person].code.clone());
    (who, watch.found.get() / 60, watch.required.get() / 60, watch.rested())
}

/// STCW Convention regulation VIII/1, paragraph 2: the first watch and the relieving ones are rested; 46 USC 8104(a): six
/// hours off in the twelve before. Worked out by hand. If this fails, a ship sails with a tired watch and nobody says so.
#[test]
fn first_and_second_watches_are_looked_at() {
    let problem = job(Readings::default());
    // Leaving at 10:00 on day 1. A stands 08:00-12:00 then (the job starts at 08:00): 22 h of rest in the 24 h before. B
    // comes next, and had 10:00 to 23:00 at work: 11 h of rest.
    let found = departing(&problem, None, at(1, "10:00"));
    let rows: Vec<_> = found.watches.iter().map(|watch| row(&problem, watch)).collect();
    assert_eq!(rows, [(Some("A".to_owned()), 22, 10, true), (Some("B".to_owned()), 11, 10, true)]);
    // At 08:30 B has 23:00 to 08:30, 9 h 30 of 24.
    let early = departing(&problem, None, at(1, "08:30"));
    assert_eq!(row(&problem, &early.watches[1]), (Some("B".to_owned()), 9, 10, false));
    // By the other reading nine hours and a half of the twelve are enough.
    let american = job(Readings { departure: Departure::SixInTwelve, ..Readings::default() });
    let early = departing(&american, None, at(1, "08:30"));
    assert_eq!(row(&american, &early.watches[1]), (Some("B".to_owned()), 9, 6, true));
    // Who is not named is not rested.
    let open = departing(&problem, None, at(1, "13:00"));
    assert_eq!(row(&problem, &open.watches[1]), (None, 0, 10, false));
}

/// German Seearbeitsgesetz section 47(2) and (3): drills are exempt from the limits, equal rest follows. If this fails, the
/// reading does nothing, or makes rest of a drill between two pieces of work.
#[test]
fn drills_are_exempt_by_the_other_reading() {
    let found = |drills: Drills| {
        let mut job = Job::new(2);
        let person = job.person("A", &[]);
        let set = turnto::id::Id::from_index(0);
        job.parts.rule_sets[set] = job.parts.rule_sets[set].read_as(Readings { drills, ..Readings::default() });
        // 06-20 with a drill in it from 10 to 12, and one in the night: 9 h of rest without it in pieces of 3 and 5.5 h.
        job.parts.people[person].recorded = vec![
            recorded(on(-1, "06:00-10:00"), RecordKind::Duty),
            recorded(on(-1, "10:00-12:00"), RecordKind::Drill),
            recorded(on(-1, "12:00-20:00"), RecordKind::Duty),
            recorded(on(-1, "23:00-00:30"), RecordKind::Drill),
        ];
        let problem = job.problem();
        let hours = check(&problem, Of::Records, None).remove(0);
        let lost: Vec<i32> = hours.drills.iter().map(|drill| drill.rest_lost.get()).collect();
        (hours.findings.len(), hours.figures.least_24h, lost)
    };
    let (findings, least, lost) = found(Drills::Count);
    assert!(findings > 0);
    // Without the drill of the forenoon there would be two hours off.
    assert_eq!((least, lost), (Minutes::new(510), vec![120, 90]));
    // Exempt, the night is 10 h of rest; the two hours in the middle of the day are neither, so 14 h remain outside rest.
    let (findings, least, lost) = found(Drills::Exempt);
    assert_eq!((findings, least), (0, Minutes::hours(10)));
    assert_eq!(lost, [120, 90], "the rest lost is owed all the same");
}
