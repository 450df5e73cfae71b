//! Before which moment no plan can end the job, and why.

use crate::bound::{EarliestDate, ProvenBy};
use crate::id::TaskId;
use crate::labour::{Premises, Skipped, smallest_finish_unless};
use crate::model::Problem;
use crate::time::Moment;

/// Why the labour model said less than it might have.
#[derive(Clone, PartialEq, Debug)]
pub enum Cut {
    /// It was not asked to its end: then more may be proven.
    Short(Skipped),
    /// It finds no room for a task at all.
    NoRoom(TaskId),
}

/// When the whole job can be done at the earliest, as far as that is proven.
#[derive(Clone, PartialEq, Debug)]
pub struct EarliestFinish {
    /// No plan that keeps the premises ends before this, and what proves it.
    pub earliest: EarliestDate,
    /// Why that may not be the best there is.
    pub cut: Option<Cut>,
}

/// When the whole job could be done at the earliest by the labour model, if that proves more than `known` does; holds for
/// every plan that keeps `premises`. `met` is when some plan ends, or a moment behind which nothing is asked. Nothing more is
/// asked once `stop` says so.
pub fn finish_by_labour(
    problem: &Problem,
    premises: Premises,
    known: EarliestDate,
    met: Moment,
    stop: &mut dyn FnMut() -> bool,
) -> EarliestFinish {
    let nothing_more = |cut| EarliestFinish { earliest: known, cut };
    if met <= known.at {
        return nothing_more(None);
    }
    match smallest_finish_unless(problem, premises, Some(met), stop) {
        Ok(smallest) => {
            let cut = smallest.cut.map(Cut::Short);
            match smallest.at.filter(|at| *at > known.at) {
                Some(at) => EarliestFinish { earliest: EarliestDate { at, by: ProvenBy::labour(problem, premises) }, cut },
                None => nothing_more(cut),
            }
        }
        Err(task) => nothing_more(Some(Cut::NoRoom(task))),
    }
}
