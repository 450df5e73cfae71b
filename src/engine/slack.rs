//! Slack by planning again: each task held back by itself, and what has to move put elsewhere, legally.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::base::demand;
use super::context::Context;
use super::field::{Asked, Field, Found, by};
use super::ground::Ground;
use super::place::{Effort, Way};
use super::serial::{Genes, Steer};
use super::state::{Chunk, State};
use super::team::Costs;
use crate::id::{Id, IdVec, PersonId, TaskId};
use crate::model::Problem;
use crate::plan::{OnHand, Plan};
use crate::time::Minutes;

/// Most tasks placed for one task that is held back, on average: a large job is asked less thoroughly.
const PLACINGS: usize = 1200;

/// A task done later than in a plan, the rest of it following.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Later {
    /// How much later it ends.
    pub by: Minutes,
    /// The plan in which it does.
    pub plan: Plan,
}

/// How much later each task of `plan` can be done, found by planning again; `None` for a task that cannot, as far as was
/// found.
///
/// The task is held back, everything else stays as it is where it can and is put where it fits where it cannot, by the
/// rules every plan is made by. Watches, duties and evenings stay as they are; finish, milestones, what is short, and
/// hours of overtime and night work get no worse. What is found can be done; what is not found may be possible all the
/// same, so each is a lower bound.
///
/// `None` in all where the plan cannot be made again as it is, where `stop` said so, or where the job is too large.
#[must_use]
pub fn slack(problem: &Problem, plan: &Plan, stop: &mut dyn FnMut() -> bool) -> Option<IdVec<TaskId, Option<Later>>> {
    let mut parts = problem.clone().into_parts();
    parts.told = Some(plan.clone());
    let problem = Problem::new(parts).ok()?;
    let mut effort = Effort::default();
    let (kept, open) = (Ground::new(&problem), Ground::with_reserve_open(&problem));
    let again = Again::new(&kept, plan, &mut effort).or_else(|| Again::new(&open, plan, &mut effort))?;
    let ground = again.ground;
    let most = PLACINGS / ground.tasks.len().max(1);
    let mut found = IdVec::new();
    for task in ground.tasks.ids() {
        if most == 0 || stop() {
            return None;
        }
        let _: TaskId = found.push(again.latest(task, most, &mut effort));
    }
    Some(found)
}

/// In which order tasks come when one is held back.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Turn {
    /// It gives way to everything that does not come after it.
    Last,
    /// It keeps its place among those that begin when it does.
    AsItBegins,
}

/// Every task placed, and who was put on hand.
type Held<'g> = (State<'g>, Vec<OnHand>);

/// A plan made again, to be changed.
struct Again<'g> {
    ground: &'g Ground<'g>,
    field: Arc<Field<'g>>,
    /// The plan as it is.
    told: Found<'g>,
    /// When each task has to end so that finish and milestones may still be kept.
    latest: IdVec<TaskId, usize>,
    figures: [i64; 3],
}

impl<'g> Again<'g> {
    /// The plan made again; `None` where what comes out is not that plan.
    fn new(ground: &'g Ground<'g>, plan: &Plan, effort: &mut Effort) -> Option<Self> {
        let problem = ground.problem;
        let told = ground.told.as_ref()?;
        let finish = plan.spells.iter().map(|s| s.span().end()).max()?;
        let end = ground.slot_from(problem.end_for(finish));
        let asked = Asked::new(ground, None, 0, end);
        let field = Field::new(ground, Arc::new(context(ground, plan)), end, &asked, effort);
        let first = field.build(&genes(ground, None)?, None, false, i64::MAX, effort).ok()?;
        let same = first.state.placed.pairs().all(|(task, chunks)| {
            let mut chunks = chunks.clone();
            chunks.sort_unstable();
            chunks == told.chunks[task]
        });
        if !same {
            return None;
        }
        let dates = problem.milestones.iter().map(|milestone| ground.slot_to(milestone.due).max(first.state.met(milestone)));
        let by = by(ground, first.state.finish(), dates);
        let latest = field.alone.latest_ends(ground, by);
        // What is on hand already is counted, so this says again what is missing.
        let figures = figures(&mut first.state.clone(), effort).1;
        Some(Self { ground, field, told: first, latest, figures })
    }

    /// The latest that was found for a task within `most` plans made.
    fn latest(&self, task: TaskId, most: usize, effort: &mut Effort) -> Option<Later> {
        let state = &self.told.state;
        let (start, end) = (state.start_of(task)?, state.end_of(task)?);
        // What was decided, or is under way, begins when it begins.
        if self.ground.tasks[task].start.is_some() || self.latest[task] <= end {
            return None;
        }
        let last = self.latest[task].saturating_sub(self.ground.tasks[task].length);
        let starts: Vec<usize> = (start + 1..=last).filter(|s| self.field.alone.teams(task).has(*s)).collect();
        let (mut low, mut high, mut made) = (0, starts.len(), 0);
        let mut best: Option<(usize, Held<'g>)> = None;
        while low < high && made < most {
            let middle = low + (high - low) / 2;
            let mut held = None;
            for turn in [Turn::Last, Turn::AsItBegins] {
                if held.is_none() && made < most {
                    made += 1;
                    held = self.held_back(task, starts[middle], turn, effort);
                }
            }
            match held {
                None => high = middle,
                Some(found) => {
                    let from = found.0.start_of(task).unwrap_or(starts[middle]);
                    low = starts.partition_point(|s| *s <= from).max(middle + 1);
                    let ends = found.0.end_of(task).unwrap_or(end);
                    if ends > best.as_ref().map_or(end, |(at, _)| *at) {
                        best = Some((ends, found));
                    }
                }
            }
        }
        let (ends, (state, on_hand)) = best?;
        Some(Later { by: self.ground.moment(ends) - self.ground.moment(end), plan: state.plan(on_hand) })
    }

    /// The plan with one task not before slot `from`, if one was found that is no worse.
    fn held_back(&self, task: TaskId, from: usize, turn: Turn, effort: &mut Effort) -> Option<Held<'g>> {
        let genes = genes(self.ground, Some((task, from, turn)))?;
        let mut state = self.field.base.clone();
        Arc::make_mut(&mut state.allowed)[task].remove_range(0, from);
        let in_time = |state: &State<'g>, placed: TaskId| state.end_of(placed).is_some_and(|end| end <= self.latest[placed]);
        state.generate(&genes, Way::Forward, Some(&self.told), in_time, effort).ok()?;
        let (on_hand, figures) = figures(&mut state, effort);
        let no_worse = figures.iter().zip(&self.figures).all(|(now, before)| now <= before);
        no_worse.then_some((state, on_hand))
    }
}

/// Puts people on hand, and says whom; and what must not grow beside finish and milestones: machinery short, reserve short,
/// overtime and night work.
fn figures(state: &mut State, effort: &mut Effort) -> (Vec<OnHand>, [i64; 3]) {
    let (on_hand, missing) = state.put_on_hand(&mut effort.calls);
    let short = missing + state.uncalled(&mut effort.calls);
    (on_hand, [state.machinery_shortfall(), short, state.night_and_overtime()])
}

/// Watches, duties and evenings as a plan has them: of each evening as much as is used.
fn context(ground: &Ground, plan: &Plan) -> Context {
    let mut overtime = IdVec::filled(vec![0_u16; ground.n_days], ground.people.len());
    for spell in &plan.spells {
        for slot in spell.work.iter().map(|w| ground.inside(*w)).flat_map(|(from, to)| from..to) {
            let day = ground.day[slot] as usize;
            for person in &spell.team {
                let hours = &ground.people[*person].overtime;
                if hours.has(slot) {
                    let used = u16::try_from(hours.count_range(ground.day_starts[day], slot + 1)).unwrap_or(u16::MAX);
                    overtime[*person][day] = overtime[*person][day].max(used);
                }
            }
        }
    }
    Context { turns: plan.turns.clone(), duties: plan.duties.clone(), overtime }
}

/// The order of the plan, everything by those who were told where it has to move; with one task held back to a slot.
fn genes(ground: &Ground, held: Option<(TaskId, usize, Turn)>) -> Option<Genes> {
    let told = ground.told.as_ref()?;
    let demand = demand(ground);
    let tasks = ground.tasks.ids().map(|task| {
        let mut costs = demand.clone();
        let team: BTreeSet<PersonId> = told.chunks[task].iter().flat_map(|c| c.team.iter().copied()).collect();
        for person in team {
            costs[person] /= 8;
        }
        Steer { as_told: true, ..Steer::by(Costs { of: costs, overtime: true }) }
    });
    let at = |slot: usize| 2 * i64::try_from(slot).unwrap_or(0);
    let begins = |task: TaskId| at(told.chunks[task].first().map_or(ground.len, Chunk::start));
    let mut keys: IdVec<TaskId, i64> = ground.tasks.ids().map(begins).collect();
    let mut tasks: IdVec<TaskId, Steer> = tasks.collect();
    if let Some((task, from, turn)) = held {
        // Told or not, it comes before what begins at the same slot.
        keys[task] = at(from) - 1;
        tasks[task].as_told = false;
        if turn == Turn::Last {
            let after = |t: &TaskId| *t == task || ground.ancestors[*t].has(task.index());
            ground.tasks.ids().filter(after).for_each(|t| keys[t] += at(2 * ground.len));
        }
    }
    Some(Genes { keys, tasks })
}
