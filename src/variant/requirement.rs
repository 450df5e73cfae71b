//! What is asked of a plan, one by one, so that each can be left out to see whether it matters.

use crate::id::{PersonId, TaskId, ToolId};
use crate::model::{Parts, Problem};
use crate::time::Minutes;

/// One thing that is asked of a plan.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Requirement {
    /// A task is to be done by its own latest moment.
    NotAfter(TaskId),
    /// A task is not begun before its own earliest moment.
    NotBefore(TaskId),
    /// A task waits for so long after another (this task, the one before).
    Wait(TaskId, TaskId),
    /// A task comes after another at all.
    Order(TaskId, TaskId),
    /// A person is away.
    Away(PersonId),
    /// A tool is away.
    ToolAway(ToolId),
    /// Tags are banned for a while (position in the bans).
    Ban(usize),
    /// A person works at most so long a day.
    Cap(PersonId),
    /// A person does overtime on so many evenings only.
    Evenings(PersonId),
    /// A task may not stop where it likes.
    Stops(TaskId),
}

/// All requirements of a problem of the kinds above, in order.
#[must_use]
pub fn requirements(problem: &Problem) -> Vec<Requirement> {
    let mut all = Vec::new();
    for (id, task) in problem.tasks.pairs() {
        all.extend(task.not_after.map(|_| Requirement::NotAfter(id)));
        all.extend(task.not_before.map(|_| Requirement::NotBefore(id)));
        for after in &task.after {
            if after.lag > Minutes::ZERO {
                all.push(Requirement::Wait(id, after.task));
            }
            all.push(Requirement::Order(id, after.task));
        }
        if !matches!(task.stop, crate::model::Stop::Any { .. }) && !task.unmanned() {
            all.push(Requirement::Stops(id));
        }
    }
    for (id, person) in problem.people.pairs() {
        if !person.away.is_empty() {
            all.push(Requirement::Away(id));
        }
        all.extend(person.job_cap.map(|_| Requirement::Cap(id)));
        all.extend(person.evenings.map(|_| Requirement::Evenings(id)));
    }
    all.extend(problem.tools.pairs().filter(|(_, t)| !t.away.is_empty()).map(|(id, _)| Requirement::ToolAway(id)));
    all.extend((0..problem.bans.len()).map(Requirement::Ban));
    all
}

/// Leaves a requirement out.
pub(super) fn drop(parts: &mut Parts, requirement: Requirement) {
    match requirement {
        Requirement::NotAfter(task) => parts.tasks[task].not_after = None,
        Requirement::NotBefore(task) => parts.tasks[task].not_before = None,
        Requirement::Wait(task, before) => {
            parts.tasks[task].after.iter_mut().filter(|a| a.task == before).for_each(|a| a.lag = Minutes::ZERO);
        }
        Requirement::Order(task, before) => parts.tasks[task].after.retain(|a| a.task != before),
        Requirement::Away(person) => parts.people[person].away.clear(),
        Requirement::ToolAway(tool) => parts.tools[tool].away.clear(),
        // An empty list of tags bans nothing, and the positions of the others stay as they are.
        Requirement::Ban(ban) => parts.bans[ban].tags.clear(),
        Requirement::Cap(person) => parts.people[person].job_cap = None,
        Requirement::Evenings(person) => parts.people[person].evenings = None,
        Requirement::Stops(task) => parts.tasks[task].stop = crate::model::Stop::Any { min_spell: crate::time::Slots::new(1) },
    }
}

/// The fewest requirements of `problem` that cannot stand together, as far as `possible` can tell: each is left out in
/// turn, for good if the rest still cannot stand. `None` where `possible` says that all of them can, or that even
/// without any of them nothing can. Asks once for each requirement.
pub fn fewest(problem: &Problem, possible: &mut dyn FnMut(&Problem) -> bool) -> Option<Vec<Requirement>> {
    if possible(problem) {
        return None;
    }
    let all = requirements(problem);
    let without = |out: &[Requirement]| {
        let mut parts = problem.clone().into_parts();
        for requirement in out {
            drop(&mut parts, *requirement);
        }
        Problem::new(parts).ok()
    };
    let mut out: Vec<Requirement> = Vec::new();
    // All that does not matter by itself goes at once, in halves, before it is asked one by one.
    let mut open: Vec<Vec<Requirement>> = vec![all.clone()];
    let mut kept: Vec<Requirement> = Vec::new();
    while let Some(some) = open.pop() {
        let mut tried = out.clone();
        tried.extend(&some);
        if without(&tried).is_some_and(|p| !possible(&p)) {
            out = tried;
        } else if let [one] = some.as_slice() {
            kept.push(*one);
        } else {
            let (first, second) = some.split_at(some.len() / 2);
            open.push(second.to_vec());
            open.push(first.to_vec());
        }
    }
    (!kept.is_empty()).then_some(kept)
}
