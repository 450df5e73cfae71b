//! What a plan is worth by each aim, and what is proven about that.

use std::collections::BTreeSet;

use crate::account::Account;
use crate::id::{IdVec, MilestoneId};
use crate::model::{Aim, Milestone, Problem, Stop};
use crate::plan::Plan;
use crate::report::{AimValue, Amount};
use crate::time::{Minutes, Moment};
use crate::verify::Verified;

/// What is proven about all plans like one.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Proven {
    /// Machines fall short by no less in any (missing units × slots × mode weight).
    pub machines_short: i64,
    /// None ends before this.
    pub finish: Moment,
    /// None meets a milestone before this.
    pub earliest: IdVec<MilestoneId, Moment>,
}

impl Proven {
    /// Nothing at all.
    #[must_use]
    pub fn nothing(problem: &Problem) -> Self {
        Self { machines_short: 0, finish: problem.start, earliest: IdVec::filled(problem.start, problem.milestones.len()) }
    }
}

/// The value of each aim in the problem's order, machinery and reserve one by one, each with a bound that holds
/// for every plan: nothing at all for what cannot be negative, `proven` for machines, dates and finish, one spell for every task
/// or part for spells and hand-overs.
#[must_use]
pub fn aim_values(problem: &Problem, verified: &Verified, proven: &Proven) -> Vec<AimValue> {
    let (plan, account) = (verified.plan(), verified.account());
    let mut rows = Vec::new();
    for aim in &problem.aims {
        let mut push = |value, bound| rows.push(AimValue { aim: *aim, value, bound: Some(bound) });
        let none = Amount::Time(0);
        match aim {
            Aim::Shortfall => {
                let (machines, reserve) = ("machinery slots", "reserve slots");
                push(Amount::Count(account.machinery_shortfall, machines), Amount::Count(proven.machines_short, machines));
                push(Amount::Count(account.reserve_shortfall, reserve), Amount::Count(0, reserve));
            }
            Aim::Lateness => {
                let [late, least] = [lateness(problem, |id| account.milestones[id].met_at), lateness(problem, |id| proven.earliest[id])];
                push(Amount::Time(late), Amount::Time(least));
            }
            Aim::NightAndOvertime => push(Amount::time(account.people.iter().map(|p| p.night + p.overtime).sum()), none),
            Aim::Told => push(Amount::time(account.told_changed), none),
            Aim::Finish => push(Amount::time(account.finish - problem.start), Amount::time(proven.finish - problem.start)),
            Aim::Fairness => {
                let unit = "squared overtime slots";
                push(Amount::Count(unfairness(problem, account), unit), Amount::Count(0, unit));
            }
            Aim::Steady => {
                let unit = "spells and changes of hand";
                push(Amount::Count(spells_and_changes(problem, plan), unit), Amount::Count(fewest_spells(problem), unit));
            }
        }
    }
    rows
}

/// Minutes late at the milestones if each is met at a moment, each as often as its weight says.
fn lateness(problem: &Problem, met_at: impl Fn(MilestoneId) -> Moment) -> i64 {
    let weighted = |(id, row): (MilestoneId, &Milestone)| {
        let late = (met_at(id) - row.due).max(Minutes::ZERO);
        i64::from(late.get()) * i64::from(row.weight)
    };
    problem.milestones.pairs().map(weighted).sum()
}

/// Sum of squares of each person's overtime in slots, begun slots counted whole: least when all have the same.
fn unfairness(problem: &Problem, account: &Account) -> i64 {
    account.people.iter().map(|p| i64::from(problem.grid.ceil_length(p.overtime).count())).map(|n| n * n).sum()
}

/// Spells, plus people who are in a spell of a task and were not in its spell before.
fn spells_and_changes(problem: &Problem, plan: &Plan) -> i64 {
    let mut sum = 0;
    for task in problem.tasks.ids() {
        let teams: Vec<BTreeSet<_>> = plan.spells.iter().filter(|s| s.task == task).map(|s| s.team.iter().copied().collect()).collect();
        sum += teams.len() + teams.windows(2).map(|w| w[1].difference(&w[0]).count()).sum::<usize>();
    }
    i64::try_from(sum).unwrap_or(i64::MAX)
}

/// Fewest spells any plan has.
fn fewest_spells(problem: &Problem) -> i64 {
    let least = |stop| match stop {
        Stop::Any { .. } | Stop::Never => 1,
        Stop::Parts(parts) => i64::from(parts),
    };
    problem.tasks.iter().map(|t| least(t.stop)).sum()
}
