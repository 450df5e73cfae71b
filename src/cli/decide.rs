//! The plan to go by: what people were told where that is good, else the best that is found.

use crate::account::Account;
use crate::bound::chain;
use crate::calendar::Hours;
use crate::cli::papers::trusted;
use crate::cli::solve::{LATE, Outcome, solve};
use crate::cli::watch::Lookout;
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
    match told_stands(problem) {
        Some(told) if is_good(told.account()) => Ok((told, CutBy::Nothing)),
        Some(told) => Ok(search(problem, Some(&told), seed, patience, lookout).unwrap_or((told, CutBy::Nothing))),
        None => search(problem, None, seed, patience, lookout),
    }
}

/// The best plan that is found, if it is better than `told`; searched for again, and more patiently, where something is
/// late or short in it.
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
    let found = |patience| match solve(problem, seed, patience, lookout) {
        Outcome::Found(found) => Ok((trusted(problem, found.plan), found.cut_by)),
        Outcome::NoPlan(words) => Err(words),
    };
    let (mut best, mut cut_by) = found(patience)?;
    if let Some(told) = told {
        best = better(problem, told.clone(), best);
    }
    if could_be_better(problem, best.account()) && lookout.cut().is_none() {
        let finish = problem.clock.day_time(best.account().finish);
        lookout.tell(&format!("finish {finish}, something late or short: kept, and searching again, {LATE} times as patiently"));
        if let Ok((more, cut)) = found(LATE * patience) {
            best = better(problem, best, more);
            cut_by = cut;
        }
    }
    Ok((best, cut_by))
}

/// Whether something is short, or late that is not proven to be so by the longest chain alone.
fn could_be_better(problem: &Problem, account: &Account) -> bool {
    !account.shortfalls.is_empty() || (!in_time(account) && !late_by_chain(problem, account))
}

/// Whether every milestone that is late ends with the longest chain, and as early as that can.
fn late_by_chain(problem: &Problem, account: &Account) -> bool {
    let Ok(chain) = chain(problem, Hours::WithOvertime) else { return false };
    let Some(last) = chain.links.last() else { return false };
    let mut late = account.milestones.pairs().filter(|(_, m)| m.late > Minutes::ZERO);
    late.all(|(id, m)| m.met_at <= chain.at && problem.milestones[id].tasks.contains(&last.task))
}

/// Nothing late, nothing short: no milestone to improve.
pub(super) fn is_good(account: &Account) -> bool {
    account.shortfalls.is_empty() && in_time(account)
}

/// Nothing late.
pub(super) fn in_time(account: &Account) -> bool {
    account.milestones.iter().all(|m| m.late <= Minutes::ZERO)
}

/// The new plan where it is better, else the old one: by shortfalls and dates alone where people were told a plan, for no other gain is worth
/// an upset; by all aims where they were not.
fn better(problem: &Problem, old: Verified, new: Verified) -> Verified {
    let counts = |aim: Aim| problem.told.is_none() || matches!(aim, Aim::Shortfall | Aim::Lateness);
    let worth = |plan: &Verified| -> Vec<i64> {
        let values = aim_values(problem, plan, problem.start).into_iter().filter(|row| counts(row.aim));
        values.map(|row| row.value.number()).collect()
    };
    if worth(&new) < worth(&old) { new } else { old }
}

#[cfg(test)]
mod tests;
