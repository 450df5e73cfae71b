//! Reports and writers, on a small job built in code.

mod aims;
mod csv;
mod days;
mod golden;
mod json;
mod read;
mod sheet;
pub(crate) mod ship;
mod totals;
mod waits;

use std::sync::OnceLock;

use turnto::model::Problem;
use turnto::plan::Plan;
use turnto::report::{Report, Solved};
use turnto::verify::{Verified, verify};

/// The plan as verified; a test's plan must be legal.
#[track_caller]
fn verified(problem: &Problem, plan: Plan) -> Verified {
    verify(problem, plan).unwrap_or_else(|rejected| {
        let breaches: Vec<String> = rejected.breaches.iter().map(|b| b.describe(problem)).collect();
        panic!("the plan is not legal:\n{}", breaches.join("\n"))
    })
}

/// The small job with its own plan, verified once for all tests.
fn small() -> &'static (Problem, Verified, Solved) {
    static SMALL: OnceLock<(Problem, Verified, Solved)> = OnceLock::new();
    SMALL.get_or_init(|| {
        let problem = ship::problem();
        let verified = verified(&problem, ship::plan(&problem));
        (problem, verified, ship::solved())
    })
}

/// What `write` makes of the small job's own plan.
fn of_ship<T>(write: impl FnOnce(&Report<'static>) -> T) -> T {
    let (problem, verified, solved) = small();
    write(&Report::new(problem, verified, solved))
}

/// What `write` makes of a legal plan.
#[track_caller]
fn of<T>(problem: &Problem, plan: Plan, solved: &Solved, write: impl FnOnce(&Report<'_>) -> T) -> T {
    let verified = verified(problem, plan);
    write(&Report::new(problem, &verified, solved))
}
