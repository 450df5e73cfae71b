//! The smallest finish that the labour model cannot refute.

use super::Skipped;
use super::answer::LabourPlan;
use super::build::{Built, may_exceed, solved};
use super::ground::{Ground, Premises};
use super::periods::Grain;
use crate::calendar::{Deadlines, Fit, People, Windows};
use crate::id::TaskId;
use crate::lp::Failure;
use crate::model::Problem;
use crate::time::Moment;

/// Most work for one answer: the sum over all models of their columns and rows, squared, in thousands. That is
/// about how the time of a model grows; models of short periods take longer than others of their size.
const fn most_effort(grain: Grain) -> usize {
    match grain {
        Grain::Coarse => 100_000,
        Grain::Fine => 60_000,
    }
}

/// How many open ends are few enough to ask about the last of them first.
const NEAR: usize = 24;

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
    smallest_finish_unless(problem, premises, known, &mut || false)
}

/// The same, but nothing more is asked once `stop` says so; it is asked before every model. What was refuted by then
/// holds.
///
/// # Errors
/// A task that does not fit before the latest end at all: then there is no legal plan.
pub fn smallest_finish_unless(
    problem: &Problem,
    premises: Premises,
    known: Option<Moment>,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Smallest, TaskId> {
    smallest_finish_from(problem, premises, problem.start, known, stop)
}

/// The same where a finish at `from` would do: of the ends up to then only the last is asked about, and if that is not
/// refuted it is what is given back, whatever could be refuted before it.
///
/// # Errors
/// A task that does not fit before the latest end at all: then there is no legal plan.
pub fn smallest_finish_from(
    problem: &Problem,
    premises: Premises,
    from: Moment,
    known: Option<Moment>,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Smallest, TaskId> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, premises.hours);
    let windows = Windows::forward(problem, &fit).map_err(|stuck| stuck.task)?;
    let range = people.range();
    let mut ends = ends(problem, &fit, &windows, known.map_or(range.len() + 1, |m| range.from(m)));
    ends.drain(..ends.partition_point(|end| range.moment(*end) <= from).saturating_sub(1));
    let mut search = Search { problem, fit: &fit, windows: &windows, premises, models: 0, effort: 0, plan: None, cut: None, stop };
    // Long periods first: they settle most ends for little. What they leave, short periods may still refute.
    // A finish that is known to be possible, and lies near, is often the best there is: then the last end before it
    // is all there is to ask. Far ends make large models.
    let near = known.filter(|_| ends.len() <= NEAR).map(|_| ends.len());
    let mut low = 0;
    for (grain, first) in [(Grain::Coarse, near), (Grain::Fine, near)] {
        search.effort = 0;
        low = narrow(low, ends.len(), first, |i| search.refutes(ends[i], grain));
    }
    let high = low;
    let at = ends.get(high).map(|end| range.moment(*end)).or(known);
    let refuted = low.checked_sub(1).map(|i| range.moment(ends[i]));
    let plan = search.plan.filter(|plan| Some(plan.finish) == at);
    Ok(Smallest { at, refuted, models: search.models, plan, cut: search.cut })
}

/// The first of `low..len` that is not refuted, or `len`; all before `low` are. Asks about the one before `first`
/// first, if that is given; else goes up in steps that double. Then halves what is open.
fn narrow(mut low: usize, len: usize, first: Option<usize>, mut refutes: impl FnMut(usize) -> bool) -> usize {
    let (mut high, mut step) = (len, 1);
    let mut asked = first.map_or(low, |first| first.saturating_sub(1).max(low));
    while low < high {
        if refutes(asked) {
            low = asked + 1;
        } else {
            high = asked;
        }
        step *= 2;
        asked = if high == len { (low + step - 1).min(high.saturating_sub(1)) } else { low.midpoint(high) };
    }
    low
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
    effort: usize,
    plan: Option<LabourPlan>,
    cut: Option<Skipped>,
    stop: &'a mut dyn FnMut() -> bool,
}

impl Search<'_> {
    /// Whether it is proven that no plan ends by slot boundary `finish`.
    ///
    /// A legal plan leaves nothing unplaced, so its point costs no more than all work as late as can be. Where
    /// the least cost of the model is certified to be more than that, there is no such plan.
    fn refutes(&mut self, finish: usize, grain: Grain) -> bool {
        if Deadlines::backward(self.problem, self.fit, self.windows, finish).is_err() {
            return true;
        }
        // A back-end that found no end once is not asked again, nor is anything once the search was stopped.
        if matches!(self.cut, Some(Skipped::Failed(Failure::Stalled) | Skipped::Stopped { .. })) {
            return false;
        }
        if (self.stop)() {
            self.cut = Some(Skipped::Stopped { models: self.models });
            return false;
        }
        match self.proves(finish, grain) {
            Ok(proof) => proof,
            Err(skipped) => {
                self.cut = Some(skipped);
                false
            }
        }
    }

    fn proves(&mut self, finish: usize, grain: Grain) -> Result<bool, Skipped> {
        let ground = Ground::new(self.problem, self.fit, self.windows, self.premises, finish, grain).map_err(Skipped::NoRoom)?;
        let built = Built::new(&ground);
        let (columns, rows) = built.size();
        if !built.small_enough(grain) {
            return Err(Skipped::TooLarge { columns, rows });
        }
        let effort = self.effort + (columns + rows).pow(2) / 1000;
        // An earlier end may still be small enough for what is left.
        if effort > most_effort(grain) {
            return Err(Skipped::TooMuch { models: self.models });
        }
        self.effort = effort;
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
        self.plan = Some(LabourPlan::new(&ground, &built, &solution, end));
        Ok(false)
    }
}
