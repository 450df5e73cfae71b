//! A plan: who does what, when. A value with no behaviour; nothing here says it is legal.

use crate::id::{DutyId, IdVec, PersonId, TaskId, TurnId};
use crate::time::{Moment, Span};

/// A complete answer to a [`crate::model::Problem`].
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Plan {
    /// All spells of all tasks, sorted by start, then task, then part.
    pub spells: Vec<Spell>,
    /// Who stands each turn of the problem, open turns included.
    pub turns: IdVec<TurnId, PersonId>,
    /// When each duty is done; fixed duties included.
    pub duties: IdVec<DutyId, Moment>,
    /// Time on hand: free ordinary time that is neither work nor rest, sorted by person, then start;
    /// apart for one person. Time between two pieces of work of one working stretch need not be listed
    /// (it is on hand whether listed or not); what is listed may reach over it.
    pub on_hand: Vec<OnHand>,
}

/// One unbroken stretch of one task by one team (a named break may pause it).
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Spell {
    /// When the team is at work: pieces on the slot grid, in time order. More than one piece only where a
    /// named break pauses the spell in between.
    pub work: Vec<Span>,
    /// The task.
    pub task: TaskId,
    /// Which part of the task, from 0; always 0 for tasks that are not done in parts.
    pub part: u32,
    /// One person for each position in the task's `needs`, in that order; empty for a task without people.
    pub team: Vec<PersonId>,
}

impl Spell {
    /// From the first minute to the last, pauses included.
    ///
    /// # Panics
    /// If the spell has no piece of work; builders of spells see to it that it has.
    #[must_use]
    pub fn span(&self) -> Span {
        let first = self.work.first().expect("a spell has work in it");
        let last = self.work.last().expect("a spell has work in it");
        first.hull(*last)
    }
}

/// A stretch in which a person is on hand from turning to or until knocking off.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct OnHand {
    /// Who.
    pub person: PersonId,
    /// From when to when.
    pub span: Span,
}
