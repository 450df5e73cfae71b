//! Reports and writers, on a small job built in code.

mod days;
mod ship;

use turnto::model::Problem;
use turnto::plan::Plan;
use turnto::verify::{Verified, verify};

/// The plan as verified; a test's plan must be legal.
#[track_caller]
fn verified(problem: &Problem, plan: Plan) -> Verified {
    verify(problem, plan).unwrap_or_else(|rejected| {
        let breaches: Vec<String> = rejected.breaches.iter().map(|b| b.describe(problem)).collect();
        panic!("the plan is not legal:\n{}", breaches.join("\n"))
    })
}
