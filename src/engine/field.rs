//! One context laid out, ready for tasks to be generated into it.

use std::sync::Arc;

use super::Guide;
use super::alone::Alone;
use super::base::demand;
use super::context::Context;
use super::ground::Ground;
use super::outlook::Outlook;
use super::place::{Effort, Way};
use super::score::Score;
use super::serial::{Genes, Steer, Stuck};
use super::state::{Chunk, State};
use super::team::Costs;
use crate::id::{IdVec, MilestoneId, PersonId, TaskId};
use crate::plan::OnHand;
use crate::rng::Stream;
use crate::time::Moment;

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
    /// How much each task is pulled to its earliest end; 0 for those with slack.
    pulls: IdVec<TaskId, i64>,
    /// What machines fall short by in every plan.
    short: i64,
}

/// Every task placed, not yet looked at as a whole.
#[derive(Clone, Debug)]
struct Laid<'g> {
    state: State<'g>,
    genes: Genes,
    sequence: Vec<TaskId>,
    energy: i64,
}

/// A complete legal plan in the making.
#[derive(Clone, Debug)]
pub(super) struct Found<'g> {
    pub(super) field: Arc<Field<'g>>,
    pub(super) state: State<'g>,
    pub(super) on_hand: Vec<OnHand>,
    /// What machinery falls short by, beyond what it does in every plan.
    machines_missing: i64,
    /// What the reserve falls short by, people who cannot be called included.
    reserve_missing: i64,
    /// Slots of the unbooked hours asked for that are missing.
    unbooked_missing: i64,
    pub(super) score: Score,
    pub(super) distance: i64,
    /// What the search walks on, in sixteenths of a slot: distance and overtime against each other, so that the way
    /// from a plan with much overtime to one with little may lead through plans that miss their date by a little; and
    /// a little for every slot by which tasks with little slack end after they could.
    pub(super) energy: i64,
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
    /// The date of each milestone, or the earliest it can be met at, if that is later.
    dates: IdVec<MilestoneId, usize>,
    /// What machines fall short by in every plan.
    short: i64,
}

impl Asked {
    /// Milestones by their dates, everything else by the slot `finish`, or by `end` where no finish is asked for; machines `short`
    /// by no more than that.
    pub(super) fn new(ground: &Ground, finish: Option<usize>, short: i64, end: usize) -> Self {
        let dates = ground.problem.milestones.iter().map(|milestone| ground.slot_to(milestone.due)).collect();
        Self::by_dates(ground, finish, dates, short, end)
    }

    /// The same, but no milestone before it can be met at the `earliest`.
    pub(super) fn no_earlier(&self, ground: &Ground, earliest: &IdVec<MilestoneId, Moment>, end: usize) -> Self {
        let dates = self.dates.iter().zip(earliest.iter()).map(|(date, can_be)| (*date).max(ground.slot_from(*can_be)));
        Self::by_dates(ground, self.finish, dates.collect(), self.short, end)
    }

    fn by_dates(ground: &Ground, finish: Option<usize>, dates: IdVec<MilestoneId, usize>, short: i64, end: usize) -> Self {
        Self { by: by(ground, finish.unwrap_or(end), dates.iter().copied()), finish, dates, short }
    }

    /// A little more than `state` reaches, where that falls short of the best there may be; `None` where it does
    /// not, or that is what is asked already.
    pub(super) fn more_than(&self, state: &State) -> Option<Self> {
        let sooner = state.finish().saturating_sub(1);
        let finish = self.finish.map_or(state.end, |best| best.max(sooner));
        let milestones = state.ground.problem.milestones.iter();
        let dates = milestones.zip(self.dates.iter()).map(|(m, date)| (*date).max(state.met(m).saturating_sub(1)));
        let by = by(state.ground, finish, dates);
        (by != self.by).then(|| Self { by, ..self.clone() })
    }
}

/// Tasks of milestones by their dates, all others by the slot `finish`.
pub(super) fn by(ground: &Ground, finish: usize, dates: impl Iterator<Item = usize>) -> IdVec<TaskId, usize> {
    let mut by = IdVec::filled(finish, ground.tasks.len());
    for (milestone, date) in ground.problem.milestones.iter().zip(dates) {
        for task in &milestone.tasks {
            by[*task] = by[*task].min(date);
        }
    }
    by
}

impl<'g> Field<'g> {
    pub(super) fn new(ground: &'g Ground<'g>, context: Arc<Context>, end: usize, asked: &Asked, effort: &mut Effort) -> Arc<Self> {
        let base = State::base(ground, context, end, &mut effort.calls);
        let alone = Alone::new(&base);
        Self::of(base, alone, asked)
    }

    /// The field of another context, for the same end.
    pub(super) fn changed(&self, context: Arc<Context>, asked: &Asked, effort: &mut Effort) -> Arc<Self> {
        let old = &self.base.context;
        if old.turns != context.turns || old.duties != context.duties {
            return Self::new(self.base.ground, context, self.base.end, asked, effort);
        }
        let others: Vec<PersonId> = context.overtime.ids().filter(|p| context.overtime[*p] != old.overtime[*p]).collect();
        let base = self.base.with_evenings(context, &others, &mut effort.calls);
        let alone = self.alone.changed(&base, &others);
        Self::of(base, alone, asked)
    }

    fn of(base: State<'g>, alone: Alone, asked: &Asked) -> Arc<Self> {
        let ground = base.ground;
        let latest = alone.latest_ends(ground, asked.by.clone());
        let dearest = demand(ground).iter().copied().max().unwrap_or(0);
        let pulls = ground.tasks.pairs().map(|(t, task)| {
            let slack = alone.delay(t, latest[t]);
            if task.needs.is_empty() { 0 } else { PULL * (LITTLE_SLACK - slack).max(0) }
        });
        let pulls = pulls.collect();
        Arc::new(Self { base, alone, latest, dearest, pulls, short: asked.short })
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
            let next = self.build(&genes, None, true, i64::MAX, effort);
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
        let steer = Steer { as_told: ground.told.is_some(), ..Steer::by(Costs { of: demand(ground), overtime: true }) };
        let tasks = IdVec::filled(steer, ground.tasks.len());
        let by = |slots: IdVec<TaskId, usize>| {
            let keys = slots.iter().map(|s| key(*s)).collect();
            Genes { keys, tasks: tasks.clone() }
        };
        let starts = ground.tasks.pairs().map(|(t, task)| self.latest[t].saturating_sub(task.length)).collect();
        let mut all = vec![by(self.latest.clone()), by(starts), by(self.alone.earliest_end.clone())];
        if let Some(told) = &ground.told {
            let start = |t: TaskId| told.chunks[t].first().map_or(self.latest[t], Chunk::start);
            all.insert(0, by(ground.tasks.ids().map(start).collect()));
        }
        all
    }

    /// Any order, and any people.
    pub(super) fn random_genes(&self, random: &mut Stream) -> Genes {
        let ground = self.base.ground;
        let tasks = ground.tasks.len();
        let most = usize::try_from(2 * self.dearest.max(1)).unwrap_or(1);
        let any = |random: &mut Stream, most: usize| i64::try_from(random.below(most)).unwrap_or(0);
        let keys = (0..tasks).map(|_| any(random, 1000 * tasks)).collect();
        let tasks = ground.tasks.iter().map(|task| {
            let mut steer = Steer::by(Costs { of: ground.people.iter().map(|_| any(random, most)).collect(), overtime: true });
            if random.chance(500) {
                steer.longest = 1 + random.below(task.length);
            }
            if random.chance(250) {
                steer.from = random.below(ground.slots_a_day());
            }
            steer
        });
        Genes { keys, tasks: tasks.collect() }
    }

    /// Keys and costs as a guide has them: its order, and its people cheap for their tasks.
    pub(super) fn guided_genes(&self, guide: &Guide) -> Genes {
        let ground = self.base.ground;
        let demand = demand(ground);
        let tasks = guide.teams.iter().map(|team| {
            let mut costs = demand.clone();
            for person in team.iter().flatten() {
                costs[*person] /= 8;
            }
            Steer::by(Costs { of: costs, overtime: true })
        });
        Genes { keys: guide.order.iter().map(|m| key(ground.slot_from(*m))).collect(), tasks: tasks.collect() }
    }

    /// One generation forward, and, where `justify` says so, backward and forward again. What comes out as in
    /// `parent` is taken from there. Given up as soon as its energy is sure to be above `most`.
    pub(super) fn build(
        self: &Arc<Self>,
        genes: &Genes,
        parent: Option<&Found<'g>>,
        justify: bool,
        most: i64,
        effort: &mut Effort,
    ) -> Result<Found<'g>, Stuck> {
        let parent = parent.filter(|parent| Arc::ptr_eq(self, &parent.field));
        let mut best = self.forward(genes, parent, if justify { i64::MAX } else { most }, effort)?;
        if justify && let Some(again) = self.justified(&best, best.energy.min(most), effort) {
            best = again;
        }
        if best.energy > most {
            return Err(Stuck(best.sequence[0]));
        }
        Ok(self.complete(best, effort))
    }

    fn forward(self: &Arc<Self>, genes: &Genes, parent: Option<&Found<'g>>, most: i64, effort: &mut Effort) -> Result<Laid<'g>, Stuck> {
        let mut state = self.base.clone();
        let mut outlook = Outlook::new(self);
        let goes_on = |state: &State<'g>, task: TaskId| {
            outlook.place(self, state, task);
            outlook.energy <= most
        };
        let sequence = state.generate(genes, Way::Forward, parent, goes_on, effort)?;
        let energy = outlook.energy + told(&state);
        Ok(Laid { state, genes: genes.clone(), sequence, energy })
    }

    /// What one task adds to the energy.
    pub(super) fn energy_of(&self, state: &State, task: TaskId) -> i64 {
        self.delay_energy(task, state.end_of(task).unwrap_or(0)) + ENERGY * state.extra_slots(task)
    }

    /// What one task that ends at slot `end` adds to the energy by that alone.
    pub(super) fn delay_energy(&self, task: TaskId, end: usize) -> i64 {
        let late = self.late(task, end);
        let pull = match self.pulls[task] {
            0 => 0,
            pull => pull * self.alone.delay(task, end) / LITTLE_SLACK,
        };
        3 * ENERGY * late + pull
    }

    /// How far a plan is from what is asked: for every task, the slots between its latest end and its end in which a
    /// team could have been at work. Zero means that it is met.
    fn distance(&self, state: &State) -> i64 {
        state.placed.ids().map(|task| self.late(task, state.end_of(task).unwrap_or(0))).sum()
    }

    /// The same for one task that ends at slot `end`.
    fn late(&self, task: TaskId, end: usize) -> i64 {
        let ground = self.base.ground;
        let row = &ground.tasks[task];
        // What runs by itself, nights included, is late in hours nobody works: what comes after it counts.
        let counts = !row.needs.is_empty() || row.before.is_empty() || ground.people.is_empty();
        if counts && end > self.latest[task] {
            i64::try_from(self.alone.teams(task).count_range(self.latest[task], end) + 1).unwrap_or(i64::MAX)
        } else {
            0
        }
    }

    fn complete(self: &Arc<Self>, laid: Laid<'g>, effort: &mut Effort) -> Found<'g> {
        let Laid { mut state, genes, sequence, energy } = laid;
        let (on_hand, missing) = state.put_on_hand(&mut effort.calls);
        let short = state.machinery_shortfall();
        let machines_missing = short - self.short;
        let reserve_missing = missing + state.uncalled(&mut effort.calls);
        let score = state.score(short, reserve_missing);
        let distance = self.distance(&state);
        Found {
            field: self.clone(),
            state,
            on_hand,
            machines_missing,
            reserve_missing,
            unbooked_missing: missing,
            score,
            distance,
            energy,
            genes,
            sequence,
        }
    }

    /// Everything pushed as late as the finish allows, then as early as can be in the order of those starts.
    fn justified(self: &Arc<Self>, found: &Laid<'g>, most: i64, effort: &mut Effort) -> Option<Laid<'g>> {
        let mut late = self.base.clone();
        late.end = found.state.finish();
        let mut genes = found.genes.clone();
        for task in found.state.placed.ids() {
            genes.keys[task] = -i64::try_from(found.state.end_of(task)?).ok()?;
        }
        late.generate(&genes, Way::Backward, None, |_, _| true, effort).ok()?;
        for task in late.placed.ids() {
            genes.keys[task] = key(late.start_of(task)?);
        }
        self.forward(&genes, None, most, effort).ok()
    }
}

/// Energy of what is not as told.
fn told(state: &State) -> i64 {
    ENERGY * state.changes_to_told() / (2 * i64::from(state.ground.slot))
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
        self.distance = self.field.distance(&self.state);
        let tasks = self.state.placed.ids();
        self.energy = tasks.map(|t| self.field.energy_of(&self.state, t)).sum::<i64>() + told(&self.state);
        self
    }

    /// Whether machines are missing that could be able.
    pub(super) const fn machines_short(&self) -> bool {
        self.machines_missing > 0
    }

    /// What machinery, beyond what no plan mends, and reserve fall short by, wherever that comes among the aims.
    pub(super) const fn missing(&self) -> (i64, i64) {
        (self.machines_missing, self.reserve_missing)
    }

    /// What placing tasks otherwise could mend of what is missing, and how far it is from what is asked.
    pub(super) const fn away(&self) -> (i64, i64) {
        (self.machines_missing + self.unbooked_missing, self.distance)
    }

    /// Whether it is better than `other` by something that people would notice.
    pub(super) fn is_gain_over(&self, other: &Self) -> bool {
        self.state.coarse(self.score) < self.state.coarse(other.score)
    }

    /// What the search minimises: what is missing, then the distance from what is asked (lateness and
    /// finish move in steps and say nothing on the way), then the aims.
    pub(super) const fn rank(&self) -> ((i64, i64), i64, Score) {
        (self.missing(), self.distance, self.score)
    }
}
