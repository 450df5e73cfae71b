//! From turning to until knocking off.

use crate::account::Account;
use crate::id::PersonId;
use crate::model::{Problem, Stretch};
use crate::plan::{Plan, Spell};
use crate::time::Span;

/// From the first to the last piece of work of each working stretch in which `person` has any, with the
/// stretch; in time order. Work is a spell with its pauses, a turn, attendance at a duty, or listed time on
/// hand. A piece of overtime belongs to the stretch only where some task work of the person lies in it: an
/// idle evening is rest. A stretch begun before planning begins reaches back to its first piece of work.
pub(super) fn of<'a>(problem: &'a Problem, plan: &Plan, account: &Account, person: PersonId) -> Vec<(&'a Stretch, Span)> {
    let spells = || plan.spells.iter().filter(|s| s.team.contains(&person));
    let turns = problem.turns.pairs().filter(|(t, _)| plan.turns.get(*t) == Some(&person)).map(|(_, t)| t.span);
    let duties = account.duties.iter().flatten().filter(|a| a.person == person && !a.on_watch).map(|a| a.span);
    let listed = plan.on_hand.iter().filter(|h| h.person == person).map(|h| h.span);
    let pieces: Vec<Span> = spells().map(Spell::span).chain(turns).chain(duties).chain(listed).collect();
    let labour: Vec<Span> = spells().flat_map(|s| s.work.iter().copied()).collect();
    let hull = |stretch: &Stretch| {
        let begun = |over: Span| problem.people[person].before.hull.is_some_and(|before| before.overlaps(over));
        let used = stretch.overtime.iter().filter(|over| labour.iter().any(|l| l.overlaps(**over)) || begun(**over));
        let hours = stretch.ordinary.iter().chain(used).copied().reduce(Span::hull)?;
        let here = pieces.iter().filter_map(|piece| piece.intersection(hours)).reduce(Span::hull)?;
        let begun = problem.people[person].before.hull.and_then(|before| before.intersection(hours));
        Some(begun.map_or(here, |begun| here.hull(begun)))
    };
    problem.people[person].stretches.iter().filter_map(|s| Some((s, hull(s)?))).collect()
}
