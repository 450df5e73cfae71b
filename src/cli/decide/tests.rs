//! Which of two plans is the one to go by.

use super::better;
use crate::engine::{Options, Outcome, Unwatched, solve};
use crate::input::{Folder, read};
use crate::model::Problem;
use crate::verify::{Verified, verify};

/// One fitter for two tasks of four hours each, A and B, each to be done by `due`, what is late weighed by `weights`;
/// `more` is asked of A and of B besides.
fn job(due: &str, weights: [u32; 2], more: [&str; 2]) -> Problem {
    let [a, b] = weights;
    let job = format!(
        "ship = \"MV Example\"\ntitle = \"Two pumps\"\nstart = 2027-06-07T08:00\ndays = 4\nslot = 30\nclock = \"UTC+2\"\n\
         [breaks]\nlunch = \"12:00-13:00\"\n[rest]\nrules = \"stcw-mlc-rest\"\nrecorded_from = \"day -6\"\n\
         [milestone.a]\ntext = \"A ready\"\ntasks = \"A\"\ndue = \"{due}\"\nweight = {a}\n\
         [milestone.b]\ntext = \"B ready\"\ntasks = \"B\"\ndue = \"{due}\"\nweight = {b}\n"
    );
    let crew = "[competence]\nFIT = \"fitting\"\n[person.FT]\nname = \"Fitter\"\ncan = \"FIT\"\nhours = \"08:00-12:00, 13:00-17:00\"\n";
    let task = |code, more| format!("[task.{code}]\ntext = \"Overhaul\"\nneeds = \"FIT\"\nhours = 4\n{more}\n");
    let folder = Folder::new()
        .with("job.toml", job)
        .with("crew.toml", crew)
        .with("tasks.toml", task("A", more[0]) + &task("B", more[1]))
        .with("hours.csv", "person,from,to,kind,note\n");
    let reading = read(&folder);
    reading.problem.unwrap_or_else(|| panic!("{:?}", reading.diagnostics))
}

/// A plan of `like`, as one of `problem`.
fn planned(like: &Problem, problem: &Problem) -> Verified {
    let options = Options { seed: 0, patience: 0, bound: None, threads: 1, end: None };
    let Outcome::Found(solution) = solve(like, &options, &mut Unwatched) else { panic!("the job is easily done") };
    verify(problem, solution.plan).expect("what is legal with less freedom is legal with more")
}

/// Which of two is chosen, whichever of them comes first.
fn chosen<'p>(problem: &Problem, one: &'p Verified, other: &'p Verified) -> [bool; 2] {
    [(one, other), (other, one)].map(|(old, new)| better(problem, old.clone(), new.clone()).plan() == one.plan())
}

/// If this fails, the weights of dates are not asked when a plan is chosen. One of the tasks is two hours late, the other seven.
#[test]
fn dates_count_by_their_weight() {
    let orders = [["after = \"B\"", ""], ["", "after = \"A\""]];
    for (weights, wanted) in [([1, 3], [true; 2]), ([3, 1], [false; 2]), ([1, 1], [true, false])] {
        let problem = job("day 1 10:00", weights, ["", ""]);
        let [b_first, a_first] = orders.map(|more| planned(&job("day 1 10:00", weights, more), &problem));
        assert_eq!(chosen(&problem, &b_first, &a_first), wanted, "{weights:?}");
    }
}

/// If this fails, a plan that is better by an aim after the dates is thrown away, or people who were told a plan get another
/// for no better date.
#[test]
fn all_aims_count_but_where_people_were_told_a_plan() {
    let due = "day 3 12:00";
    let problem = job(due, [1, 1], ["", ""]);
    let soon = planned(&problem, &problem);
    let late = planned(&job(due, [1, 1], ["", "not_before = \"day 2 08:00\""]), &problem);
    assert!(soon.account().finish < late.account().finish);
    assert_eq!(chosen(&problem, &soon, &late), [true; 2]);
    let mut parts = problem.into_parts();
    parts.told = Some(late.plan().clone());
    let told = Problem::new(parts).expect("a told plan is no defect");
    let [soon, late] = [soon, late].map(|plan| verify(&told, plan.plan().clone()).expect("as legal as before"));
    assert_eq!(chosen(&told, &soon, &late), [true, false], "the one there was first stays");
}
