//! From a complete state to a plan.

use super::ground::Shape;
use super::state::{Chunk, State};
use crate::id::TaskId;
use crate::plan::{OnHand, Plan, Spell};
use crate::time::Span;

impl State<'_> {
    /// The plan of a state in which every task is placed.
    pub(super) fn plan(&self, on_hand: Vec<OnHand>) -> Plan {
        let mut spells: Vec<Spell> = self.placed.pairs().flat_map(|(task, chunks)| self.spells(task, chunks)).collect();
        spells.sort_by(|a, b| (a.work[0].start(), a.task, a.part).cmp(&(b.work[0].start(), b.task, b.part)));
        Plan { spells, turns: self.context.turns.clone(), duties: self.context.duties.clone(), on_hand }
    }

    /// Whether two chunks of a task that follow one another are one spell of the plan: of one team without a gap, unless
    /// the task is done in parts.
    pub(super) fn one_spell(&self, task: TaskId, first: &Chunk, next: &Chunk) -> bool {
        let parts = matches!(self.ground.tasks[task].shape, Shape::Chunks(_));
        !parts && first.team == next.team && first.end() == next.start()
    }

    fn spells(&self, task: TaskId, chunks: &[Chunk]) -> Vec<Spell> {
        let ground = self.ground;
        let parts = matches!(ground.tasks[task].shape, Shape::Chunks(_));
        let mut spells: Vec<Spell> = Vec::new();
        for (index, chunk) in chunks.iter().enumerate() {
            let work: Vec<Span> = chunk.pieces.iter().map(|(a, b)| ground.span(*a, *b)).collect();
            let joins = index > 0 && self.one_spell(task, &chunks[index - 1], chunk);
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
