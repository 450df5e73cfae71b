//! Before which moment no plan can meet a milestone, and why.

use crate::bound::chain::{Impossible, windows};
use crate::calendar::{Fit, Hours, People};
use crate::id::{IdVec, MilestoneId};
use crate::labour::{Premises, smallest_finish_from};
use crate::model::Problem;
use crate::time::Moment;
use crate::variant;

/// What proves that a milestone cannot be met earlier.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Because {
    /// The longest chain of tasks and waits through the calendars, up to the milestone.
    Chain,
    /// The labour model of what the milestone waits for.
    Labour,
}

/// When a milestone could be met at the earliest.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Earliest {
    /// No plan meets it before this moment.
    pub at: Moment,
    /// What proves it.
    pub because: Because,
}

/// The earliest moments of all milestones, as far as they are proven.
pub type Earliests = IdVec<MilestoneId, Earliest>;

/// When each milestone could be met at the earliest by the longest chain of tasks and waits through calendars. Holds for
/// every plan that keeps to `hours`.
///
/// # Errors
/// A task that does not fit at all, which proves that there is no legal plan.
pub fn earliest_by_chain(problem: &Problem, hours: Hours) -> Result<Earliests, Box<Impossible>> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, hours);
    let windows = windows(problem, &fit)?;
    let at = |milestone: &crate::model::Milestone| {
        let ends = milestone.tasks.iter().map(|task| fit.moment(windows.of(*task).end));
        ends.fold(problem.start, Moment::max)
    };
    Ok(problem.milestones.iter().map(|m| Earliest { at: at(m), because: Because::Chain }).collect())
}

/// When one milestone could be met at the earliest by the labour model of what it waits for, if that proves more than
/// `known` does; holds for every plan that keeps `premises`. Whether it can be met by its date comes first: where that is
/// not refuted, nothing is. `met` is when some plan meets it: nothing is asked about that and what lies behind it. Nothing
/// more is asked once `stop` says so.
pub fn earliest_by_labour(
    problem: &Problem,
    milestone: MilestoneId,
    premises: Premises,
    known: Earliest,
    met: Option<Moment>,
    stop: &mut dyn FnMut() -> bool,
) -> Earliest {
    if met.is_some_and(|met| met <= known.at) {
        return known;
    }
    let Ok(up_to) = variant::up_to(problem, milestone) else { return known };
    let from = problem.milestones[milestone].due.max(known.at);
    match smallest_finish_from(&up_to, premises, from, met, stop) {
        Ok(smallest) if smallest.refuted.is_some() => {
            // Where every end is refuted no plan keeps the premises at all, and what one that does not would do is not said.
            let at = smallest.at.map_or(known.at, |at| at.max(known.at));
            if at > known.at { Earliest { at, because: Because::Labour } } else { known }
        }
        Ok(_) | Err(_) => known,
    }
}
