//! The smallest finish that the labour model cannot refute.

use super::Skipped;
use super::answer::LabourPlan;
use super::build::{Built, may_exceed, solved};
use super::ground::{Ground, Premises};
use crate::calendar::{Fit, People, Windows};
use crate::id::TaskId;
use crate::model::Problem;
use crate::time::Moment;

/// Most models that are solved for one answer: enough for a search by doubling and halving over all ends of
/// a job of years.
const MOST_MODELS: usize = 24;

/// What the labour model says about how early the job can end.
#[derive(Clone, PartialEq, Debug)]
pub struct Smallest {
    /// No legal plan that keeps the premises ends before this moment: the first end that was not refuted.
    /// `None` where every end up to the latest was: then no legal plan keeps the premises at all.
    pub at: Option<Moment>,
    /// The last end that was refuted, if any was.
    pub refuted: Option<Moment>,
    /// How many models were solved.
    pub models: usize,
    /// Who works when if the job is to end at `at`: what the last model that was not refuted says. `None` where
    /// no model was solved for it.
    pub plan: Option<LabourPlan>,
    /// Why the search stopped before it came to an end that the model has room for; `None` where it did not.
    pub cut: Option<Skipped>,
}

/// The smallest finish whose labour model leaves no work unplaced, as far as that is certified in whole
/// numbers: every end before it is impossible for a legal plan that keeps `premises`. Only the moments at
/// which one of the last tasks can end are asked about; a larger finish only loosens the model, so the search
/// doubles its steps and then halves them. `known` is a finish that is known to be possible: nothing is asked
/// about it and what lies behind it.
///
/// # Errors
/// A task that does not fit before the latest end at all: then there is no legal plan.
pub fn smallest_finish(problem: &Problem, premises: Premises, known: Option<Moment>) -> Result<Smallest, TaskId> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, premises.hours);
    let windows = Windows::forward(problem, &fit).map_err(|stuck| stuck.task)?;
    let range = people.range();
    let ends = ends(problem, &fit, &windows, known.map_or(range.len() + 1, |m| range.from(m)));
    let mut search = Search { problem, fit: &fit, windows: &windows, premises, models: 0, plan: None, cut: None };
    // Ends before `low` are refuted; that at `high`, if there is one, is not.
    let (mut low, mut high) = (0, ends.len());
    // A finish that is known is often the best there is: then the last end before it is all there is to ask.
    let mut asked = if known.is_some() { ends.len().saturating_sub(1) } else { 0 };
    while low < high {
        if search.refutes(ends[asked]) {
            low = asked + 1;
        } else {
            high = asked;
        }
        let doubled = 2 * asked + 1;
        asked = if high == ends.len() { doubled.min(high.saturating_sub(1)) } else { low.midpoint(high) };
    }
    let at = ends.get(high).map(|end| range.moment(*end)).or(known);
    let refuted = low.checked_sub(1).map(|i| range.moment(ends[i]));
    let plan = search.plan.filter(|plan| Some(plan.finish) == at);
    Ok(Smallest { at, refuted, models: search.models, plan, cut: search.cut })
}

/// The slot boundaries before `limit` at which the job can end: at which one of the tasks nothing comes
/// after can end, no earlier than the longest chain.
fn ends(problem: &Problem, fit: &Fit<'_>, windows: &Windows, limit: usize) -> Vec<usize> {
    let lasts: Vec<TaskId> = problem.tasks.ids().filter(|t| problem.successors(*t).is_empty()).collect();
    let possible = |end: usize| lasts.iter().any(|t| fit.latest(*t, end).is_some_and(|(_, last)| last == end));
    (windows.finish()..limit).filter(|end| possible(*end)).collect()
}

struct Search<'a> {
    problem: &'a Problem,
    fit: &'a Fit<'a>,
    windows: &'a Windows,
    premises: Premises,
    models: usize,
    plan: Option<LabourPlan>,
    cut: Option<Skipped>,
}

impl Search<'_> {
    /// Whether it is proven that no plan ends by slot boundary `finish`.
    ///
    /// A legal plan leaves nothing unplaced, so its point costs no more than all work as late as can be. Where
    /// the least cost of the model is certified to be more than that, there is no such plan.
    fn refutes(&mut self, finish: usize) -> bool {
        let Ok(ground) = Ground::new(self.problem, self.fit, self.windows, self.premises, finish) else {
            return true;
        };
        if self.models == MOST_MODELS || self.cut.is_some() {
            return false;
        }
        match self.proves(&ground, finish) {
            Ok(proof) => proof,
            Err(skipped) => {
                self.cut = Some(skipped);
                false
            }
        }
    }

    fn proves(&mut self, ground: &Ground<'_>, finish: usize) -> Result<bool, Skipped> {
        let built = Built::new(ground);
        let solution = solved(&built)?;
        self.models += 1;
        let most = built.columns.latest;
        if may_exceed(&solution, most) {
            let prices = built.model.prices()?;
            if built.model.certify(&prices).is_some_and(|proof| proof.above(most)) {
                return Ok(true);
            }
        }
        let end = self.fit.people().range().moment(finish);
        self.plan = Some(LabourPlan::new(ground, &built, &solution, end));
        Ok(false)
    }
}
