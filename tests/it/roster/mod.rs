//! The watch roster: optimal on small crews by another way, legal by the verifier, in the usual watch systems.

mod brute;
mod systems;

use turnto::id::{IdVec, PersonId, TurnId};
use turnto::model::Problem;
use turnto::plan::Plan;
use turnto::roster::Roster;
use turnto::verify::verify;

use crate::support::job::idle_plan;

/// What the verifier has against a plan that does nothing but stand the watches of a roster without holes.
pub(crate) fn breaches(problem: &Problem, roster: &Roster) -> Vec<String> {
    let turns: IdVec<TurnId, PersonId> = roster.stands.iter().map(|p| p.expect("no holes")).collect();
    let plan = Plan { turns, ..idle_plan(problem) };
    match verify(problem, plan) {
        Ok(_) => Vec::new(),
        Err(rejected) => rejected.breaches.iter().map(|b| b.describe(problem)).collect(),
    }
}
