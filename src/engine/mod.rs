//! The slot engine: complete legal plans at slot resolution, then better ones.

mod alone;
mod asked_reserve;
mod base;
mod begun;
mod calls;
mod context;
mod critical;
mod cross;
mod field;
mod finish;
mod fixed;
mod freedom;
mod ground;
mod islands;
mod links;
mod machinery;
mod make_way;
mod moves;
mod on_hand;
mod order;
mod outlook;
mod place;
mod reserve;
mod roster;
mod score;
mod search;
mod serial;
mod settle;
mod slack;
mod spell;
mod state;
mod tabu;
mod team;
mod told;

use std::sync::Arc;

pub use self::roster::{Hole, NoRoster};
pub use self::slack::{Later, slack};

use self::field::{Asked, Field, Found};
use self::freedom::{Evenings, Freedom};
use self::ground::Ground;
use self::islands::Islands;
use self::place::Effort;
use crate::id::{IdVec, MilestoneId, PersonId, TaskId};
use crate::model::{Aim, Problem};
use crate::plan::Plan;
use crate::rng::Stream;
use crate::time::Moment;

/// How hard to try.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Options {
    /// Seed of every random choice.
    pub seed: u64,
    /// Generations without gain after which a stage of the search ends, or a multiple of that; 0 for the first plan alone.
    pub patience: u64,
    /// A proven lower bound on the finish, to aim at and to stop at.
    pub bound: Option<Moment>,
    /// How many threads may carry the search; the plan does not depend on it.
    pub threads: usize,
    /// Up to when plans may go on from the first, if that is later than the planned end; they go on for longer only where
    /// tasks do not fit else.
    pub end: Option<Moment>,
}

/// What the search tells while it runs, and asks.
pub trait Watch {
    /// A better complete plan was found after so many generations.
    fn improved(&mut self, generation: u64, finish: Moment);
    /// Whether to stop now and keep the best plan so far.
    fn stop(&mut self) -> bool;
    /// Advice on order and teams, if there is any; asked once, after the first plan.
    fn advise(&mut self) -> Option<Guide> {
        None
    }
    /// What machines fall short by in every plan, as far as that is known; the search does not ask for less. Asked once.
    fn machines_short(&mut self) -> i64 {
        0
    }
    /// Before which moment no plan meets each milestone, if that is known and more than nothing; the search does not ask
    /// for more. Asked once before it, so it should take no time.
    fn earliest(&mut self) -> Option<IdVec<MilestoneId, Moment>> {
        None
    }
    /// The same once more, where dates are missed after a while: then it may take some time to prove more. `met_at` is when
    /// the best plan meets them.
    fn earliest_proven(&mut self, _met_at: &IdVec<MilestoneId, Moment>) -> Option<IdVec<MilestoneId, Moment>> {
        None
    }
}

/// Advice: in which order tasks come, and who is at hand for each. Followed where it helps, for nothing in it is hard.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Guide {
    /// When each task is about half done.
    pub order: IdVec<TaskId, Moment>,
    /// For each position of each task, who would best fill it.
    pub teams: IdVec<TaskId, Vec<Option<PersonId>>>,
}

/// Watches nothing and never stops.
#[derive(Clone, Copy, Debug, Default)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn improved(&mut self, _generation: u64, _finish: Moment) {}
    fn stop(&mut self) -> bool {
        false
    }
}

/// What came of it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Outcome {
    /// A plan.
    Found(Solution),
    /// No complete plan was found up to the latest end; this task found no place.
    Stuck(TaskId),
    /// Watches and duties have no legal roster, so that no task was looked at.
    NoRoster(NoRoster),
}

/// A plan and how it was found.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Solution {
    /// The plan.
    pub plan: Plan,
    /// Generations made.
    pub generations: u64,
    /// Team searches made.
    pub attempts: u64,
    /// Whether the watch stopped it.
    pub stopped: bool,
    /// What the engine takes the plan to come to: the value of each aim in the problem's order, machinery and reserve one
    /// by one. What it does come to is for the verifier to say.
    pub worth: Vec<i64>,
    /// Whether a reserve is asked for and nothing was placed that would break it.
    pub keeps_reserve: bool,
}

/// Random orders tried where the first ones lead to no plan.
const LAST_TRIES: u32 = 200;

/// How often the search starts from the first plan with overtime; each start leads elsewhere.
const STARTS: u32 = 4;

/// Plans a problem. The reserve is kept where a plan that keeps it is found; else a plan is made that does not, and what it
/// falls short by is held as small as the search can.
#[must_use]
pub fn solve(problem: &Problem, options: &Options, watch: &mut dyn Watch) -> Outcome {
    let ground = Ground::new(problem);
    match solve_on(&ground, options, watch) {
        Outcome::Stuck(_) if ground.reserve.is_asked() => solve_on(&Ground::with_reserve_open(problem), options, watch),
        outcome => outcome,
    }
}

/// The same, with plans that need not keep the reserve from the start: machines come first, and a plan that keeps it may
/// have them out for longer.
#[must_use]
pub fn solve_with_reserve_open(problem: &Problem, options: &Options, watch: &mut dyn Watch) -> Outcome {
    solve_on(&Ground::with_reserve_open(problem), options, watch)
}

fn solve_on(ground: &Ground, options: &Options, watch: &mut dyn Watch) -> Outcome {
    let problem = ground.problem;
    let mut effort = Effort::default();
    let mut end = ground.slot_from(options.end.map_or(problem.end, |end| end.max(problem.end)));
    let day = usize::try_from(24 * 60 / ground.slot).unwrap_or(48);
    let mut context = match roster::first_context(ground, end) {
        Ok(context) => Arc::new(context),
        Err(why) => return Outcome::NoRoster(why),
    };
    let (earliest, short) = (watch.earliest(), watch.machines_short());
    let first = loop {
        let finish = asked_finish(problem, options).map(|b| ground.slot_from(b));
        let given = Asked::new(ground, finish, short, end);
        let asked = earliest.as_ref().map_or_else(|| given.clone(), |earliest| given.no_earlier(ground, earliest, end));
        let mut field = Field::new(ground, context.clone(), end, &asked, &mut effort);
        if !field.legal() {
            // What was legal up to an earlier end need not be so up to this one.
            context = match roster::first_context(ground, end) {
                Ok(context) => Arc::new(context),
                Err(why) => return Outcome::NoRoster(why),
            };
            field = Field::new(ground, context.clone(), end, &asked, &mut effort);
        }
        match field.first(&mut effort) {
            Ok(found) => break Ok((found, asked)),
            Err(stuck) if end >= ground.len => {
                break last_try(&field, &asked, options.seed, &mut effort).map_or(Err(stuck), |found| Ok((found, asked)));
            }
            Err(_) => end = (end + day).min(ground.len),
        }
    };
    let (first, asked) = match first {
        Ok(found) => found,
        Err(stuck) => return Outcome::Stuck(stuck.0),
    };
    let mut search = Islands::new(first, asked, options, watch);
    if options.patience > 0 {
        search.follow_advice();
        // Where there is overtime to use, a plan without is looked for, but not for long. Where there is none, the last day
        // is gained late, if it can be.
        let (plain, last) = if search.has_overtime() {
            (options.patience.div_ceil(4), 2 * options.patience)
        } else {
            (2 * options.patience, 4 * options.patience)
        };
        search.run(plain, Islands::met);
        if !search.met() {
            search.ask_what_can_be();
        }
        if search.has_overtime() && !search.met() {
            for _ in 0..STARTS {
                if search.stopped {
                    break;
                }
                search.start_with_overtime();
                search.run(options.patience, Islands::met);
                search.run(options.patience.div_ceil(2), |_| false);
                search.keep();
            }
            search.bring_together();
        } else {
            search.gather();
        }
        search.run(last, |_| false);
    }
    let attempts = search.attempts() + effort.attempts;
    let Islands { best, generations, stopped, asked, .. } = search;
    let best = if options.patience > 0 { settle::settled(best, &asked, &mut effort) } else { best };
    let worth = best.state.worth(best.score);
    let keeps_reserve = ground.keeps_reserve && ground.reserve.is_asked();
    Outcome::Found(Solution { plan: best.state.plan(best.on_hand), generations, attempts, stopped, worth, keeps_reserve })
}

/// Any plan at all, where the first orders lead to none: with every evening open, in random orders, with other watches.
fn last_try<'g>(field: &Arc<Field<'g>>, asked: &Asked, seed: u64, effort: &mut Effort) -> Option<Found<'g>> {
    let freedom = Freedom::new(field);
    let open = (!freedom.overtime.is_empty()).then(|| field.changed(freedom.all_overtime(field, Evenings::Last), asked, effort));
    if let Some(found) = open.as_ref().and_then(|open| open.first(effort).ok()) {
        return Some(found);
    }
    let mut random = Stream::new(seed, 0);
    let fields: Vec<&Arc<Field<'g>>> = [Some(field), open.as_ref()].into_iter().flatten().collect();
    (0..LAST_TRIES).find_map(|_| {
        let genes = field.random_genes(&mut random);
        fields.iter().find_map(|field| {
            let other = freedom.others(field, &mut random).map(|context| field.changed(context, asked, effort));
            let legal = [Some(*field), other.as_ref().filter(|field| field.legal())];
            legal.into_iter().flatten().find_map(|field| field.build(&genes, None, false, i64::MAX, effort).ok())
        })
    })
}

/// The finish to aim at from the start: the proven bound where the finish counts before overtime; where
/// dates come first, only the dates.
fn asked_finish(problem: &Problem, options: &Options) -> Option<Moment> {
    let place = |aim: Aim| problem.aims.iter().position(|a| *a == aim).unwrap_or(usize::MAX);
    let dates_first = !problem.milestones.is_empty() && place(Aim::NightAndOvertime) < place(Aim::Finish);
    options.bound.filter(|_| !dates_first)
}
