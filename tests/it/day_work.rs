//! The main job against what is usual: a six-cylinder engine is overhauled by its ship's own crew in about six working
//! days, and about sixty working hours one after the other (common practice, no source).

use turnto::engine::{Options, Outcome, Unwatched, solve};
use turnto::id::{IdVec, TaskId};
use turnto::model::Problem;
use turnto::time::Minutes;
use turnto::verify::verify;

use crate::support::demo;

/// The demo job with everybody on day work: no watches, duties, overtime, reserve or modes.
fn everybody_on_day_work() -> Problem {
    let mut parts = demo::problem().into_parts();
    let model = parts.people.iter().find(|p| p.code == "2E").expect("the second engineer is on day work").clone();
    for person in parts.people.iter_mut() {
        person.stretches.clone_from(&model.stretches);
        for stretch in &mut person.stretches {
            stretch.overtime.clear();
        }
        person.breaks.clone_from(&model.breaks);
        person.job_cap = None;
        person.recorded.clear();
    }
    parts.turns = IdVec::new();
    parts.posts = IdVec::new();
    parts.duties = IdVec::new();
    parts.modes = IdVec::new();
    parts.mode_spans = Vec::new();
    for task in parts.tasks.iter_mut() {
        task.attended_by = None;
    }
    Problem::new(parts).expect("it still hangs together")
}

/// If this fails, the demo job is not the overhaul it is made out to be, or the planner makes it far longer or shorter
/// than people know it to be.
#[test]
fn a_crew_on_day_work_takes_as_long_as_is_usual() {
    let problem = everybody_on_day_work();
    let options = Options { seed: 0, patience: 0, bound: None, threads: 1, end: None };
    let Outcome::Found(solution) = solve(&problem, &options, &mut Unwatched) else { panic!("there is a plan") };
    let verified = verify(&problem, solution.plan).expect("the plan is legal");
    let mut days: Vec<i32> = verified
        .plan()
        .spells
        .iter()
        .filter(|s| !s.team.is_empty())
        .flat_map(|s| s.work.iter().map(|w| problem.clock.day(w.start()).number()))
        .collect();
    days.sort_unstable();
    days.dedup();
    assert!((5..=9).contains(&days.len()), "{} working days", days.len());
}

/// If this fails, the demo job's order of work is far from what an overhaul takes even with all the hands in the world.
#[test]
fn the_longest_chain_is_as_long_as_is_usual() {
    let problem = everybody_on_day_work();
    let mut ends: IdVec<TaskId, Minutes> = IdVec::filled(Minutes::ZERO, problem.tasks.len());
    for id in problem.order() {
        let task = &problem.tasks[*id];
        let start = task.after.iter().map(|a| ends[a.task] + a.lag).max().unwrap_or(Minutes::ZERO);
        ends[*id] = start + problem.grid.length(task.length);
    }
    let longest = ends.iter().max().expect("there are tasks");
    assert!((Minutes::hours(50)..=Minutes::hours(90)).contains(longest), "{longest}");
}
