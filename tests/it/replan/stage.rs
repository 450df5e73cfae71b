//! The demonstration job with a plan, and logs laid beside it.

use std::sync::OnceLock;

use turnto::engine::{Options, Outcome, Unwatched, solve};
use turnto::id::{PersonId, TaskId};
use turnto::input::read;
use turnto::model::Problem;
use turnto::plan::Plan;
use turnto::replan::{Remainder, Standing, Whole, remainder};
use turnto::time::{Minutes, Moment};
use turnto::verify::{Verified, verify};

use crate::support::demo;

/// The first plan the engine makes of a problem.
pub(crate) fn first_plan(problem: &Problem) -> Plan {
    let options = Options { seed: 0, patience: 0, bound: None, threads: 1, end: None };
    match solve(problem, &options, &mut Unwatched) {
        Outcome::Found(solution) => solution.plan,
        Outcome::Stuck(task) => panic!("no place for {}", problem.tasks[task].code),
        other @ Outcome::NoRoster(_) => panic!("{other:?}"),
    }
}

/// The demonstration job and its first plan, made once.
pub(crate) fn demo_plan() -> &'static (Problem, Plan) {
    static MADE: OnceLock<(Problem, Plan)> = OnceLock::new();
    MADE.get_or_init(|| {
        let problem = demo::problem();
        let plan = first_plan(&problem);
        (problem, plan)
    })
}

/// The demonstration job with this log, and its first plan.
pub(crate) fn with_log(log: &str) -> (Whole, Standing) {
    with_pins("", log)
}

/// The demonstration job with these pins and this log, and its first plan, which was made without the pins.
pub(crate) fn with_pins(pins: &str, log: &str) -> (Whole, Standing) {
    let reading = read(&demo::folder().with("pins.toml", pins).with("log.toml", log));
    let said: Vec<&str> = reading.diagnostics.iter().map(|d| d.message.as_str()).collect();
    let problem = reading.problem.unwrap_or_else(|| panic!("{said:?}"));
    let (base, plan) = demo_plan();
    assert_eq!(problem.tasks.len(), base.tasks.len(), "the log leaves the job as it is");
    (Whole::new(problem.clone(), reading.log), Standing::first(problem, plan.clone()))
}

/// What is left at `now`, with all of the log.
pub(crate) fn left(whole: &Whole, standing: &Standing, now: Moment) -> Remainder {
    remainder(whole, standing, now, whole.log.entries.len()).unwrap_or_else(|why| panic!("{why:?}"))
}

/// `day` and hour of the demonstration job.
pub(crate) fn at(day: i32, hour: i32, minute: i32) -> Moment {
    let problem = &demo_plan().0;
    problem.clock.at(turnto::clock::Day::new(day), Minutes::new(hour * 60 + minute))
}

/// The first plan of what is left, verified.
pub(crate) fn replanned(rest: &Remainder) -> Verified {
    let plan = first_plan(&rest.problem);
    verify(&rest.problem, plan).unwrap_or_else(|rejected| {
        let said: Vec<String> = rejected.breaches.iter().map(|b| b.describe(&rest.problem)).collect();
        panic!("{}", said.join("\n"))
    })
}

/// A task of the job by its code.
pub(crate) fn task(problem: &Problem, code: &str) -> Option<TaskId> {
    problem.tasks.find(|t| t.code == code)
}

/// A person by code.
pub(crate) fn person(problem: &Problem, code: &str) -> PersonId {
    problem.people.find(|p| p.code == code).expect("he is aboard")
}
