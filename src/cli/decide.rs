//! The plan to go by: what people were told where that is good, else the best that is found.

use crate::account::Account;
use crate::cli::papers::trusted;
use crate::cli::possible::Possible;
use crate::cli::solve::{LATE, Outcome, Reserve, solve};
use crate::cli::watch::Lookout;
use crate::model::{Aim, Problem};
use crate::report::{CutBy, Proven, aim_values};
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
    let Some(told) = told_stands(problem) else { return search(problem, None, seed, patience, lookout) };
    Ok(search(problem, Some(&told), seed, patience, lookout).unwrap_or((told, CutBy::Nothing)))
}

/// The best plan that is found, if it is better than `told`; searched for again, and more patiently, where something is
/// short in it, or late, and not proven to be so. Nothing is searched for where that is so of `told`.
///
/// # Errors
/// Why none was found, in words.
pub(super) fn search(
    problem: &Problem,
    told: Option<&Verified>,
    seed: u64,
    patience: u64,
    lookout: &Lookout<'_>,
) -> Result<(Verified, CutBy), String> {
    let mut possible = Possible::by_chain(problem);
    if let Some(told) = told.filter(|told| !possible.is_short(told.account())) {
        let met_at = told.account().milestones.iter().map(|row| row.met_at).collect();
        possible.prove(problem, &met_at, &mut || lookout.cut().is_some());
        if possible.open(told.account()).is_empty() {
            return Ok((told.clone(), CutBy::Nothing));
        }
    }
    let found = |reserve, patience, possible: &mut Possible| match solve(problem, reserve, seed, patience, possible, lookout) {
        Outcome::Found(found) => Ok((trusted(problem, found.plan), found.cut_by, found.keeps_reserve)),
        Outcome::NoPlan(words) => Err(words),
    };
    let (mut best, mut cut_by, keeps_reserve) = found(Reserve::Kept, patience, &mut possible)?;
    possible.settle_reserve(problem, keeps_reserve);
    if let Some(told) = told {
        best = better(problem, told.clone(), best);
    }
    // Machines come before the reserve: where they are short, a plan that need not keep it may have them back sooner.
    let mut reserve = Reserve::Kept;
    let short = best.account().machinery_shortfall;
    if short > possible.machines_short
        && keeps_reserve
        && lookout.cut().is_none()
        && let Ok((open, cut, _)) = found(Reserve::Open, patience, &mut possible.clone())
    {
        best = better(problem, best, open);
        cut_by = cut;
        if best.account().machinery_shortfall < short {
            reserve = Reserve::Open;
            possible.settle_reserve(problem, false);
        }
    }
    let (account, open) = (best.account(), possible.open(best.account()));
    if (possible.is_short(account) || !open.is_empty()) && lookout.cut().is_none() {
        let finish = problem.clock.day_time(account.finish);
        lookout.tell(&format!("finish {finish}, late or short: once more, {LATE} times as patiently"));
        possible.give_room(problem, account, &open);
        if let Ok((more, cut, _)) = found(reserve, LATE * patience, &mut possible) {
            best = better(problem, best, more);
            cut_by = cut;
        }
    }
    Ok((best, cut_by))
}

/// Nothing late, and nothing short that could be less: nothing to improve that is worth an upset.
pub(super) fn is_good(problem: &Problem, account: &Account) -> bool {
    in_time(account) && !Possible::by_chain(problem).is_short(account)
}

/// Nothing late.
pub(super) fn in_time(account: &Account) -> bool {
    account.milestones.iter().all(|m| m.late <= Minutes::ZERO)
}

/// The new plan where it is better, else the old one: by shortfalls and dates alone where people were told a plan, for no
/// other gain is worth an upset; by all aims where they were not.
fn better(problem: &Problem, old: Verified, new: Verified) -> Verified {
    let counts = |aim: Aim| problem.told.is_none() || matches!(aim, Aim::Shortfall | Aim::Lateness);
    let worth = |plan: &Verified| -> Vec<i64> {
        let values = aim_values(problem, plan, &Proven::nothing(problem)).into_iter().filter(|row| counts(row.aim));
        values.map(|row| row.value.number()).collect()
    };
    if worth(&new) < worth(&old) { new } else { old }
}

#[cfg(test)]
mod tests;
