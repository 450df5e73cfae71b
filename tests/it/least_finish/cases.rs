//! Cases that the enumeration brought up.

use turnto::bound::chain;
use turnto::calendar::Hours;
use turnto::engine::{Options, Outcome, Unwatched, solve};
use turnto::model::{Aim, Problem, Stop};
use turnto::time::Moment;
use turnto::verify::verify;

use crate::support::job::{Job, at};

/// The finish of the engine's plan, which must be legal.
#[track_caller]
fn finish(problem: &Problem, patience: u64) -> Moment {
    let bound = chain(problem, Hours::WithOvertime).expect("it fits").at;
    let options = Options { seed: 0, patience, bound: Some(bound), threads: 1, end: None };
    let Outcome::Found(solution) = solve(problem, &options, &mut Unwatched) else { panic!("there is a plan") };
    verify(problem, solution.plan).expect("the plan is legal").account().finish
}

/// If this fails, somebody who may use no evening is given overtime all the same.
#[test]
fn nobody_without_evenings_works_overtime() {
    let mut job = Job::new(2);
    job.parts.aims = vec![Aim::Shortfall, Aim::Finish, Aim::NightAndOvertime];
    let fitter = job.competence("F");
    let person = job.person("P", &[fitter]);
    job.day_work(person);
    job.parts.people[person].evenings = Some(0);
    job.task("T", &[fitter], 18);
    // Eight hours on the first day; the hour that is left would fit into its evening.
    assert_eq!(finish(&job.problem(), 200), at(2, "09:00"));
}

/// If this fails, emergency work waits because somebody it could do without has a break.
#[test]
fn emergency_work_goes_to_who_has_no_break() {
    let mut job = Job::new(1);
    let fitter = job.competence("F");
    let early = job.person("A", &[fitter]);
    let late = job.person("B", &[fitter]);
    job.hours(early, &["08:00-12:00", "13:00-17:00"], &[], &["12:00-13:00"]);
    job.hours(late, &["08:00-13:00", "14:00-17:00"], &[], &["13:00-14:00"]);
    let task = job.task("T", &[fitter], 2);
    let row = &mut job.parts.tasks[task];
    (row.stop, row.pauses, row.emergency) = (Stop::Never, false, true);
    row.not_before = Some(at(1, "12:00"));
    // The first plan already: whoever comes first in the list is not tried alone.
    assert_eq!(finish(&job.problem(), 0), at(1, "13:00"));
}
