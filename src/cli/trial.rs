//! Plans a changed job to see what comes of it: shorter than for good, verified all the same, nothing written.

use crate::cli::decide::search;
use crate::cli::watch::Lookout;
use crate::model::Problem;
use crate::out::JobFigures;
use crate::time::Minutes;
use crate::verify::Verified;

/// How trials are planned.
pub(super) struct Trial<'a> {
    /// Seed of the random choices.
    pub(super) seed: u64,
    /// Generations without gain after which a search ends.
    pub(super) patience: u64,
    /// Tells of progress, and when to stop.
    pub(super) lookout: &'a Lookout<'a>,
}

/// What a plan of `problem` comes to; in words why there is none.
pub(super) fn planned(problem: &Problem, trial: &Trial<'_>) -> Result<JobFigures, String> {
    if trial.lookout.cut().is_some() {
        return Err("not planned, since the run was stopped".to_owned());
    }
    // A date missed for want of patience would pass for a difference between what is compared, so that is searched for again.
    let (verified, _) = search(problem, None, trial.seed, trial.patience, &trial.lookout.silent())?;
    Ok(figures(&verified))
}

/// What a verified plan comes to.
pub(super) fn figures(verified: &Verified) -> JobFigures {
    let account = verified.account();
    JobFigures {
        finish: account.finish,
        overtime: account.people.iter().map(|p| p.overtime).sum(),
        night: account.people.iter().map(|p| p.night).sum(),
        late: account.milestones.iter().map(|m| m.late).fold(Minutes::ZERO, |sum, late| sum + late),
        machinery: account.machinery_shortfall,
        reserve: account.reserve_shortfall,
    }
}
