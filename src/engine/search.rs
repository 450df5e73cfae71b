//! The improving loop: generate, justify, change a little, keep what is better.

use std::sync::Arc;

use super::alone::Alone;
use super::base::demand;
use super::context::Context;
use super::ground::Ground;
use super::place::{Effort, Way};
use super::score::Score;
use super::serial::{Genes, Stuck};
use super::state::State;
use crate::id::{Id, IdVec, TaskId};
use crate::plan::OnHand;
use crate::rng::Stream;

/// A complete legal plan in the making.
#[derive(Clone, Debug)]
pub(super) struct Found<'g> {
    pub(super) state: State<'g>,
    pub(super) on_hand: Vec<OnHand>,
    pub(super) score: Score,
    pub(super) distance: i64,
    pub(super) genes: Genes,
}

/// Everything that stays while one context is searched.
pub(super) struct Field<'g> {
    pub(super) base: State<'g>,
    pub(super) alone: Alone,
    /// Latest ends for the finish aimed at.
    pub(super) latest: IdVec<TaskId, usize>,
}

impl<'g> Field<'g> {
    pub(super) fn new(ground: &'g Ground<'g>, context: Arc<Context>, end: usize, target: Option<usize>) -> Self {
        let base = State::base(ground, context, end);
        let alone = Alone::new(&base);
        let bound = alone.earliest_end.iter().copied().max().unwrap_or(0);
        let latest = alone.latest_ends(ground, target.unwrap_or(bound));
        Self { base, alone, latest }
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
    pub(super) fn build(&self, genes: &Genes, justify: bool, effort: &mut Effort) -> Result<Found<'g>, Stuck> {
        let mut best = self.forward(genes, effort)?;
        if justify && let Some(better) = self.justified(&best, effort) {
            best = better;
        }
        Ok(best)
    }

    fn forward(&self, genes: &Genes, effort: &mut Effort) -> Result<Found<'g>, Stuck> {
        let mut state = self.base.clone();
        state.generate(genes, Way::Forward, effort)?;
        Ok(self.rate(state, genes.clone()))
    }

    fn rate(&self, mut state: State<'g>, genes: Genes) -> Found<'g> {
        let (on_hand, missing) = state.put_on_hand();
        let score = state.score(missing);
        let distance = state.distance(&self.alone, &self.latest);
        Found { state, on_hand, score, distance, genes }
    }

    /// Everything pushed as late as the finish allows, then as early as can be in the order of those starts.
    fn justified(&self, found: &Found<'g>, effort: &mut Effort) -> Option<Found<'g>> {
        let finish = found.state.finish();
        let mut late = self.base.clone();
        late.end = finish;
        let mut genes = found.genes.clone();
        for (task, key) in genes.keys.ids().zip(found.state.placed.ids()).collect::<Vec<_>>() {
            genes.keys[task] = -i64::try_from(found.state.end_of(key)?).ok()?;
        }
        late.generate(&genes, Way::Backward, effort).ok()?;
        for task in genes.keys.ids() {
            genes.keys[task] = i64::try_from(late.start_of(task)?).ok()? * 1000;
        }
        let again = self.forward(&genes, effort).ok()?;
        better(&again, found).then_some(again)
    }
}

/// Whether `a` is worth more than `b`: by the aims, with the distance from the finish aimed at deciding
/// before the finish itself does.
pub(super) fn better(a: &Found, b: &Found) -> bool {
    rank(a) < rank(b)
}

/// What the search minimises. The distance comes right after what is missing, since lateness and finish move in steps.
fn rank(found: &Found) -> (i64, i64, i64, Score) {
    let Score(values) = found.score;
    (values[0], values[1], found.distance, found.score)
}

/// Changes genes a little.
pub(super) fn mutate(field: &Field, from: &Found, random: &mut Stream) -> Genes {
    let ground = field.base.ground;
    let mut genes = from.genes.clone();
    // Start from where things ended up, so that a small change of keys is a small change of the plan.
    for task in genes.keys.ids() {
        genes.keys[task] = from.state.start_of(task).map_or(0, |s| i64::try_from(s).unwrap_or(0) * 1000);
    }
    let tasks: Vec<TaskId> = genes.keys.ids().collect();
    let late: Vec<TaskId> = tasks.iter().copied().filter(|t| from.state.end_of(*t).is_some_and(|e| e > field.latest[*t])).collect();
    let moves = 1 + random.below(3);
    for _ in 0..moves {
        let pool = if !late.is_empty() && random.chance(600) { &late } else { &tasks };
        let Some(task) = pool.get(random.below(pool.len())).copied() else { continue };
        match random.below(10) {
            0..=3 => {
                // Sooner: ahead of what it competed with.
                let back = i64::try_from(random.below(40 * 1000)).unwrap_or(0);
                genes.keys[task] -= back;
                if random.chance(500) {
                    for (before, _) in &ground.tasks[task].after {
                        genes.keys[*before] -= back;
                    }
                }
            }
            4 => genes.keys[task] += i64::try_from(random.below(24 * 1000)).unwrap_or(0),
            5 | 6 => {
                let other = tasks[random.below(tasks.len())];
                let keys = (genes.keys[task], genes.keys[other]);
                genes.keys[task] = keys.1;
                genes.keys[other] = keys.0;
            }
            _ => {
                let scale = genes.costs[task].iter().copied().max().unwrap_or(1).max(1);
                for cost in genes.costs[task].iter_mut() {
                    *cost = i64::try_from(random.below(usize::try_from(2 * scale).unwrap_or(1))).unwrap_or(0);
                }
            }
        }
    }
    genes
}

/// Ids of tasks as indices, for ordering ties.
pub(super) fn index_of(task: TaskId) -> usize {
    task.index()
}
