//! Questions asked of a plan about one person's hours: what is worked when, and who can be called.
//!
//! The answers come from the same facts and the same naive rest rules that plans are verified with. A plan
//! that breaks rules may be asked too: the record may have outrun it since it was made.

use crate::account::{Doing, What};
use crate::id::{DutyId, PersonId, TaskId, TurnId};
use crate::model::{Problem, RecordKind, Stop};
use crate::plan::Plan;
use crate::rest::{Finding, Timeline};
use crate::time::{Minutes, Moment, Span};
use crate::verify::breach::Breach;
use crate::verify::callable::Candidate;
use crate::verify::facts::Facts;
use crate::verify::{doing, rest, shape};

/// A plan with everything that follows from it for the hours of its people.
#[derive(Debug)]
pub struct Asked<'a> {
    facts: Facts<'a>,
}

/// What somebody stands or attends that a call may not touch.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Bound {
    /// A turn of his own.
    Turn(TurnId),
    /// A duty that may not be left.
    Duty(DutyId),
    /// Recorded work that reaches past the start of the plan, such as a call that is not over.
    Recorded(RecordKind),
}

/// Why somebody cannot be called.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Bar {
    /// Not aboard for all of the call; the stretch away.
    Away(Span),
    /// On watch, in a duty that may not be left or on another call when the call comes.
    Busy(Bound, Span),
    /// In a spell that may not stop there, pauses included.
    InSpell(TaskId, Span),
    /// A watch, a duty that may not be left or another call begins during the call.
    Begins(Bound, Span),
    /// The call breaks a rest rule that holds without it.
    Rest(Finding),
}

impl<'a> Asked<'a> {
    /// Sorts out `plan`, legal or not.
    ///
    /// # Errors
    /// The plan cannot be read as an answer to this problem at all; the breaches say why.
    pub fn new(problem: &'a Problem, plan: &'a Plan) -> Result<Self, Vec<Breach>> {
        let unreadable = shape::check(problem, plan);
        if unreadable.is_empty() { Ok(Self { facts: Facts::new(problem, plan) }) } else { Err(unreadable) }
    }

    /// From the start of the plan to its end.
    #[must_use]
    pub const fn time(&self) -> Span {
        self.facts.time
    }

    /// All time at work or on hand, the record included, to the end of the layout; joined, in time order.
    #[must_use]
    pub fn work(&self, person: PersonId) -> &[Span] {
        &self.facts.people[person].occupied
    }

    /// Time on tasks, joined, in time order.
    #[must_use]
    pub fn labour(&self, person: PersonId) -> &[Span] {
        &self.facts.people[person].labour
    }

    /// The rest timeline of `work` of a person: under his own rule set, with his named breaks, on ship's days.
    #[must_use]
    pub fn timeline(&self, person: PersonId, work: Vec<Span>) -> Timeline {
        rest::timeline(&self.facts, person, work)
    }

    /// What a person does from the start of the plan to its end, without gap or overlap.
    #[must_use]
    pub fn doings(&self, person: PersonId) -> Vec<Doing> {
        doing::stretches(&self.facts, person)
    }

    /// What a person does at `moment`; `None` outside the plan.
    #[must_use]
    pub fn doing_at(&self, person: PersonId, moment: Moment) -> Option<What> {
        self.doings(person).into_iter().find(|doing| doing.span.contains(moment)).map(|doing| doing.what)
    }

    /// Drills the person attends under the plan, in time order.
    #[must_use]
    pub fn drills(&self, person: PersonId) -> Vec<Span> {
        let own = &self.facts.people[person];
        let drill = |duty: &DutyId| self.facts.problem.duties[*duty].drill;
        let mut drills: Vec<Span> = own.attended.iter().chain(&own.along).filter(|(duty, _)| drill(duty)).map(|(_, span)| *span).collect();
        drills.sort_unstable();
        drills
    }

    /// Own turns, duties that may not be left and recorded work to come, to the end of the layout, in time order.
    #[must_use]
    pub fn bound(&self, person: PersonId) -> Vec<(Bound, Span)> {
        let own = &self.facts.people[person];
        let turns = own.turns.iter().map(|(turn, span)| (Bound::Turn(*turn), *span));
        let duties = own.attended.iter().filter(|(duty, _)| !self.facts.problem.duties[*duty].leavable);
        let recorded = own.recorded.iter().filter(|(kind, _)| kind.keeps_from_tasks()).map(|(kind, span)| (Bound::Recorded(*kind), *span));
        let duties = duties.map(|(duty, span)| (Bound::Duty(*duty), *span));
        let mut bound: Vec<(Bound, Span)> = turns.chain(duties).chain(recorded).collect();
        bound.sort_by_key(|(bound, span)| (*span, *bound));
        bound
    }

    /// Why `person` cannot be called at `at` for `length`; `None` where he can. Exactly the verifier's rule
    /// for the reserve, for any length of call; `at` is looked at for one slot.
    #[must_use]
    pub fn bar(&self, person: PersonId, at: Moment, length: Minutes) -> Option<Bar> {
        let slot = Span::of(at, self.facts.problem.grid.slot())?;
        let call = Span::of(at, length)?;
        let candidate = Candidate::new(&self.facts, person);
        if candidate.callable(slot, call) {
            return None;
        }
        let bound = self.bound(person);
        let away = self.facts.problem.people[person].away.iter().find(|away| away.overlaps(call)).map(|away| Bar::Away(*away));
        let busy = || bound.iter().find(|(_, span)| span.overlaps(slot)).map(|(bound, span)| Bar::Busy(*bound, *span));
        let in_spell = || self.spell_at(person, slot);
        let begins = || bound.iter().find(|(_, span)| call.contains(span.start())).map(|(bound, span)| Bar::Begins(*bound, *span));
        let rest = || candidate.new_finding(call).map(Bar::Rest);
        away.or_else(busy).or_else(in_spell).or_else(begins).or_else(rest)
    }

    /// The spell that may not stop in `slot`.
    fn spell_at(&self, person: PersonId, slot: Span) -> Option<Bar> {
        let holds = |task: TaskId| match self.facts.problem.tasks[task].stop {
            Stop::Any { .. } => false,
            Stop::Parts(_) | Stop::Never => true,
        };
        let spells = self.facts.people[person].spells.iter();
        spells.filter(|s| holds(s.task)).find(|s| s.span().overlaps(slot)).map(|s| Bar::InSpell(s.task, s.span()))
    }
}
