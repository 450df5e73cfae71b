//! Two plans made one: up to some task in the order of the one, from there on in the order of the other.

use std::collections::BTreeSet;

use super::field::Found;
use super::serial::{Genes, Steer};
use crate::id::TaskId;
use crate::rng::Stream;

/// The course of a plan: in which order its tasks were placed, and what steered that.
#[derive(Clone, Debug)]
pub(super) struct Course {
    pub(super) order: Vec<TaskId>,
    pub(super) genes: Genes,
}

impl Course {
    pub(super) fn of(plan: &Found) -> Self {
        Self { order: plan.sequence.clone(), genes: plan.genes.clone() }
    }

    /// Begins as the one and goes on as the other. Each order keeps tasks after what they come after, and so does what
    /// is made of both. Tasks of the part that is taken over are done by whom `other` would have; they begin no sooner
    /// than there. Both have the same tasks, at least one.
    pub(super) fn crossed(mut self, other: &Self, random: &mut Stream) -> Self {
        let cut = 1 + random.below(self.order.len().saturating_sub(1).max(1));
        let own_first = random.chance(500);
        let (head, tail) = if own_first { (&self.order, &other.order) } else { (&other.order, &self.order) };
        let head = &head[..cut];
        let placed: BTreeSet<TaskId> = head.iter().copied().collect();
        let tail: Vec<TaskId> = tail.iter().copied().filter(|task| !placed.contains(task)).collect();
        for task in if own_first { &tail[..] } else { head } {
            let as_told = self.genes.tasks[*task].as_told;
            self.genes.tasks[*task] = Steer { as_told, ..other.genes.tasks[*task].clone() };
        }
        self.order = [head, &tail[..]].concat();
        self
    }
}

#[cfg(test)]
mod tests;
