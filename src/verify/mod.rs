//! The verifier: whether a plan breaks a hard rule, and what it comes to if not.
//!
//! Written from the rules, naive, one rule one file, sharing no code with what makes plans. Rules 1 to 8
//! are breaches; rules 9 and 10 (reserve and machinery) are shortfalls in the account. Any plan may be given,
//! also one read back from a file: nonsense is named, it never panics.

mod asked;
mod bans;
mod breach;
mod callable;
mod caps;
mod describe;
mod doing;
mod duties;
mod facts;
mod hand;
mod hours;
mod hull;
mod machinery;
mod occupied;
mod order;
mod pauses;
mod persons;
mod pinned;
mod posts;
mod reserve;
mod rest;
mod shape;
mod short;
mod spans;
mod stops;
mod teams;
mod told;
mod tools;
mod totals;
mod unbooked;
mod under_way;
mod unmanned;

pub use asked::{Asked, Bar, Bound};
pub use breach::{Amount, Breach, Clause, Numbers, Thing};

use crate::account::Account;
use crate::model::Problem;
use crate::plan::Plan;
use crate::verify::facts::Facts;

/// A plan that breaks no hard rule, with its account. Comes from [`verify`] and nowhere else.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Verified {
    plan: Plan,
    account: Account,
}

impl Verified {
    /// The plan.
    #[must_use]
    pub const fn plan(&self) -> &Plan {
        &self.plan
    }

    /// What it comes to.
    #[must_use]
    pub const fn account(&self) -> &Account {
        &self.account
    }

    /// The plan back, no longer known to be verified.
    #[must_use]
    pub fn into_plan(self) -> Plan {
        self.plan
    }
}

/// A plan that breaks hard rules.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Rejected {
    /// The plan as it was given.
    pub plan: Plan,
    /// Every breach, sorted by rule, then clause, person and thing; never empty, no repeats.
    pub breaches: Vec<Breach>,
}

/// Checks `plan` against every hard rule of `problem` and accounts for it.
///
/// # Errors
/// The plan with all its breaches. If the plan cannot be read as an answer to this problem at all (rows that
/// refer to nothing, spells without work, times more than a year outside the job), only that is named.
pub fn verify(problem: &Problem, plan: Plan) -> Result<Verified, Rejected> {
    match judge(problem, &plan) {
        Ok(account) => Ok(Verified { plan, account }),
        Err(mut breaches) => {
            breaches.sort_unstable();
            breaches.dedup();
            Err(Rejected { plan, breaches })
        }
    }
}

fn judge(problem: &Problem, plan: &Plan) -> Result<Account, Vec<Breach>> {
    let unreadable = shape::check(problem, plan);
    if !unreadable.is_empty() {
        return Err(unreadable);
    }
    let facts = Facts::new(problem, plan);
    let rules = [
        occupied::check,
        posts::check,
        rest::check,
        teams::check,
        stops::check,
        under_way::check,
        pauses::check,
        hours::check,
        order::check,
        unmanned::check,
        duties::check,
        tools::check,
        bans::check,
        persons::check,
        pinned::check,
        caps::check,
        hand::check,
    ];
    let breaches: Vec<Breach> = rules.iter().flat_map(|rule| rule(&facts)).collect();
    if breaches.is_empty() { Ok(totals::account(&facts)) } else { Err(breaches) }
}
