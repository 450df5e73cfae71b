//! What is decided before tasks are placed: who stands open turns, when movable duties are done, which
//! evenings are open for overtime.

use crate::id::{DutyId, IdVec, PersonId, TurnId};
use crate::model::{Duty, OnWatch, Parts, When};
use crate::time::{Moment, Span};

/// The decisions that come before the tasks.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Context {
    /// Who stands each turn.
    pub(super) turns: IdVec<TurnId, PersonId>,
    /// When each duty starts.
    pub(super) duties: IdVec<DutyId, Moment>,
    /// Per person and ship's day (counted from 0), how many of its overtime slots may be used, earliest first.
    pub(super) overtime: IdVec<PersonId, Vec<u16>>,
}

/// The time a duty takes when it starts at `start`.
pub(super) fn duty_span(duty: &Duty, start: Moment) -> Span {
    match duty.when {
        When::Fixed(span) => span,
        When::Movable { length, .. } => Span::of(start, length).expect("a movable duty has a positive length"),
    }
}

/// The own turns of a person, in the order of the table.
pub(super) fn turns_of(parts: &Parts, turns: &IdVec<TurnId, PersonId>, person: PersonId) -> Vec<Span> {
    turns.pairs().filter(|(_, p)| **p == person).map(|(t, _)| parts.turns[t].span).collect()
}

/// When a person attends a duty, time on watch left out where the duty allows it.
pub(super) fn attendance(duty: &Duty, span: Span, turns: &[Span]) -> Vec<Span> {
    match duty.on_watch {
        OnWatch::Clash => vec![span],
        OnWatch::Excused | OnWatch::DoneOnWatch => span.without(turns),
    }
}
