//! The demonstration job: the first plan the engine finds is legal, and faults seeded in it are named.

use turnto::engine::{Options, Outcome, Unwatched, solve};
use turnto::id::Id;
use turnto::model::Problem;
use turnto::plan::Plan;
use turnto::time::{Minutes, Span};
use turnto::verify::{Clause, Thing, verify};

use crate::support::demo;

fn planned() -> (Problem, Plan) {
    let problem = demo::problem();
    let options = Options { seed: 1, patience: 0, bound: None, threads: 1, end: None };
    match solve(&problem, &options, &mut Unwatched) {
        Outcome::Found(solution) => (problem, solution.plan),
        Outcome::Stuck(task) => panic!("no place for task {}", problem.tasks[task].code),
        Outcome::NoRoster(why) => panic!("no roster: {why:?}"),
    }
}

/// If this fails, the engine and the verifier read a rule differently, or one of them is wrong. The account must
/// hang together as well: every total of the plan is the same by person, by task and by day.
#[test]
fn the_plan_of_the_demonstration_is_legal() {
    let (problem, plan) = planned();
    let verified = verify(&problem, plan).map_err(|r| r.breaches.iter().map(|b| b.describe(&problem)).collect::<Vec<String>>());
    let verified = verified.expect("the plan is legal");
    let account = verified.account();
    let by_person: Minutes = account.people.iter().map(|p| p.labour).sum();
    let by_task: Minutes = account.tasks.iter().map(|t| t.labour).sum();
    let by_day: Minutes = account.days.iter().map(|d| d.labour).sum();
    // 328 labour-hours are the typical hours of all tasks, each times its people.
    assert_eq!([by_person, by_task, by_day], [Minutes::hours(328); 3]);
    for person in &account.people {
        assert!(person.rest.recorded_findings.is_empty());
        assert_eq!(person.rest.not_checkable_before, None);
        assert!(person.rest.least_24h >= Minutes::hours(10) && person.rest.least_7d >= Minutes::hours(77));
        let covered: Minutes = person.stretches.iter().map(|doing| doing.span.length()).sum();
        assert_eq!(covered, account.end - problem.start);
    }
}

/// If this fails, a fault in a plan of the real size goes unseen: each spell in turn is moved by half an hour
/// before the start, and a task is dropped; the verifier must name the task.
#[test]
fn faults_in_the_plan_of_the_demonstration_are_named() {
    let (problem, plan) = planned();
    for number in 0..plan.spells.len() {
        let mut moved = plan.clone();
        let task = moved.spells[number].task;
        let length = moved.spells[number].span().length();
        moved.spells[number].work = Span::of(problem.start - Minutes::new(30), length).into_iter().collect();
        let rejected = verify(&problem, moved).expect_err("it starts before the plan");
        assert!(rejected.breaches.iter().any(|b| b.clause == Clause::OutsidePlan && b.thing == Some(Thing::Task(task))));
    }
    for task in problem.tasks.ids().step_by(7) {
        let mut less = plan.clone();
        less.spells.retain(|s| s.task != task);
        let rejected = verify(&problem, less).expect_err("a task is missing");
        assert!(rejected.breaches.iter().any(|b| b.clause == Clause::NotDone && b.thing == Some(Thing::Task(task))));
    }
    let mut hole = plan;
    let last = hole.turns.len() - 1;
    let post = problem.turns[Id::from_index(last)].post;
    hole.turns = hole.turns.iter().copied().take(last).collect();
    let rejected = verify(&problem, hole).expect_err("a watch is not manned");
    assert!(rejected.breaches.iter().any(|b| b.clause == Clause::Unmanned && b.thing == Some(Thing::Post(post))));
}
