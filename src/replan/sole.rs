//! Who alone holds a competence that is still needed.

use crate::id::{CompetenceId, PersonId, TaskId};
use crate::model::Problem;
use crate::time::Span;

/// One person who alone can do some of what is left.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Sole {
    /// Who.
    pub person: PersonId,
    /// What nobody else aboard holds and has hours for.
    pub competence: CompetenceId,
    /// Who aboard holds it too and has no hours for the job, such as one who stands watches alone.
    pub tied: Vec<PersonId>,
    /// The tasks that need it, in table order.
    pub tasks: Vec<TaskId>,
}

/// Everybody who alone holds a competence that tasks of `problem` need, by competence. Who is away for all of the
/// job counts as not there, and so does who has no hours for it, unless one of the tasks is an emergency, which may be
/// worked at outside hours.
#[must_use]
pub fn sole_holders(problem: &Problem) -> Vec<Sole> {
    let job = Span::new(problem.start, problem.end);
    let there = |person: &PersonId| job.is_none_or(|job| !problem.people[*person].away.iter().any(|away| away.covers(job)));
    let mut found = Vec::new();
    for competence in problem.competences.ids() {
        let tasks: Vec<TaskId> = problem.tasks.pairs().filter(|(_, t)| t.needs.contains(&competence)).map(|(id, _)| id).collect();
        let urgent = tasks.iter().any(|task| problem.tasks[*task].emergency);
        let works = |person: &PersonId| urgent || !problem.people[*person].stretches.is_empty();
        let (holders, tied): (Vec<PersonId>, Vec<PersonId>) = problem.holders(competence).iter().copied().filter(there).partition(works);
        if let ([person], false) = (holders.as_slice(), tasks.is_empty()) {
            found.push(Sole { person: *person, competence, tied, tasks });
        }
    }
    found
}
