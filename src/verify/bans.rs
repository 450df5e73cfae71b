//! Rule 6, bans: no spell of a task with a banned tag while the ban or the duty lasts, pauses included.

use crate::id::TagId;
use crate::time::Span;
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;

/// Spells that run while one of their tags is banned.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let problem = facts.problem;
    let windows = problem.bans.iter().map(|ban| (ban.span, ban.tags.as_slice()));
    let duties = problem.duties.pairs().filter_map(|(id, duty)| Some((facts.duties[id]?, duty.bans.as_slice())));
    let bans: Vec<(Span, &[TagId])> = windows.chain(duties).collect();
    let mut breaches = Vec::new();
    for spell in &facts.plan.spells {
        for (ban, tags) in &bans {
            let Some(window) = ban.intersection(spell.span()) else { continue };
            let banned = problem.tasks[spell.task].tags.iter().filter(|tag| tags.contains(tag));
            breaches
                .extend(banned.map(|tag| Breach::new(Clause::Banned).of(Thing::Task(spell.task)).against(Thing::Tag(*tag)).during(window)));
        }
    }
    breaches
}
