//! Each task by itself: when it could run if no other task wanted anybody or anything.

use std::sync::Arc;

use super::ground::{Ground, Shape};
use super::state::State;
use crate::bits::Bits;
use crate::id::{IdVec, PersonId, TaskId};

/// When tasks could run by themselves, in one context.
#[derive(Clone, Debug)]
pub(super) struct Alone {
    /// Tasks that want the same people at the same times share an opening.
    openings: IdVec<TaskId, Arc<Opening>>,
    /// Earliest end through everything before it.
    pub(super) earliest_end: IdVec<TaskId, usize>,
}

/// When a team for a task could be at work.
#[derive(Debug)]
struct Opening {
    /// The slots in which it could.
    teams: Bits,
    /// From each slot on, how many in a row (each need by somebody, all through).
    runs: Vec<u16>,
}

/// Openings in the making.
struct Openings<'s, 'g> {
    base: &'s State<'g>,
    /// Those known, each with a task that has it.
    known: Vec<(TaskId, Arc<Opening>)>,
    /// For people who may fill a need, the longest run that one of them has from each slot on.
    longest: Vec<(&'g [PersonId], Vec<u16>)>,
}

impl<'s, 'g> Openings<'s, 'g> {
    const fn new(base: &'s State<'g>) -> Self {
        Self { base, known: Vec::new(), longest: Vec::new() }
    }

    fn of(&mut self, id: TaskId) -> Arc<Opening> {
        let (tasks, allowed) = (&self.base.ground.tasks, &self.base.allowed);
        let task = &tasks[id];
        let alike = |other: TaskId| {
            let (holders, others) = (task.needs.iter().map(|n| &n.holders), tasks[other].needs.iter().map(|n| &n.holders));
            task.emergency == tasks[other].emergency && holders.eq(others) && allowed[id] == allowed[other]
        };
        if let Some((_, known)) = self.known.iter().find(|(other, _)| alike(*other)) {
            return known.clone();
        }
        let opening = Arc::new(self.found(id));
        self.known.push((id, opening.clone()));
        opening
    }

    fn found(&mut self, id: TaskId) -> Opening {
        let base = self.base;
        let ground = base.ground;
        let task = &ground.tasks[id];
        let mut runs = vec![u16::MAX; ground.len];
        runs[base.end..].fill(0);
        if !task.emergency {
            // The longest run each need allows by one person; the least of them bounds the team.
            for need in &task.needs {
                let longest = self.longest(&need.holders);
                runs.iter_mut().zip(longest).for_each(|(least, run)| *least = (*least).min(*run));
            }
        }
        let mut teams = Bits::none(ground.len);
        let mut next = 0_u16;
        for s in (0..base.end).rev() {
            next = if base.allowed[id].has(s) { runs[s].min(next.saturating_add(1)) } else { 0 };
            runs[s] = next;
            if next > 0 {
                teams.insert(s);
            }
        }
        Opening { teams, runs }
    }

    fn longest(&mut self, holders: &'g [PersonId]) -> &[u16] {
        let known = self.longest.iter().position(|(known, _)| *known == holders);
        let place = known.unwrap_or_else(|| {
            let mut longest = vec![0_u16; self.base.end];
            for person in holders {
                longest.iter_mut().zip(&self.base.people[*person].run).for_each(|(most, run)| *most = (*most).max(*run));
            }
            self.longest.push((holders, longest));
            self.longest.len() - 1
        });
        &self.longest[place].1
    }
}

impl Alone {
    /// Works it out on a state with no task placed.
    pub(super) fn new(base: &State) -> Self {
        let mut openings = Openings::new(base);
        let openings = base.ground.tasks.ids().map(|t| openings.of(t)).collect();
        Self { openings, earliest_end: IdVec::new() }.with_ends(base)
    }

    /// The same where only the hours of `changed` are others.
    pub(super) fn changed(&self, base: &State, changed: &[PersonId]) -> Self {
        let mut alone = self.clone();
        let mut openings = Openings::new(base);
        for (id, task) in base.ground.tasks.pairs() {
            if task.needs.iter().any(|n| n.holders.iter().any(|p| changed.contains(p))) {
                alone.openings[id] = openings.of(id);
            }
        }
        alone.with_ends(base)
    }

    /// Slots in which a team for a task could be at work.
    pub(super) fn teams(&self, task: TaskId) -> &Bits {
        &self.openings[task].teams
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
        if end <= from { 0 } else { i64::try_from(self.openings[task].teams.count_range(from, end)).unwrap_or(i64::MAX) }
    }

    /// How many slots in a row, from `slot` on, a team could be at a task.
    pub(super) fn run(&self, task: TaskId, slot: usize) -> usize {
        usize::from(self.openings[task].runs[slot])
    }

    /// The earliest end of a task that starts at or after `from`; `None` where it does not fit at all.
    pub(super) fn forward(&self, ground: &Ground, task: TaskId, from: usize) -> Option<usize> {
        let length = ground.tasks[task].length;
        let teams = &self.openings[task].teams;
        let by_slots = || if length == 0 { Some(from) } else { teams.nth(from, length).map(|last| last + 1) };
        match &ground.tasks[task].shape {
            Shape::Any(_) if !ground.tasks[task].needs.is_empty() => by_slots(),
            Shape::Any(_) => self.run_forward(task, length, from),
            Shape::Chunks(lengths) if !ground.tasks[task].pauses => {
                lengths.iter().try_fold(from, |at, length| self.run_forward(task, *length, at))
            }
            // A pause may cut a part, so only the sum of slots is sure.
            Shape::Chunks(_) => by_slots(),
        }
    }

    fn run_forward(&self, task: TaskId, length: usize, from: usize) -> Option<usize> {
        let runs = &self.openings[task].runs;
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
        let by_slots = || self.teams(task).nth_back(to, length);
        let by_run = |to: usize, length: usize| {
            let runs = &self.openings[task].runs;
            (0..=to.checked_sub(length)?).rev().find(|s| usize::from(runs[*s]) >= length)
        };
        match &ground.tasks[task].shape {
            Shape::Any(_) if ground.tasks[task].needs.is_empty() => by_run(to, length),
            Shape::Chunks(lengths) if !ground.tasks[task].pauses => lengths.iter().rev().try_fold(to, |to, length| by_run(to, *length)),
            Shape::Any(_) | Shape::Chunks(_) => by_slots(),
        }
    }
}
