//! Before which moment no plan can meet a milestone, and why.

use std::fmt;

use crate::bound::chain::{Impossible, windows};
use crate::calendar::{Fit, Hours, People};
use crate::id::{IdVec, MilestoneId};
use crate::labour::{Premises, Reserve, smallest_finish_from};
use crate::model::{Milestone, Problem};
use crate::time::{Minutes, Moment};
use crate::variant;

/// What proves that something cannot be done earlier.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ProvenBy {
    /// The longest chain of tasks and waits through the calendars.
    Chain,
    /// The labour model, for plans that keep the reserve or for all.
    Labour(Reserve),
}

impl ProvenBy {
    /// The labour model of plans that keep `premises`.
    #[must_use]
    pub fn labour(problem: &Problem, premises: Premises) -> Self {
        let asked = problem.modes.iter().filter_map(|mode| mode.reserve.as_ref()).any(|reserve| reserve.unbooked > Minutes::ZERO);
        // Where no hours are to stay unbooked every plan keeps them.
        Self::Labour(if asked { premises.reserve } else { Reserve::Open })
    }
}

impl fmt::Display for ProvenBy {
    /// In words.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Chain => "longest chain through calendars and waits",
            Self::Labour(Reserve::Kept) => "labour model, reserve kept",
            Self::Labour(Reserve::Open) => "labour model",
        })
    }
}

/// When a milestone can be met at the earliest, as far as that is proven.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct EarliestDate {
    /// No plan meets it before this moment.
    pub at: Moment,
    /// What proves it.
    pub by: ProvenBy,
}

/// The same for all milestones.
pub type EarliestDates = IdVec<MilestoneId, EarliestDate>;

/// When each milestone could be met at the earliest by the longest chain of tasks and waits through calendars. Holds for
/// every plan that keeps to `hours`.
///
/// # Errors
/// A task that does not fit at all, which proves that there is no legal plan.
pub fn earliest_by_chain(problem: &Problem, hours: Hours) -> Result<EarliestDates, Box<Impossible>> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, hours);
    let windows = windows(problem, &fit)?;
    let at = |milestone: &Milestone| {
        let ends = milestone.tasks.iter().map(|task| fit.moment(windows.of(*task).end));
        ends.fold(problem.start, Moment::max)
    };
    Ok(problem.milestones.iter().map(|m| EarliestDate { at: at(m), by: ProvenBy::Chain }).collect())
}

/// When one milestone could be met at the earliest by the labour model of what it waits for, if that proves more than
/// `known` does; holds for every plan that keeps `premises`. Whether it can be met by its date comes first: where that is
/// not refuted, nothing is. `met` is when some plan meets it: nothing is asked about that and what lies behind it. Nothing
/// more is asked once `stop` says so.
pub fn earliest_by_labour(
    problem: &Problem,
    milestone: MilestoneId,
    premises: Premises,
    known: EarliestDate,
    met: Option<Moment>,
    stop: &mut dyn FnMut() -> bool,
) -> EarliestDate {
    if met.is_some_and(|met| met <= known.at) {
        return known;
    }
    let Ok(up_to) = variant::up_to(problem, milestone) else { return known };
    let from = problem.milestones[milestone].due.max(known.at);
    match smallest_finish_from(&up_to, premises, from, met, stop) {
        Ok(smallest) if smallest.refuted.is_some() => {
            // Where every end is refuted no plan keeps the premises at all, and what one that does not would do is not said.
            let at = smallest.at.map_or(known.at, |at| at.max(known.at));
            if at > known.at { EarliestDate { at, by: ProvenBy::labour(problem, premises) } } else { known }
        }
        Ok(_) | Err(_) => known,
    }
}
