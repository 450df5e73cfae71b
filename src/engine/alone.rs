//! Each task by itself: when it could run if no other task wanted anybody or anything.

use super::ground::{Ground, Shape};
use super::state::State;
use crate::bits::Bits;
use crate::id::{IdVec, PersonId, TaskId};

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

/// The slots in which a team for one task could be at work, and the runs of them.
fn row(base: &State, id: TaskId) -> (Bits, Vec<u16>) {
    let ground = base.ground;
    let task = &ground.tasks[id];
    let mut run = vec![u16::MAX; ground.len];
    run[base.end..].fill(0);
    if !task.emergency {
        // The longest run each need allows by one person; the least of them bounds the team.
        let mut longest = vec![0_u16; base.end];
        for need in &task.needs {
            longest.fill(0);
            for person in &need.holders {
                longest.iter_mut().zip(&base.people[*person].run).for_each(|(most, run)| *most = (*most).max(*run));
            }
            run.iter_mut().zip(&longest).for_each(|(least, run)| *least = (*least).min(*run));
        }
    }
    let mut bits = Bits::none(ground.len);
    let mut next = 0_u16;
    for s in (0..base.end).rev() {
        next = if base.allowed[id].has(s) { run[s].min(next.saturating_add(1)) } else { 0 };
        run[s] = next;
        if next > 0 {
            bits.insert(s);
        }
    }
    (bits, run)
}

impl Alone {
    /// Works it out on a state with no task placed.
    pub(super) fn new(base: &State) -> Self {
        let ground = base.ground;
        let rows: Vec<(Bits, Vec<u16>)> = ground.tasks.ids().map(|t| row(base, t)).collect();
        let (teams, runs): (Vec<Bits>, Vec<Vec<u16>>) = rows.into_iter().unzip();
        Self { teams: teams.into(), runs: runs.into(), earliest_end: IdVec::new() }.with_ends(base)
    }

    /// The same where only the hours of `changed` are others.
    pub(super) fn changed(&self, base: &State, changed: &[PersonId]) -> Self {
        let mut alone = self.clone();
        for (id, task) in base.ground.tasks.pairs() {
            if task.needs.iter().any(|n| n.holders.iter().any(|p| changed.contains(p))) {
                (alone.teams[id], alone.runs[id]) = row(base, id);
            }
        }
        alone.with_ends(base)
    }

    fn with_ends(self, base: &State) -> Self {
        let ground = base.ground;
        let mut alone = Self { earliest_end: IdVec::filled(0, ground.tasks.len()), ..self };
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

    /// How many slots in a row, from `slot` on, a team could be at a task.
    pub(super) fn run(&self, task: TaskId, slot: usize) -> usize {
        usize::from(self.runs[task][slot])
    }

    /// The earliest end of a task that starts at or after `from`; `None` where it does not fit at all.
    pub(super) fn forward(&self, ground: &Ground, task: TaskId, from: usize) -> Option<usize> {
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
