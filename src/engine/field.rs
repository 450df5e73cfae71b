//! One context laid out, ready for tasks to be generated into it.

use std::sync::Arc;

use super::alone::Alone;
use super::base::demand;
use super::context::Context;
use super::ground::Ground;
use super::place::{Effort, Way};
use super::score::Score;
use super::serial::{Genes, Stuck};
use super::state::State;
use crate::id::{IdVec, TaskId};
use crate::plan::OnHand;

/// One context laid out: the state with no task in it, and when tasks could run by themselves.
#[derive(Debug)]
pub(super) struct Field<'g> {
    pub(super) base: State<'g>,
    pub(super) alone: Alone,
    /// Latest ends for what is aimed at.
    pub(super) latest: IdVec<TaskId, usize>,
    /// What the person most in demand costs.
    pub(super) dearest: i64,
}

/// A complete legal plan in the making.
#[derive(Clone, Debug)]
pub(super) struct Found<'g> {
    pub(super) field: Arc<Field<'g>>,
    pub(super) state: State<'g>,
    pub(super) on_hand: Vec<OnHand>,
    pub(super) score: Score,
    pub(super) distance: i64,
    pub(super) genes: Genes,
}

/// By which slot every task is asked to end: its milestone's date, or else the finish aimed at.
#[derive(Clone, Debug)]
pub(super) struct Asked(IdVec<TaskId, usize>);

impl Asked {
    /// Milestones as given; everything else by `finish`.
    pub(super) fn new(ground: &Ground, finish: usize) -> Self {
        let mut asked = IdVec::filled(finish, ground.tasks.len());
        for milestone in ground.problem.milestones.iter() {
            let due = ground.slot_to(milestone.due);
            for task in &milestone.tasks {
                asked[*task] = asked[*task].min(due);
            }
        }
        Self(asked)
    }
}

impl<'g> Field<'g> {
    pub(super) fn new(ground: &'g Ground<'g>, context: Arc<Context>, end: usize, asked: &Asked) -> Arc<Self> {
        let base = State::base(ground, context, end);
        let alone = Alone::new(&base);
        let latest = alone.latest_ends(ground, asked.0.clone());
        let dearest = demand(ground).iter().copied().max().unwrap_or(0);
        Arc::new(Self { base, alone, latest, dearest })
    }

    /// Keys by latest end: what is most pressing first. Costs by demand.
    pub(super) fn first_genes(&self) -> Genes {
        let ground = self.base.ground;
        let demand = demand(ground);
        Genes {
            keys: self.latest.iter().map(|l| i64::try_from(*l).unwrap_or(0) * 1000).collect(),
            costs: IdVec::filled(demand, ground.tasks.len()),
        }
    }

    /// One generation forward, and, where `justify` says so, backward and forward again.
    pub(super) fn build(self: &Arc<Self>, genes: &Genes, justify: bool, effort: &mut Effort) -> Result<Found<'g>, Stuck> {
        let mut best = self.forward(genes, effort)?;
        if justify
            && let Some(again) = self.justified(&best, effort)
            && again.rank() < best.rank()
        {
            best = again;
        }
        Ok(best)
    }

    fn forward(self: &Arc<Self>, genes: &Genes, effort: &mut Effort) -> Result<Found<'g>, Stuck> {
        let mut state = self.base.clone();
        state.generate(genes, Way::Forward, effort)?;
        let (on_hand, missing) = state.put_on_hand();
        let score = state.score(missing);
        let distance = state.distance(&self.alone, &self.latest);
        Ok(Found { field: self.clone(), state, on_hand, score, distance, genes: genes.clone() })
    }

    /// Everything pushed as late as the finish allows, then as early as can be in the order of those starts.
    fn justified(self: &Arc<Self>, found: &Found<'g>, effort: &mut Effort) -> Option<Found<'g>> {
        let mut late = self.base.clone();
        late.end = found.state.finish();
        let mut genes = found.genes.clone();
        for task in found.state.placed.ids() {
            genes.keys[task] = -i64::try_from(found.state.end_of(task)?).ok()?;
        }
        late.generate(&genes, Way::Backward, effort).ok()?;
        for task in late.placed.ids() {
            genes.keys[task] = i64::try_from(late.start_of(task)?).ok()? * 1000;
        }
        self.forward(&genes, effort).ok()
    }
}

impl Found<'_> {
    /// What the search minimises: what is missing, then the distance from what is asked (lateness and
    /// finish move in steps and say nothing on the way), then the aims.
    pub(super) fn rank(&self) -> (i64, i64, i64, Score) {
        let Score(values) = self.score;
        (values[0], values[1], self.distance, self.score)
    }

    /// What the search walks on: distance and overtime against each other, so that the way from a plan
    /// with much overtime to one with little may lead through plans that miss their date by a little.
    pub(super) fn energy(&self) -> i64 {
        3 * self.distance + self.state.night_and_overtime() / i64::from(self.state.ground.slot)
    }
}
