//! One context laid out, ready for tasks to be generated into it.

use std::sync::Arc;

use super::Guide;
use super::alone::Alone;
use super::base::demand;
use super::context::Context;
use super::ground::Ground;
use super::place::{Effort, Way};
use super::score::Score;
use super::serial::{Genes, Stuck};
use super::state::{Chunk, State};
use crate::id::{IdVec, TaskId};
use crate::plan::OnHand;

/// Keys to a slot.
pub(super) const KEY: i64 = 1000;
/// Energy of a slot.
pub(super) const ENERGY: i64 = 16;
/// So many slots in which a team could be at work are little slack.
const LITTLE_SLACK: i64 = 60;
/// Energy of a slot after the earliest end of a task without any slack.
const PULL: i64 = 16;

/// One context laid out: the state with no task in it, and when tasks could run by themselves.
#[derive(Debug)]
pub(super) struct Field<'g> {
    pub(super) base: State<'g>,
    pub(super) alone: Alone,
    /// Latest ends for what is aimed at.
    pub(super) latest: IdVec<TaskId, usize>,
    /// What the person most in demand costs.
    pub(super) dearest: i64,
    /// Tasks with little slack, and how much each is pulled.
    pulls: Vec<(TaskId, i64)>,
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
    /// The tasks in the order in which they were placed.
    pub(super) sequence: Vec<TaskId>,
}

/// By which slot every task is asked to end: its milestone's date, or else the finish aimed at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Asked {
    by: IdVec<TaskId, usize>,
    /// The best finish there may be, where the finish is asked for at all.
    finish: Option<usize>,
}

impl Asked {
    /// Milestones as given, everything else by the slot `finish`, or by `end` where no finish is asked for.
    pub(super) fn new(ground: &Ground, finish: Option<usize>, end: usize) -> Self {
        Self { by: Self::by(ground, finish.unwrap_or(end), |due, _| due), finish }
    }

    /// A little more than `state` reaches, where that falls short of the best there may be; `None` where it does
    /// not, or that is what is asked already.
    pub(super) fn more_than(&self, state: &State) -> Option<Self> {
        let sooner = state.finish().saturating_sub(1);
        let finish = self.finish.map_or(state.end, |best| best.max(sooner));
        let met = |tasks: &[TaskId]| tasks.iter().filter_map(|t| state.end_of(*t)).max().unwrap_or(0);
        let by = Self::by(state.ground, finish, |due, tasks| due.max(met(tasks).saturating_sub(1)));
        (by != self.by).then_some(Self { by, finish: self.finish })
    }

    fn by(ground: &Ground, finish: usize, due: impl Fn(usize, &[TaskId]) -> usize) -> IdVec<TaskId, usize> {
        let mut by = IdVec::filled(finish, ground.tasks.len());
        for milestone in ground.problem.milestones.iter() {
            let due = due(ground.slot_to(milestone.due), &milestone.tasks);
            for task in &milestone.tasks {
                by[*task] = by[*task].min(due);
            }
        }
        by
    }
}

impl<'g> Field<'g> {
    pub(super) fn new(ground: &'g Ground<'g>, context: Arc<Context>, end: usize, asked: &Asked, effort: &mut Effort) -> Arc<Self> {
        let base = State::base(ground, context, end, &mut effort.calls);
        let alone = Alone::new(&base);
        let latest = alone.latest_ends(ground, asked.by.clone());
        let dearest = demand(ground).iter().copied().max().unwrap_or(0);
        let manned = ground.tasks.pairs().filter(|(_, task)| !task.needs.is_empty());
        let pulls = manned.filter_map(|(t, _)| {
            let slack = alone.delay(t, latest[t]);
            (slack < LITTLE_SLACK).then_some((t, PULL * (LITTLE_SLACK - slack)))
        });
        let pulls = pulls.collect();
        Arc::new(Self { base, alone, latest, dearest, pulls })
    }

    /// Whether watches and duties are legal by themselves; without that no plan is.
    pub(super) fn legal(&self) -> bool {
        self.base.people.iter().all(|p| p.fixed.legal)
    }

    /// The best of a few first plans, in orders that are each good for some kind of job.
    ///
    /// # Errors
    /// The task that found no place in the order of latest ends, where no order leads to a plan.
    pub(super) fn first(self: &Arc<Self>, effort: &mut Effort) -> Result<Found<'g>, Stuck> {
        let mut best: Option<Result<Found<'g>, Stuck>> = None;
        for genes in self.first_genes() {
            let next = self.build(&genes, None, true, effort);
            best = match (best, next) {
                (None, next) => Some(next),
                (Some(Ok(best)), Ok(next)) if next.rank() < best.rank() => Some(Ok(next)),
                (Some(Err(_)), Ok(next)) => Some(Ok(next)),
                (best, _) => best,
            };
        }
        best.expect("there is at least one first order")
    }

    /// Keys by latest end (what is most pressing first), by latest start, by earliest end, and as people were told;
    /// costs by demand.
    fn first_genes(&self) -> Vec<Genes> {
        let ground = self.base.ground;
        let costs = IdVec::filled(demand(ground), ground.tasks.len());
        let as_told = IdVec::filled(ground.told.is_some(), ground.tasks.len());
        let by = |slots: IdVec<TaskId, usize>| {
            let keys = slots.iter().map(|s| key(*s)).collect();
            Genes { keys, costs: costs.clone(), as_told: as_told.clone() }
        };
        let starts = ground.tasks.pairs().map(|(t, task)| self.latest[t].saturating_sub(task.length)).collect();
        let mut all = vec![by(self.latest.clone()), by(starts), by(self.alone.earliest_end.clone())];
        if let Some(told) = &ground.told {
            let start = |t: TaskId| told.chunks[t].first().map_or(self.latest[t], Chunk::start);
            all.insert(0, by(ground.tasks.ids().map(start).collect()));
        }
        all
    }

    /// Keys and costs as a guide has them: its order, and its people cheap for their tasks.
    pub(super) fn guided_genes(&self, guide: &Guide) -> Genes {
        let ground = self.base.ground;
        let demand = demand(ground);
        let costs = guide.teams.iter().map(|team| {
            let mut costs = demand.clone();
            for person in team.iter().flatten() {
                costs[*person] /= 8;
            }
            costs
        });
        let as_told = IdVec::filled(false, ground.tasks.len());
        Genes { keys: guide.order.iter().map(|m| key(ground.slot_from(*m))).collect(), costs: costs.collect(), as_told }
    }

    /// One generation forward, and, where `justify` says so, backward and forward again. What comes out as in
    /// `parent` is taken from there.
    pub(super) fn build(
        self: &Arc<Self>,
        genes: &Genes,
        parent: Option<&Found<'g>>,
        justify: bool,
        effort: &mut Effort,
    ) -> Result<Found<'g>, Stuck> {
        let parent = parent.filter(|parent| Arc::ptr_eq(self, &parent.field));
        let mut best = self.forward(genes, parent, effort)?;
        if justify
            && let Some(again) = self.justified(&best, effort)
            && again.rank() < best.rank()
        {
            best = again;
        }
        Ok(best)
    }

    fn forward(self: &Arc<Self>, genes: &Genes, parent: Option<&Found<'g>>, effort: &mut Effort) -> Result<Found<'g>, Stuck> {
        let mut state = self.base.clone();
        let sequence = state.generate(genes, Way::Forward, parent, effort)?;
        let (on_hand, missing) = state.put_on_hand(&mut effort.calls);
        let score = state.score(missing);
        let distance = state.distance(&self.alone, &self.latest);
        Ok(Found { field: self.clone(), state, on_hand, score, distance, genes: genes.clone(), sequence })
    }

    /// Everything pushed as late as the finish allows, then as early as can be in the order of those starts.
    fn justified(self: &Arc<Self>, found: &Found<'g>, effort: &mut Effort) -> Option<Found<'g>> {
        let mut late = self.base.clone();
        late.end = found.state.finish();
        let mut genes = found.genes.clone();
        for task in found.state.placed.ids() {
            genes.keys[task] = -i64::try_from(found.state.end_of(task)?).ok()?;
        }
        late.generate(&genes, Way::Backward, None, effort).ok()?;
        for task in late.placed.ids() {
            genes.keys[task] = key(late.start_of(task)?);
        }
        self.forward(&genes, None, effort).ok()
    }
}

/// The key of a task that belongs at `slot`. Keys lie closer than slots, so that changes of the search find room
/// between them.
fn key(slot: usize) -> i64 {
    i64::try_from(slot).unwrap_or(i64::MAX / KEY) * KEY
}

impl Found<'_> {
    /// The same plan as `asked` has it.
    pub(super) fn seen_as(mut self, asked: &Asked, effort: &mut Effort) -> Self {
        let old = &self.field.base;
        self.field = Field::new(old.ground, old.context.clone(), old.end, asked, effort);
        self.distance = self.state.distance(&self.field.alone, &self.field.latest);
        self
    }

    /// What is missing, and how far it is from what is asked.
    pub(super) const fn away(&self) -> (i64, i64) {
        let Score(values) = self.score;
        (values[0] + values[1], self.distance)
    }

    /// Whether it is better than `other` by something that people would notice.
    pub(super) fn is_gain_over(&self, other: &Self) -> bool {
        self.state.coarse(self.score) < self.state.coarse(other.score)
    }

    /// What the search minimises: what is missing, then the distance from what is asked (lateness and
    /// finish move in steps and say nothing on the way), then the aims.
    pub(super) fn rank(&self) -> (i64, i64, i64, Score) {
        let Score(values) = self.score;
        (values[0], values[1], self.distance, self.score)
    }

    /// What the search walks on, in sixteenths of a slot: distance and overtime against each other, so that the way
    /// from a plan with much overtime to one with little may lead through plans that miss their date by a little; and
    /// a little for every slot by which tasks with little slack end after they could.
    pub(super) fn energy(&self) -> i64 {
        let slot = i64::from(self.state.ground.slot);
        let told = self.state.changes_to_told() / (2 * slot);
        ENERGY * (3 * self.distance + self.state.night_and_overtime() / slot + told) + self.pull()
    }

    /// How long after they could tasks with little slack end, in the slots in which a team could be at work; the less
    /// slack, the more. It shows the way where a small delay early on costs a day at the end, and nothing in between.
    fn pull(&self) -> i64 {
        let pulls = self.field.pulls.iter();
        pulls.map(|(t, weight)| weight * self.field.alone.delay(*t, self.state.end_of(*t).unwrap_or(0)) / LITTLE_SLACK).sum()
    }
}
