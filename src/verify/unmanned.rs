//! Rule 5, tasks without people: one piece round the clock, attended by a manned post.

use crate::time::Span;
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;
use crate::verify::spans::{overloads, total};

/// Breaches of tasks that run by themselves.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let problem = facts.problem;
    let mut breaches = Vec::new();
    let running = || problem.tasks.pairs().filter(|(_, task)| task.unmanned());
    for (id, task) in running() {
        let about = |clause| Breach::new(clause).of(Thing::Task(id));
        let spells = &facts.tasks[id];
        let pieces: Vec<Span> = spells.iter().flat_map(|s| s.work.iter().copied()).collect();
        if pieces.len() > 1 {
            breaches.push(about(Clause::RunsInPieces).count(pieces.len(), 1));
        } else if let [piece] = pieces[..]
            && piece.length() != problem.grid.length(task.length)
        {
            breaches.push(about(Clause::WrongLength).time(total(&pieces), problem.grid.length(task.length)));
        }
        if let Some(post) = task.attended_by {
            let alone = pieces.iter().flat_map(|piece| piece.without(&problem.posts[post].manned));
            breaches.extend(alone.map(|window| about(Clause::Unattended).against(Thing::Post(post)).during(window)));
        }
    }
    for (post, row) in problem.posts.pairs() {
        let attended = running().filter(|(_, task)| task.attended_by == Some(post));
        let held: Vec<(Span, usize)> = attended.filter_map(|(id, _)| facts.task_span(id)).map(|span| (span, 1)).collect();
        let most = usize::try_from(row.attends).unwrap_or(usize::MAX);
        let over = overloads(&held, most).into_iter();
        breaches.extend(
            over.map(|(window, found)| Breach::new(Clause::TooManyAttended).of(Thing::Post(post)).during(window).count(found, most)),
        );
    }
    breaches
}
