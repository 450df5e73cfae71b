//! Who makes way for whom, on jobs where it is plain to see.

use super::{HandOver, for_task};
use crate::engine::critical::tests::{job_of, on_field, task};
use crate::engine::field::Found;
use crate::engine::place::Effort;
use crate::engine::serial::{Genes, Steer};
use crate::engine::team::Costs;
use crate::id::{IdVec, PersonId, TaskId};
use crate::model::Problem;
use crate::rng::Stream;

/// A fitter, an electrician and a motorman, and a stand of which there is one.
fn job(tasks: &str) -> Problem {
    job_of(&[("FT", "HYD, MEC"), ("EO", "ELE, MEC, GEN"), ("M1", "GEN")], tasks)
}

fn person(problem: &Problem, code: &str) -> PersonId {
    problem.people.ids().find(|p| problem.people[*p].code == code).expect("the person is there")
}

/// The plan in which the tasks `order` are placed in that order, each by whom it names if he can, and what `see` makes of it.
fn planned<T>(problem: &Problem, order: &[(&str, &str)], see: impl Fn(&Found, &[TaskId]) -> T) -> T {
    let dear = Costs { of: IdVec::filled(9, problem.people.len()), overtime: true };
    let mut costs: IdVec<TaskId, Costs> = IdVec::filled(dear, problem.tasks.len());
    for (code, by) in order {
        costs[task(problem, code)].of[person(problem, by)] = 1;
    }
    let order: Vec<TaskId> = order.iter().map(|(code, _)| task(problem, code)).collect();
    let mut genes = Genes { keys: IdVec::filled(0, problem.tasks.len()), tasks: costs.iter().cloned().map(Steer::by).collect() };
    genes.keep(&order);
    on_field(problem, |field| {
        let plan = field.build(&genes, None, false, i64::MAX, &mut Effort::default());
        see(&plan.expect("there is room for all tasks"), &order)
    })
}

/// Who makes way for `code`; the same whatever the seed, where there is one way only.
fn way(problem: &Problem, order: &[(&str, &str)], code: &str) -> Option<Vec<HandOver>> {
    let of = |seed| planned(problem, order, |plan, order| for_task(plan, order, task(problem, code), &mut Stream::new(seed, 0)));
    let first = of(0);
    assert!((1..8).all(|seed| of(seed) == first), "{first:?}");
    first
}

const CLEAN: &str = "[task.A]\ntext = \"Strip\"\nneeds = \"MEC\"\nhours = 3\nstop = \"never\"\n\
                     [task.B]\ntext = \"Sort\"\nneeds = \"GEN\"\nhours = 4\nstop = \"never\"\n\
                     [task.C]\ntext = \"Tension\"\nneeds = \"HYD\"\nhours = 2\nstop = \"never\"\n";

/// If this fails, a task waits for its only holder though others could do what he is at, over one hand-over or two.
#[test]
fn the_only_holder_is_freed_by_whoever_can_and_he_by_another() {
    let problem = job(CLEAN);
    let [a, b, c] = ["A", "B", "C"].map(|code| task(&problem, code));
    let [fitter, electrician, motorman] = ["FT", "EO", "M1"].map(|code| person(&problem, code));
    let over = |task, from, to| HandOver { task, from, to };
    // The electrician is free: he strips.
    let free = [("A", "FT"), ("B", "M1"), ("C", "FT")];
    assert_eq!(way(&problem, &free, "C"), Some(vec![over(c, None, fitter), over(a, Some(fitter), electrician)]));
    // He sorts: the motorman does that for him.
    let busy = [("A", "FT"), ("B", "EO"), ("C", "FT")];
    let both = vec![over(c, None, fitter), over(a, Some(fitter), electrician), over(b, Some(electrician), motorman)];
    assert_eq!(way(&problem, &busy, "C"), Some(both));
}

/// If this fails, what is proposed does not lead to the earlier start it was found for.
#[test]
fn with_the_hand_overs_the_task_begins_earlier_and_nothing_later() {
    let problem = job(CLEAN);
    let starts =
        |order: &[(&str, &str)]| planned(&problem, order, |plan, order| order.iter().map(|t| plan.state.start_of(*t)).collect::<Vec<_>>());
    assert_eq!(starts(&[("A", "FT"), ("B", "EO"), ("C", "FT")]), [Some(0), Some(0), Some(10)]);
    assert_eq!(starts(&[("A", "EO"), ("B", "M1"), ("C", "FT")]), [Some(0), Some(0), Some(0)]);
}

/// If this fails, somebody is to do what he cannot, two things at once, or with a tool that is in use.
#[test]
fn nobody_makes_way_where_nobody_else_can() {
    // Only the fitter can do either.
    let alone = job("[task.A]\ntext = \"Bleed\"\nneeds = \"HYD\"\nhours = 3\n[task.C]\ntext = \"Tension\"\nneeds = \"HYD\"\nhours = 2\n");
    assert_eq!(way(&alone, &[("A", "FT"), ("C", "FT")], "C"), None);
    // The electrician could strip, but is the only one for what he does.
    let tied = CLEAN.replace("\"GEN\"", "\"ELE\"");
    assert_eq!(way(&job(&tied), &[("A", "FT"), ("B", "EO"), ("C", "FT")], "C"), None);
    // Both want the stand.
    let stand = CLEAN.replace("hours = 3", "hours = 3\ntools = \"STAND\"").replace("hours = 2", "hours = 2\ntools = \"STAND\"");
    assert_eq!(way(&job(&stand), &[("A", "FT"), ("B", "M1"), ("C", "FT")], "C"), None);
    // Nothing to gain: it begins at once.
    assert_eq!(way(&job(CLEAN), &[("A", "EO"), ("B", "M1"), ("C", "FT")], "C"), None);
}

/// If this fails, what is placed after a task keeps it from beginning earlier, or somebody is taken outside his hours.
#[test]
fn what_is_placed_after_does_not_count_and_hours_do() {
    let long = CLEAN.replace("hours = 3", "hours = 7").replacen("stop = \"never\"\n", "", 1);
    let problem = job(&long);
    let order = [("A", "FT"), ("C", "FT"), ("B", "M1")];
    // The strip is in two spells, over dinner: of such nobody is relieved, and the dinner hour is not worked.
    assert_eq!(way(&problem, &order, "C"), None);
    let short = [("A", "FT"), ("C", "FT"), ("B", "EO")];
    let [a, c] = ["A", "C"].map(|code| task(&job(CLEAN), code));
    let problem = job(CLEAN);
    let [fitter, electrician] = ["FT", "EO"].map(|code| person(&problem, code));
    // The sorting is placed after, so that the electrician counts as free.
    let overs = vec![HandOver { task: c, from: None, to: fitter }, HandOver { task: a, from: Some(fitter), to: electrician }];
    assert_eq!(way(&problem, &short, "C"), Some(overs));
}
