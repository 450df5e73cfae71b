//! The slot engine: complete legal plans at slot resolution, then better ones.

mod alone;
mod base;
mod context;
mod finish;
mod ground;
mod machinery;
mod on_hand;
mod place;
mod reserve;
mod score;
mod search;
mod serial;
mod state;
mod team;

use std::sync::Arc;

use self::context::Context;
use self::ground::Ground;
use self::place::Effort;
use self::search::{Field, Found, better, mutate};
use crate::id::TaskId;
use crate::model::Problem;
use crate::plan::Plan;
use crate::rng::Stream;
use crate::time::Moment;

/// How hard to try.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Options {
    /// Seed of every random choice.
    pub seed: u64,
    /// Generations to make in all.
    pub generations: u64,
    /// A proven lower bound on the finish, to aim at and to stop at.
    pub bound: Option<Moment>,
}

/// What the search tells while it runs, and asks.
pub trait Watch {
    /// A better complete plan was found after so many generations.
    fn improved(&mut self, generation: u64, finish: Moment);
    /// Whether to stop now and keep the best plan so far.
    fn stop(&mut self) -> bool;
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
}

/// Plans a problem.
#[must_use]
pub fn solve(problem: &Problem, options: &Options, watch: &mut dyn Watch) -> Outcome {
    let ground = Ground::new(problem);
    let context = Arc::new(base::first_context(&ground));
    let mut effort = Effort::default();
    let mut best: Option<Found> = None;
    let mut stuck = None;
    let mut end = ground.slot_from(problem.end);
    let mut field = None;
    while best.is_none() && end <= ground.len {
        let tried = Field::new(&ground, context.clone(), end, options.bound.map(|b| ground.slot_from(b)));
        match tried.build(&tried.first_genes(), true, &mut effort) {
            Ok(found) => best = Some(found),
            Err(task) => stuck = Some(task.0),
        }
        field = Some(tried);
        if best.is_none() {
            let next = (end + usize::try_from(24 * 60 / ground.slot).unwrap_or(48)).min(ground.len);
            if next == end {
                break;
            }
            end = next;
        }
    }
    let (Some(field), Some(best)) = (field, best) else {
        return Outcome::Stuck(stuck.unwrap_or_else(|| problem.tasks.ids().next().expect("a problem without tasks is never stuck")));
    };
    improve(&field, best, options, watch, effort)
}

fn improve(field: &Field, first: Found, options: &Options, watch: &mut dyn Watch, mut effort: Effort) -> Outcome {
    let mut random = Stream::new(options.seed, 1);
    let mut best = first.clone();
    let mut current = first;
    watch.improved(0, current.state.moment(current.state.finish()));
    let mut generation = 0;
    let mut stopped = false;
    while generation < options.generations {
        if watch.stop() {
            stopped = true;
            break;
        }
        generation += 1;
        let genes = mutate(field, &current, &mut random);
        let Ok(next) = field.build(&genes, random.chance(300), &mut effort) else { continue };
        if better(&next, &best) {
            best = next.clone();
            watch.improved(generation, best.state.moment(best.state.finish()));
        }
        let slack = i64::try_from(random.below(4)).unwrap_or(0);
        if better(&next, &current) || next.distance <= current.distance + slack && next.score.0[..2] <= current.score.0[..2] {
            current = next;
        }
        if generation % 500 == 0 {
            current = best.clone();
        }
    }
    Outcome::Found(Solution { plan: best.state.plan(best.on_hand), generations: generation, attempts: effort.attempts, stopped })
}

/// The first context, for tests of single steps.
#[cfg(test)]
fn context_of(ground: &Ground) -> Context {
    base::first_context(ground)
}
