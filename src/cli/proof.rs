//! What is proven about a plan's finish and dates, and the labour model to compare the plan with.

use crate::bound::premises::{like, with_overtime};
use crate::bound::{
    Cut, EarliestDate, EarliestDates, EarliestFinish, Link, ProvenBy, chain, earliest_by_chain, earliest_by_labour, finish_by_labour,
    machines_short,
};
use crate::calendar::Hours;
use crate::id::{MilestoneId, TaskId};
use crate::labour::{self, Premises};
use crate::model::Problem;
use crate::report::{ChainLink, ModelHour, ModelHours, Proven};
use crate::time::{Minutes, Moment};
use crate::variant::waits_for_all;
use crate::verify::Verified;

/// How far to go for a proof.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Depth {
    /// Only what takes no time: the longest chain.
    Chain,
    /// The labour model as well, where the chain leaves a gap.
    Model,
}

/// What is proven about the finish of a plan.
pub(super) struct Proof {
    /// No plan that works as much overtime, and keeps as much of the reserve, ends before this.
    pub(super) bound: Moment,
    /// No plan ends before this that keeps as much of the reserve, whatever its overtime.
    pub(super) bound_with_overtime: Moment,
    /// What proves the bound.
    pub(super) by: ProvenBy,
    /// No plan that keeps as much of the reserve meets a milestone before this.
    pub(super) earliest: EarliestDates,
    /// What machines fall short by in every plan.
    pub(super) machines_short: i64,
    /// The longest chain of tasks and waits.
    pub(super) chain: Vec<ChainLink>,
    /// What should be read beside it, one sentence each.
    pub(super) notes: Vec<String>,
}

impl Proof {
    /// What is proven about the finish of a verified plan: by the longest chain through calendars and waits, and where
    /// that leaves a gap and there is time, by the labour model, until `stop` says that it is enough.
    pub(super) fn of(problem: &Problem, verified: &Verified, depth: Depth, stop: &mut dyn FnMut() -> bool) -> Self {
        let kept = like(verified.account());
        let mut proof = Self::within(problem, kept, verified.account().finish, depth, stop);
        // A bound for plans with overtime holds for all of them. One for plans without says nothing of the others.
        if kept.hours == Hours::Ordinary {
            let other = Self::within(problem, with_overtime(kept), proof.bound, depth, stop);
            proof.bound_with_overtime = other.bound;
            let notes = other.notes.into_iter().filter(|note| !proof.notes.contains(note)).collect::<Vec<_>>();
            proof.notes.extend(notes);
        }
        let whole = EarliestDate { at: proof.bound_with_overtime, by: ProvenBy::labour(problem, kept) };
        proof.machines_short = machines_short(problem);
        proof.earliest = earliest(problem, verified, whole, depth, stop);
        proof
    }

    /// What it says of machines, dates and finish.
    pub(super) fn proven(&self) -> Proven {
        let earliest = self.earliest.iter().map(|date| date.at).collect();
        Proven { machines_short: self.machines_short, earliest, finish: self.bound }
    }

    /// The same for all plans that keep `premises`; `finish` is one that is known to be possible, or one behind which
    /// nothing is asked.
    fn within(problem: &Problem, premises: Premises, finish: Moment, depth: Depth, stop: &mut dyn FnMut() -> bool) -> Self {
        // There is a plan, so there is a chain.
        let (at, chain) = chain(problem, premises.hours).map_or((problem.start, Vec::new()), |chain| (chain.at, chain.links));
        let by_chain = EarliestDate { at, by: ProvenBy::Chain };
        let (EarliestDate { at, by }, cut) = match depth {
            Depth::Chain => (by_chain, None),
            Depth::Model => {
                let EarliestFinish { earliest, cut } = finish_by_labour(problem, premises, by_chain, finish, stop);
                (earliest, cut)
            }
        };
        let said = |cut| match cut {
            Cut::Short(why) => format!("The bound could be better than it is: {why}."),
            Cut::NoRoom(task) => format!("The labour model finds no room for task {}.", problem.tasks[task].code),
        };
        let notes = cut.map(said).into_iter().collect();
        let chain = links(problem, &chain);
        Self { bound: at, bound_with_overtime: at, by, earliest: EarliestDates::new(), machines_short: 0, chain, notes }
    }
}

/// When each milestone can be met at the earliest by plans that keep as much of the reserve: by the longest chain, and
/// where one is late and there is time, by the labour model. `whole` is when the whole job can be done at the earliest.
fn earliest(problem: &Problem, verified: &Verified, whole: EarliestDate, depth: Depth, stop: &mut dyn FnMut() -> bool) -> EarliestDates {
    let premises = with_overtime(like(verified.account()));
    // There is a plan, so there is a chain.
    let by_chain = earliest_by_chain(problem, premises.hours).unwrap_or_default();
    let date = |(id, by_chain): (MilestoneId, &EarliestDate)| {
        let row = verified.account().milestones[id];
        if row.late.is_zero() || depth == Depth::Chain {
            *by_chain
        } else if waits_for_all(problem, id) {
            if whole.at > by_chain.at { whole } else { *by_chain }
        } else {
            earliest_by_labour(problem, id, premises, *by_chain, Some(row.met_at), stop)
        }
    };
    by_chain.pairs().map(date).collect()
}

/// A proven chain in the form the report shows.
fn links(problem: &Problem, links: &[Link]) -> Vec<ChainLink> {
    let wait = |before: Option<TaskId>, task: TaskId| {
        problem.tasks[task].after.iter().find(|after| Some(after.task) == before).map_or(Minutes::ZERO, |after| after.lag)
    };
    let before = std::iter::once(None).chain(links.iter().map(|link| Some(link.task)));
    links
        .iter()
        .zip(before)
        .map(|(link, before)| ChainLink { task: link.task, wait: wait(before, link.task), why: String::new() })
        .collect()
}

/// Hours by competence and day as the labour model has them for the plan's own finish and overtime.
pub(super) fn model_hours(problem: &Problem, verified: &Verified, depth: Depth) -> ModelHours {
    if depth == Depth::Chain {
        return ModelHours::Skipped("the run was cut short before the labour model".to_owned());
    }
    match labour::solve(problem, like(verified.account()), verified.account().finish) {
        Ok(plan) => {
            let row = |((competence, day), labour)| ModelHour { competence, day, labour };
            ModelHours::Given(plan.competences.into_iter().map(row).collect())
        }
        Err(why) => ModelHours::Skipped(why.to_string()),
    }
}
