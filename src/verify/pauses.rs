//! Rule 4, pauses: a spell stops only for named breaks of its team, and always for those.
//!
//! A pause covers exactly the slots that meet a named break of any member of the team, at most 90 minutes
//! in all. Parts and spells that never stop may pause only where the task says so.

use crate::model::Stop;
use crate::plan::Spell;
use crate::time::{Minutes, Span};
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;
use crate::verify::spans::{slots, total, touches};

/// Most time a spell pauses.
const MOST: Minutes = Minutes::new(90);

/// Breaches in the pauses of all spells.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    facts.plan.spells.iter().flat_map(|spell| one(facts, spell)).collect()
}

fn one(facts: &Facts, spell: &Spell) -> Vec<Breach> {
    let task = &facts.problem.tasks[spell.task];
    if task.unmanned() {
        return Vec::new();
    }
    let about = |clause, window| Breach::new(clause).of(Thing::Task(spell.task)).during(window);
    let mut team = spell.team.clone();
    team.sort_unstable();
    team.dedup();
    let mut breaches = Vec::new();
    for person in &team {
        let breaks = &facts.problem.people[*person].breaks;
        let worked = breaks.iter().filter(|pause| touches(&spell.work, **pause));
        breaches.extend(worked.map(|pause| about(Clause::OverBreak, *pause).by(*person)));
    }
    let pauses: Vec<Span> = spell.span().without(&spell.work);
    let may_pause = match task.stop {
        Stop::Any { .. } => true,
        Stop::Parts(_) | Stop::Never => task.pauses,
    };
    if !may_pause {
        breaches.extend(pauses.iter().map(|pause| about(Clause::PauseForbidden, *pause)));
        return breaches;
    }
    let breaks: Vec<Span> = team.iter().flat_map(|person| facts.problem.people[*person].breaks.iter().copied()).collect();
    for pause in &pauses {
        if slots(facts.problem.grid, *pause).any(|(_, slot)| !touches(&breaks, slot)) {
            breaches.push(about(Clause::PauseNotBreak, *pause));
        }
    }
    if total(&pauses) > MOST {
        breaches.push(about(Clause::PauseTooLong, spell.span()).time(total(&pauses), MOST));
    }
    breaches
}
