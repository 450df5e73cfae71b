//! From a complete state to a plan.

use super::ground::Shape;
use super::state::{Chunk, State};
use crate::id::{PersonId, TaskId};
use crate::plan::{OnHand, Plan, Spell};
use crate::time::Span;

impl State<'_> {
    /// The plan of a state in which every task is placed.
    pub(super) fn plan(&self, on_hand: Vec<OnHand>) -> Plan {
        let mut spells: Vec<Spell> = self.placed.pairs().flat_map(|(task, chunks)| self.spells(task, chunks)).collect();
        spells.sort_by(|a, b| (a.work[0].start(), a.task, a.part).cmp(&(b.work[0].start(), b.task, b.part)));
        Plan { spells, turns: self.context.turns.clone(), duties: self.context.duties.clone(), on_hand }
    }

    /// For each chunk of a task, whether it goes on with the spell of the plan that the one before it is in: by one team
    /// without a gap, in one working stretch of each, and not paused for too long in all. What is done in parts never does.
    pub(super) fn go_on_with_spell<'a>(&'a self, task: TaskId, chunks: &'a [Chunk]) -> impl Iterator<Item = bool> + 'a {
        let ground = self.ground;
        let row = &ground.tasks[task];
        let parts = matches!(row.shape, Shape::Chunks(_));
        let one_stretch = move |person: &PersonId, slot: usize| {
            let stretch = &ground.people[*person].stretch;
            row.emergency || stretch[slot - 1] == stretch[slot]
        };
        let mut paused = 0;
        chunks.iter().enumerate().map(move |(index, chunk)| {
            let last = index.checked_sub(1).map(|last| &chunks[last]);
            let goes_on = last.is_some_and(|last| {
                let touches = last.team == chunk.team && last.end() == chunk.start();
                let one = || chunk.team.iter().all(|person| one_stretch(person, chunk.start()));
                !parts && touches && paused + chunk.paused() <= ground.most_paused() && one()
            });
            paused = if goes_on { paused } else { 0 } + chunk.paused();
            goes_on
        })
    }

    fn spells(&self, task: TaskId, chunks: &[Chunk]) -> Vec<Spell> {
        let ground = self.ground;
        let parts = matches!(ground.tasks[task].shape, Shape::Chunks(_));
        let mut spells: Vec<Spell> = Vec::new();
        for ((index, chunk), joins) in chunks.iter().enumerate().zip(self.go_on_with_spell(task, chunks)) {
            let work: Vec<Span> = chunk.pieces.iter().map(|(a, b)| ground.span(*a, *b)).collect();
            if let Some(last) = spells.last_mut().filter(|_| joins) {
                let end = last.work.len() - 1;
                last.work[end] = last.work[end].hull(work[0]);
                last.work.extend(&work[1..]);
                continue;
            }
            let part = if parts { u32::try_from(index).unwrap_or(u32::MAX) } else { 0 };
            spells.push(Spell { work, task, part, team: chunk.team.clone() });
        }
        spells
    }
}

#[cfg(test)]
mod tests;
