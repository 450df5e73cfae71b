//! Each task by itself: when it could run if no other task wanted anybody or anything.

use super::ground::{Ground, Shape};
use super::state::State;
use crate::bits::Bits;
use crate::id::{IdVec, TaskId};

/// When tasks could run by themselves, in one context.
#[derive(Clone, Debug)]
pub(super) struct Alone {
    /// Slots in which a team could be at work.
    pub(super) teams: IdVec<TaskId, Bits>,
    /// From here on, how many slots in a row a team could be at work (each need by somebody, all through).
    runs: IdVec<TaskId, Vec<u16>>,
    /// Earliest end through everything before it.
    pub(super) earliest_end: IdVec<TaskId, usize>,
}

impl Alone {
    /// Works it out on a state with no task placed.
    pub(super) fn new(base: &State) -> Self {
        let ground = base.ground;
        let mut teams = IdVec::new();
        let mut runs: IdVec<TaskId, Vec<u16>> = IdVec::new();
        for (id, task) in ground.tasks.pairs() {
            let mut run = vec![0_u16; ground.len];
            let mut bits = Bits::none(ground.len);
            for s in (0..base.end).rev() {
                if !base.allowed[id].has(s) {
                    continue;
                }
                // The longest run each need allows by one person; the least of them bounds the team.
                let least = task.needs.iter().map(|n| n.holders.iter().map(|p| base.people[*p].run[s]).max().unwrap_or(0)).min();
                let own = match least {
                    Some(least) if !task.emergency => least,
                    _ => u16::MAX,
                };
                let next = if s + 1 < base.end { run[s + 1] } else { 0 };
                run[s] = own.min(next.saturating_add(1));
                if run[s] > 0 {
                    bits.insert(s);
                }
            }
            teams.push(bits);
            runs.push(run);
        }
        let mut alone = Self { teams, runs, earliest_end: IdVec::filled(0, ground.tasks.len()) };
        for id in ground.problem.order() {
            let from = ground.tasks[*id].after.iter().map(|(t, lag)| alone.earliest_end[*t] + lag).max().unwrap_or(0);
            let from = from.max(ground.tasks[*id].start.unwrap_or(0));
            alone.earliest_end[*id] = alone.forward(ground, *id, from).unwrap_or(base.end);
        }
        alone
    }

    /// In how many slots a team could be at work from the earliest end of a task to slot `end`.
    pub(super) fn delay(&self, task: TaskId, end: usize) -> i64 {
        let from = self.earliest_end[task];
        if end <= from { 0 } else { i64::try_from(self.teams[task].count_range(from, end)).unwrap_or(i64::MAX) }
    }

    /// The earliest end of a task that starts at or after `from`; `None` where it does not fit at all.
    fn forward(&self, ground: &Ground, task: TaskId, from: usize) -> Option<usize> {
        let length = ground.tasks[task].length;
        let teams = &self.teams[task];
        match &ground.tasks[task].shape {
            Shape::Any(_) if !ground.tasks[task].needs.is_empty() => {
                let mut at = from;
                for _ in 0..length {
                    at = teams.next(at)? + 1;
                }
                Some(at)
            }
            Shape::Any(_) => self.run_forward(task, length, from),
            Shape::Chunks(lengths) if !ground.tasks[task].pauses => {
                lengths.iter().try_fold(from, |at, length| self.run_forward(task, *length, at))
            }
            // A pause may cut a part, so only the sum of slots is sure.
            Shape::Chunks(_) => {
                let mut at = from;
                for _ in 0..length {
                    at = teams.next(at)? + 1;
                }
                Some(at)
            }
        }
    }

    fn run_forward(&self, task: TaskId, length: usize, from: usize) -> Option<usize> {
        let runs = &self.runs[task];
        (from..runs.len()).find(|s| usize::from(runs[*s]) >= length).map(|s| s + length)
    }

    /// Where every task is asked to end by the slot in `latest`: the latest end of every task through
    /// everything after it. 0 where it does not fit.
    pub(super) fn latest_ends(&self, ground: &Ground, mut latest: IdVec<TaskId, usize>) -> IdVec<TaskId, usize> {
        for id in ground.problem.order().iter().rev() {
            let to = latest[*id];
            let start = ground.tasks[*id].start.or_else(|| self.backward(ground, *id, to));
            for (before, lag) in &ground.tasks[*id].after {
                let limit = start.map_or(0, |s| s.saturating_sub(*lag));
                latest[*before] = latest[*before].min(limit);
            }
        }
        latest
    }

    fn backward(&self, ground: &Ground, task: TaskId, to: usize) -> Option<usize> {
        let length = ground.tasks[task].length;
        let by_slots = |teams: &Bits| {
            let mut left = length;
            (0..to).rev().find(|s| {
                left -= usize::from(teams.has(*s));
                left == 0
            })
        };
        let by_run = |to: usize, length: usize| {
            let runs = &self.runs[task];
            (0..=to.checked_sub(length)?).rev().find(|s| usize::from(runs[*s]) >= length)
        };
        match &ground.tasks[task].shape {
            Shape::Any(_) if ground.tasks[task].needs.is_empty() => by_run(to, length),
            Shape::Chunks(lengths) if !ground.tasks[task].pauses => lengths.iter().rev().try_fold(to, |to, length| by_run(to, *length)),
            Shape::Any(_) | Shape::Chunks(_) => by_slots(&self.teams[task]),
        }
    }
}
