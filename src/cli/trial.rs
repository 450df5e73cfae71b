//! Plans a changed job to see what comes of it: shorter than for good, verified all the same, nothing written.

use crate::cli::solve::{Outcome, SHORT, solve_for};
use crate::cli::watch::Lookout;
use crate::model::Problem;
use crate::out::JobFigures;
use crate::time::Minutes;
use crate::verify::verify;

/// How trials are planned.
pub(super) struct Trial<'a> {
    /// Seed of the random choices.
    pub(super) seed: u64,
    /// Tells of progress, and when to stop.
    pub(super) lookout: &'a Lookout<'a>,
}

/// What a plan of `problem` comes to; in words why there is none.
pub(super) fn planned(problem: &Problem, trial: &Trial<'_>) -> Result<JobFigures, String> {
    if trial.lookout.cut().is_some() {
        return Err("not planned, since the run was stopped".to_owned());
    }
    let found = match solve_for(problem, trial.seed, SHORT, &trial.lookout.silent()) {
        Outcome::NoPlan(words) => return Err(words),
        Outcome::Found(found) => found,
    };
    // A plan that breaks a rule is a fault here, and no figure of it may be shown.
    let verified = verify(problem, found.plan).unwrap_or_else(|rejected| {
        let breaches: Vec<String> = rejected.breaches.iter().map(|breach| breach.describe(problem)).collect();
        panic!("the planner's plan was rejected by the verifier:\n{}", breaches.join("\n"))
    });
    let account = verified.account();
    Ok(JobFigures {
        finish: account.finish,
        overtime: account.people.iter().map(|p| p.overtime).sum(),
        night: account.people.iter().map(|p| p.night).sum(),
        late: account.milestones.iter().map(|m| m.late).fold(Minutes::ZERO, |sum, late| sum + late),
        machinery: account.machinery_shortfall,
        reserve: account.reserve_shortfall,
    })
}
