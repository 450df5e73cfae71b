//! Classes of people who are the same to the model.

use std::collections::BTreeMap;

use crate::calendar::{People, State, busy};
use crate::id::{CompetenceId, PersonId};
use crate::model::Problem;
use crate::time::Span;

/// People with the same competences, calendar, caps, rest rules and busy time. Never anybody else: a class
/// of mixed people could do what none of them can.
#[derive(Clone, Debug)]
pub(super) struct Class {
    /// Its members, in id order.
    pub(super) members: Vec<PersonId>,
}

impl Class {
    /// One member to ask for what all have in common.
    pub(super) fn one(&self) -> PersonId {
        self.members[0]
    }

    /// How many they are.
    pub(super) fn size(&self) -> i64 {
        super::ground::int(self.members.len())
    }
}

/// All classes, by their first member.
pub(super) fn all(problem: &Problem, people: &People) -> Vec<Class> {
    type Likeness = (Vec<CompetenceId>, Vec<State>, Option<i32>, Option<u32>, usize, Vec<Span>);
    let mut classes: BTreeMap<Likeness, Vec<PersonId>> = BTreeMap::new();
    for (id, person) in problem.people.pairs() {
        let states = (0..people.range().len()).map(|i| people.state(id, i)).collect();
        let likeness: Likeness = (
            person.competences.clone(),
            states,
            person.job_cap.map(crate::time::Minutes::get),
            person.evenings,
            crate::id::Id::index(person.rest),
            busy(problem, id),
        );
        classes.entry(likeness).or_default().push(id);
    }
    let mut classes: Vec<Class> = classes.into_values().map(|members| Class { members }).collect();
    classes.sort_by_key(Class::one);
    classes
}
