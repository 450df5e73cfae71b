//! Who alone holds a competence that is still needed.

use crate::id::{CompetenceId, PersonId, TaskId};
use crate::model::Problem;
use crate::time::Span;

/// One person who alone can do some of what is left.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Sole {
    /// Who.
    pub person: PersonId,
    /// What nobody else aboard holds.
    pub competence: CompetenceId,
    /// The tasks that need it, in table order.
    pub tasks: Vec<TaskId>,
}

/// Everybody who alone holds a competence that tasks of `problem` need, by competence. Who is away for all of the
/// job counts as not there.
#[must_use]
pub fn sole_holders(problem: &Problem) -> Vec<Sole> {
    let job = Span::new(problem.start, problem.end);
    let there = |person: &PersonId| job.is_none_or(|job| !problem.people[*person].away.iter().any(|away| away.covers(job)));
    let mut found = Vec::new();
    for competence in problem.competences.ids() {
        let tasks: Vec<TaskId> = problem.tasks.pairs().filter(|(_, t)| t.needs.contains(&competence)).map(|(id, _)| id).collect();
        let holders: Vec<PersonId> = problem.holders(competence).iter().copied().filter(there).collect();
        if let ([person], false) = (holders.as_slice(), tasks.is_empty()) {
            found.push(Sole { person: *person, competence, tasks });
        }
    }
    found
}
