//! How early milestones can be met and how little machines can fall short, as far as it is proven while a plan is looked for.

use crate::account::{Account, MilestoneAccount};
use crate::bound::premises::LOOKED_FOR;
use crate::bound::{EarliestDate, EarliestDates, ProvenBy, earliest_by_chain, earliest_by_labour, machines_short};
use crate::id::{IdVec, MilestoneId};
use crate::model::Problem;
use crate::time::{Minutes, Moment};
use crate::variant::waits_for_all;

/// What plans can come to at best.
#[derive(Clone, Debug)]
pub(super) struct Possible {
    /// Before which moment no plan that keeps the reserve meets each milestone.
    earliest: EarliestDates,
    /// What machines fall short by in every plan.
    pub(super) machines_short: i64,
    /// Whether nothing can be mended of what the reserve falls short by.
    reserve_settled: bool,
    /// Whether the labour model was asked.
    asked: bool,
    /// Up to when plans may go on for the sake of a date or of machines, where that is past the planned end.
    pub(super) end: Option<Moment>,
}

impl Possible {
    /// By the longest chains, which takes no time.
    pub(super) fn by_chain(problem: &Problem) -> Self {
        // Where some task does not fit at all there will be no plan to be late.
        let nothing = || EarliestDates::filled(EarliestDate { at: problem.start, by: ProvenBy::Chain }, problem.milestones.len());
        let earliest = earliest_by_chain(problem, LOOKED_FOR.hours).unwrap_or_else(|_| nothing());
        Self { earliest, machines_short: machines_short(problem), reserve_settled: false, asked: false, end: None }
    }

    /// By the labour model too, for every milestone that is met too late at `met_at`; whether that was not known before.
    /// Asked once.
    pub(super) fn prove(&mut self, problem: &Problem, met_at: &IdVec<MilestoneId, Moment>, stop: &mut dyn FnMut() -> bool) -> bool {
        if std::mem::replace(&mut self.asked, true) {
            return false;
        }
        for ((milestone, row), earliest) in problem.milestones.pairs().zip(self.earliest.iter_mut()) {
            if met_at[milestone] > row.due {
                *earliest = earliest_by_labour(problem, milestone, LOOKED_FOR, *earliest, None, stop);
            }
        }
        true
    }

    /// Those moments alone.
    pub(super) fn moments(&self) -> IdVec<MilestoneId, Moment> {
        self.earliest.iter().map(|earliest| earliest.at).collect()
    }

    /// The milestones that are late in a plan that keeps the reserve, and could be met earlier for all that is proven.
    pub(super) fn open(&self, account: &Account) -> Vec<MilestoneId> {
        let open = |(id, row): &(MilestoneId, &MilestoneAccount)| row.late > Minutes::ZERO && row.met_at > self.earliest[*id].at;
        account.milestones.pairs().filter(open).map(|(id, _)| id).collect()
    }

    /// Whether a plan falls short by more than every plan does, for all that is proven.
    pub(super) const fn is_short(&self, account: &Account) -> bool {
        account.machinery_shortfall > self.machines_short || (account.reserve_shortfall > 0 && !self.reserve_settled)
    }

    /// Whether a plan `keeps` the reserve as well as it is kept with no task: where watches and duties leave no choice either, no
    /// plan keeps it better.
    pub(super) fn settle_reserve(&mut self, problem: &Problem, keeps: bool) {
        let open = problem.turns.iter().any(|turn| turn.stand.is_open()) || problem.duties.iter().any(|duty| duty.when.is_open());
        self.reserve_settled = keeps && !open;
    }

    /// Lets plans go on for as much longer as one of `late` is late that does not wait for all tasks, if there is one: no search
    /// looks for plans longer than planned where all tasks fit, but a date is worth more than the planned end. So are machines
    /// that are able: where they are short, what takes one out may wait for as long as there is.
    pub(super) fn give_room(&mut self, problem: &Problem, account: &Account, late: &[MilestoneId]) {
        if account.machinery_shortfall > self.machines_short {
            self.end = Some(problem.latest_end);
            return;
        }
        let by = late.iter().filter(|id| !waits_for_all(problem, **id)).map(|id| account.milestones[*id].late).max();
        self.end = by.map(|by| problem.end_for(problem.end + by));
    }
}
