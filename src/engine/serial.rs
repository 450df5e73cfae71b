//! Serial generation: tasks one after the other, each as early (or as late) as it fits.

use std::sync::Arc;

use super::field::Found;
use super::ground::Ground;
use super::place::{Effort, Way};
use super::state::State;
use super::team::Costs;
use crate::id::{IdVec, TaskId, ToolId};

/// What steers a generation: whose turn it is, and who is taken for it.
#[derive(Clone, Debug)]
pub(super) struct Genes {
    /// Of the tasks that can be placed, the one with the smallest key is placed next; ties by id.
    pub(super) keys: IdVec<TaskId, i64>,
    /// How each task is placed when it is its turn.
    pub(super) tasks: IdVec<TaskId, Steer>,
}

/// How one task is placed.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Steer {
    /// Who is wanted for it.
    pub(super) costs: Arc<Costs>,
    /// Whether it is first tried when and by whom people were told.
    pub(super) as_told: bool,
    /// The slot before which it does not begin, though it could.
    pub(super) from: usize,
    /// The most slots of one spell, where it may stop anywhere.
    pub(super) longest: usize,
}

impl Genes {
    /// Gives tasks keys in the order they are in.
    pub(super) fn keep(&mut self, order: &[TaskId]) {
        for (place, task) in order.iter().enumerate() {
            self.keys[*task] = i64::try_from(place).unwrap_or(i64::MAX);
        }
    }
}

impl Steer {
    /// As soon as can be, in spells as long as can be, by whom `costs` has it.
    pub(super) fn by(costs: Costs) -> Self {
        Self { costs: Arc::new(costs), as_told: false, from: 0, longest: usize::MAX }
    }
}

/// A task that found no place.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Stuck(pub(super) TaskId);

impl State<'_> {
    /// Places every task. Forward: none before what it comes after. Backward: none after what comes after it.
    ///
    /// As long as the same tasks come in the same order, steered the same, as in `parent`, a plan made forward from
    /// the same base, they come out as there and are taken from there; and again once the same tasks are placed the same.
    /// Returns the order in which tasks were placed.
    ///
    /// # Errors
    /// The task that found no place before the end of the plan (after its start), or after which `goes_on` said no;
    /// the state is then useless.
    pub(super) fn generate(
        &mut self,
        genes: &Genes,
        way: Way,
        parent: Option<&Found>,
        mut goes_on: impl FnMut(&Self, TaskId) -> bool,
        effort: &mut Effort,
    ) -> Result<Vec<TaskId>, Stuck> {
        let ground = self.ground;
        // First spells that leave no choice of time are steered before all else.
        let steered = |p: &&Found| ground.anchored.iter().all(|t| p.genes.tasks[*t] == genes.tasks[*t]);
        let mut beside = parent.filter(steered).map(Beside::new);
        let mut sequence = Vec::with_capacity(ground.tasks.len());
        self.begin(genes, way, effort)?;
        let mut waiting: IdVec<TaskId, usize> = ground
            .tasks
            .iter()
            .map(|t| match way {
                Way::Forward => t.after.len(),
                Way::Backward => t.before.len(),
            })
            .collect();
        let mut ready: Vec<TaskId> = waiting.pairs().filter(|(_, n)| **n == 0).map(|(id, _)| id).collect();
        while !ready.is_empty() {
            let task = ready.swap_remove(self.next_of(&ready, genes, way));
            let steer = &genes.tasks[task];
            let same = |p: &&Found| p.sequence[sequence.len()] == task && p.genes.tasks[task] == *steer;
            if let Some(parent) = beside.as_ref().and_then(Beside::meets).filter(same) {
                self.repeat(task, &parent.state.placed[task], effort);
            } else {
                let held = if way == Way::Forward { steer.from } else { 0 };
                let (from, to) = self.window(task, way);
                if way == Way::Forward && steer.as_told {
                    self.place_as_told(task, from.max(held), to, effort);
                }
                let (from, to) = self.window(task, way);
                let from = from.max(held);
                if from > to || !self.place(task, from, to, way, steer, effort) {
                    return Err(Stuck(task));
                }
            }
            if !goes_on(self, task) {
                return Err(Stuck(task));
            }
            beside = beside.and_then(|beside| beside.place(self, task, sequence.len()));
            sequence.push(task);
            for (other, _) in unlocked(ground, task, way) {
                waiting[*other] -= 1;
                if waiting[*other] == 0 {
                    ready.push(*other);
                }
            }
        }
        Ok(sequence)
    }

    /// Whose turn it is among those that are ready. A task that wants a tool somebody holds open-ended has to wait until the
    /// hold is closed.
    fn next_of(&self, ready: &[TaskId], genes: &Genes, way: Way) -> usize {
        let key = |place: usize| (genes.keys[ready[place]], ready[place]);
        let mut first: Option<usize> = None;
        for (place, task) in ready.iter().enumerate() {
            if first.is_none_or(|first| key(place) < key(first)) && !self.held_up(*task, way) {
                first = Some(place);
            }
        }
        first.or_else(|| (0..ready.len()).min_by_key(|place| key(*place))).unwrap_or(0)
    }

    /// Places what leaves no choice of time: first spells that have to start at a slot, and tools held from the
    /// start on.
    fn begin(&mut self, genes: &Genes, way: Way, effort: &mut Effort) -> Result<(), Stuck> {
        let ground = self.ground;
        if way == Way::Forward {
            for hold in &ground.held {
                if !self.hold(*hold, 0, self.end) {
                    return Err(Stuck(ground.problem.holds[*hold].empty));
                }
            }
        }
        for task in &ground.anchored {
            if !self.begin_at(*task, way, &genes.tasks[*task], effort) {
                return Err(Stuck(*task));
            }
        }
        Ok(())
    }

    /// Places the spells of a task that people were told, as far as they still can be.
    fn place_as_told(&mut self, task: TaskId, from: usize, to: usize, effort: &mut Effort) {
        let ground = self.ground;
        let Some(told) = &ground.told else { return };
        for chunk in &told.chunks[task] {
            if !self.place_exactly(task, chunk, from, to, effort) {
                return;
            }
        }
    }

    /// Between which slots a task may lie, as far as placed neighbours say.
    pub(super) fn window(&self, task: TaskId, way: Way) -> (usize, usize) {
        let ground = &self.ground.tasks[task];
        let from = ground.after.iter().filter_map(|(t, lag)| self.end_of(*t).map(|e| e + lag)).max().unwrap_or(0);
        let starts = ground.before.iter().filter_map(|(t, lag)| self.start_of(*t).map(|s| s.checked_sub(*lag)));
        let to = starts.into_iter().try_fold(self.end, |to, s| s.map(|s| to.min(s)));
        // Backward, what comes before is placed later; only its first spells may be there already.
        let from = if way == Way::Forward { from } else { 0 };
        // What is held is emptied while the tool is still there.
        let emptied = |hold: &usize| {
            let filled = self.ground.problem.holds[*hold].fill.map_or(Some(0), |fill| self.start_of(fill));
            filled.map(|filled| self.there_until(*hold, filled))
        };
        let there = ground.empties.iter().filter(|_| way == Way::Forward).filter_map(emptied).min();
        to.map_or((1, 0), |to| (from, there.map_or(to, |there| to.min(there))))
    }

    /// Whether an open-ended hold keeps a tool from the task for good.
    fn held_up(&self, task: TaskId, way: Way) -> bool {
        let ground = self.ground;
        let task = &ground.tasks[task];
        // The last slot in which so many are there, or the first.
        let free = |tool: ToolId, number: u16| {
            let mut there = ground.tools[tool][..self.end].iter();
            let edge = match way {
                Way::Forward => there.rposition(|there| *there >= number),
                Way::Backward => there.position(|there| *there >= number),
            };
            edge.map_or(0, |edge| self.tools[tool][edge])
        };
        let begun = match way {
            Way::Forward => &task.fills,
            Way::Backward => &task.empties,
        };
        let held = begun.iter().any(|h| {
            let (tool, number) = ground.held(*h);
            free(tool, number) < number
        });
        held || task.tools.iter().any(|(tool, number)| free(*tool, *number) < *number)
    }
}

/// A generation under way beside the plan it was changed from.
struct Beside<'p, 'g> {
    parent: &'p Found<'g>,
    /// Tasks placed by now in one of the two only.
    apart: IdVec<TaskId, bool>,
    number: usize,
}

impl<'p, 'g> Beside<'p, 'g> {
    fn new(parent: &'p Found<'g>) -> Self {
        Self { parent, apart: IdVec::filled(false, parent.sequence.len()), number: 0 }
    }

    /// The parent, where the same tasks are placed in both.
    fn meets(&self) -> Option<&'p Found<'g>> {
        (self.number == 0).then_some(self.parent)
    }

    /// Counts `task`, placed now after `before` others; `None` once a task lies elsewhere than in the parent: the two meet
    /// no more.
    fn place(mut self, state: &State, task: TaskId, before: usize) -> Option<Self> {
        for task in [task, self.parent.sequence[before]] {
            let apart = &mut self.apart[task];
            *apart = !*apart;
            if *apart {
                self.number += 1;
            } else {
                self.number -= 1;
                if state.placed[task] != self.parent.state.placed[task] {
                    return None;
                }
            }
        }
        Some(self)
    }
}

/// Whether `genes` take another course than those that made `parent`: another order, or other people wanted for a task.
pub(super) fn differ(genes: &Genes, parent: &Found) -> bool {
    let ground = parent.field.base.ground;
    let mut waiting: IdVec<TaskId, usize> = ground.tasks.iter().map(|t| t.after.len()).collect();
    let mut ready: Vec<TaskId> = waiting.pairs().filter(|(_, n)| **n == 0).map(|(id, _)| id).collect();
    let old = &parent.genes;
    for task in &parent.sequence {
        if genes.tasks[*task] != old.tasks[*task] {
            return true;
        }
        // What had a smaller key before and did not come was held up.
        let now = (genes.keys[*task], *task);
        let then = (old.keys[*task], *task);
        if ready.iter().any(|r| (genes.keys[*r], *r) < now && (old.keys[*r], *r) > then) {
            return true;
        }
        ready.retain(|r| r != task);
        for (other, _) in unlocked(ground, *task, Way::Forward) {
            waiting[*other] -= 1;
            if waiting[*other] == 0 {
                ready.push(*other);
            }
        }
    }
    false
}

/// What a placed task unlocks, each with the wait between.
fn unlocked<'g>(ground: &'g Ground, task: TaskId, way: Way) -> &'g [(TaskId, usize)] {
    match way {
        Way::Forward => &ground.tasks[task].before,
        Way::Backward => &ground.tasks[task].after,
    }
}
