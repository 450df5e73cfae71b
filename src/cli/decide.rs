//! The plan to go by: what people were told where that is good, else the best that is found.

use crate::account::Account;
use crate::bound::chain;
use crate::calendar::Hours;
use crate::cli::papers::trusted;
use crate::cli::solve::{LATE, Outcome, solve};
use crate::cli::watch::Lookout;
use crate::id::MilestoneId;
use crate::model::{Aim, Problem};
use crate::report::{CutBy, aim_values};
use crate::time::Minutes;
use crate::verify::{Verified, verify};

/// What is left of the told plan, if it is still legal.
pub(super) fn told_stands(problem: &Problem) -> Option<Verified> {
    problem.told.clone().and_then(|told| verify(problem, told).ok())
}

/// What people were told where that is legal and nothing can be met better; else the best plan that is found, if it
/// is better than that.
///
/// # Errors
/// Why there is no plan, in words.
pub(super) fn decide(problem: &Problem, seed: u64, patience: u64, lookout: &Lookout<'_>) -> Result<(Verified, CutBy), String> {
    let told = told_stands(problem);
    if let Some(told) = told.as_ref().filter(|told| is_good(told.account())) {
        return Ok((told.clone(), CutBy::Nothing));
    }
    let (found, told) = match (solve(problem, seed, patience, lookout), told) {
        (Outcome::Found(found), told) => (*found, told),
        (Outcome::NoPlan(_), Some(told)) => return Ok((told, CutBy::Nothing)),
        (Outcome::NoPlan(words), None) => return Err(words),
    };
    let first = (better(problem, told, trusted(problem, found.plan)), found.cut_by);
    if !could_be_better(problem, first.0.account()) || lookout.cut().is_some() {
        return Ok(first);
    }
    // A date that is missed is worth more patience.
    lookout.tell(&format!("something is late or short: searching again, {LATE} times as patiently"));
    match solve(problem, seed, LATE * patience, lookout) {
        Outcome::Found(found) => Ok((better(problem, Some(first.0), trusted(problem, found.plan)), found.cut_by)),
        Outcome::NoPlan(_) => Ok(first),
    }
}

/// Whether something is late or short that is not proven to be so by the longest chain alone.
fn could_be_better(problem: &Problem, account: &Account) -> bool {
    if !account.shortfalls.is_empty() {
        return true;
    }
    let Ok(chain) = chain(problem, Hours::WithOvertime) else { return true };
    let ends_with =
        |milestone: MilestoneId| chain.links.last().is_some_and(|link| problem.milestones[milestone].tasks.contains(&link.task));
    let mut late = account.milestones.pairs().filter(|(_, m)| m.late > Minutes::ZERO);
    late.any(|(milestone, m)| m.met_at > chain.at || !ends_with(milestone))
}

/// Nothing late, nothing short: no milestone to improve.
pub(super) fn is_good(account: &Account) -> bool {
    account.shortfalls.is_empty() && in_time(account)
}

/// Nothing late.
pub(super) fn in_time(account: &Account) -> bool {
    account.milestones.iter().all(|m| m.late <= Minutes::ZERO)
}

/// The new plan where it is better: by shortfalls and dates alone where people were told a plan, for no other gain is worth
/// an upset; by all aims where they were not.
fn better(problem: &Problem, old: Option<Verified>, new: Verified) -> Verified {
    let Some(old) = old else { return new };
    let counts = |aim: Aim| problem.told.is_none() || matches!(aim, Aim::Shortfall | Aim::Lateness);
    let worth = |plan: &Verified| -> Vec<i64> {
        let values = aim_values(problem, plan, problem.start).into_iter().filter(|row| counts(row.aim));
        values.map(|row| row.value.number()).collect()
    };
    if worth(&new) < worth(&old) { new } else { old }
}

#[cfg(test)]
mod tests;
