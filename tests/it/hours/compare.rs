//! The record against the plan.

use turnto::hours::compare;
use turnto::model::{RecordKind, Recorded};
use turnto::time::{Minutes, Span};
use turnto::verify::Asked;

use crate::support::job::{Job, idle_plan, on, spell};

fn recorded(span: Span) -> Recorded {
    Recorded { span, kind: RecordKind::Task, note: String::new() }
}

/// A job of three days in which A works 08:00-12:00 on days 1 and 2, and B on day 1; with their records.
fn compared(a: &[Span], b: &[Span]) -> (turnto::model::Problem, turnto::plan::Plan) {
    let mut job = Job::new(3);
    let fit = job.competence("FIT");
    let people = ["A", "B"].map(|code| job.person(code, &[fit]));
    for person in people {
        job.day_work(person);
    }
    let task = job.task("T", &[fit], 8);
    job.parts.people[people[0]].recorded = a.iter().copied().map(recorded).collect();
    job.parts.people[people[1]].recorded = b.iter().copied().map(recorded).collect();
    let mut plan = idle_plan(&job.parts);
    let morning = |day: i32, person| spell(task, 0, day, &["08:00-12:00"], &[person]);
    plan.spells = vec![morning(1, people[0]), morning(2, people[0]), morning(1, people[1])];
    (job.problem(), plan)
}

/// If this fails, a record that says something else than the plan passes, or the other way round.
#[test]
fn differences_are_found_by_person_and_day_worst_first() {
    let same = [on(1, "08:00-12:00"), on(2, "08:00-12:00")];
    let (problem, plan) = compared(&same, &same[..1]);
    let agreed = compare(&problem, &[Asked::new(&problem, &plan).expect("it has a shape")]);
    assert!(agreed.days.is_empty() && agreed.without.is_empty(), "{agreed:?}");
    assert_eq!(agreed.same, 3);
    // A began an hour late on day 1 and worked on for two; on day 2 A did nothing of it; B, who was to rest on day 2,
    // worked half an hour.
    let (problem, plan) = compared(&[on(1, "09:00-14:00")], &[on(1, "08:00-12:00"), on(2, "14:00-14:30")]);
    let found = compare(&problem, &[Asked::new(&problem, &plan).expect("it has a shape")]);
    let rows: Vec<(&str, i32, i32, i32, i32)> = found
        .days
        .iter()
        .map(|row| {
            let code = problem.people[row.person].code.as_str();
            (code, row.day.number(), row.planned.get(), row.recorded.get(), row.difference().get())
        })
        .collect();
    assert_eq!(rows, [("A", 2, 240, 0, 240), ("A", 1, 240, 300, 180), ("B", 2, 0, 30, 30)]);
    assert_eq!(
        (found.days[1].missing.as_slice(), found.days[1].extra.as_slice()),
        (&[on(1, "08:00-09:00")][..], &[on(1, "12:00-14:00")][..])
    );
    assert_eq!(found.same, 1, "B on day 1");
}

/// If this fails, time of which no record can be there yet counts as a difference, or a person without any record is
/// passed over.
#[test]
fn only_time_that_is_recorded_is_compared() {
    // The record goes to 10:00 of day 1.
    let (problem, plan) = compared(&[on(1, "08:00-10:00")], &[]);
    let found = compare(&problem, &[Asked::new(&problem, &plan).expect("it has a shape")]);
    assert_eq!(found.time.map(Span::length), Some(Minutes::hours(2)));
    let people: Vec<&str> = found.without.iter().map(|p| problem.people[*p].code.as_str()).collect();
    assert_eq!((people.as_slice(), found.days.len()), (&["B"][..], 1));
    assert_eq!(found.days[0].difference(), Minutes::hours(2));
    let (problem, plan) = compared(&[on(0, "08:00-10:00")], &[]);
    let none = compare(&problem, &[Asked::new(&problem, &plan).expect("it has a shape")]);
    assert!(none.time.is_none() && none.days.is_empty(), "what was before the plan is no matter of the plan");
}
