//! Whether a plan can be read at all: every row refers to the job and every time is a time near it.
//!
//! A plan read back from a file may hold anything. What fails here makes every other check meaningless, so
//! these breaches are reported alone.

use crate::id::TaskId;
use crate::model::Problem;
use crate::plan::{Plan, Spell};
use crate::time::{Minutes, Span};
use crate::verify::breach::{Breach, Clause, Thing};

/// How far outside the job a time may lie and still be calculated with: a year. The margin keeps sums of
/// times far from the ends of the number range, and loops over slots short.
const MARGIN: Minutes = Minutes::new(366 * 24 * 60);

/// The breaches that make a plan unreadable.
pub(super) fn check(problem: &Problem, plan: &Plan) -> Vec<Breach> {
    let mut breaches = Vec::new();
    let sane = Span::new(problem.start - MARGIN, problem.layout_end + MARGIN);
    let strange = |span: Span| sane.is_none_or(|sane| !sane.covers(span));
    let extra = |clause, from: usize, to: usize| (from..to).map(move |row| Breach::new(clause).of(Thing::Row(row)));
    breaches.extend(extra(Clause::UnknownTurn, problem.turns.len(), plan.turns.len()));
    breaches.extend(extra(Clause::UnknownDuty, problem.duties.len(), plan.duties.len()));
    for (row, spell) in plan.spells.iter().enumerate() {
        breaches.extend(spell_shape(problem, row, spell));
        let strange = spell.work.iter().filter(|piece| strange(**piece));
        breaches.extend(strange.map(|piece| Breach::new(Clause::OutsidePlan).of(thing(problem, row, spell.task)).during(*piece)));
    }
    for (row, hand) in plan.on_hand.iter().enumerate() {
        if problem.people.get(hand.person).is_none() {
            breaches.push(Breach::new(Clause::OnHandUnknown).of(Thing::Row(row)).during(hand.span));
        }
        if strange(hand.span) {
            breaches.push(Breach::new(Clause::OutsidePlan).of(Thing::OnHand).by(hand.person).during(hand.span));
        }
    }
    breaches
}

fn thing(problem: &Problem, row: usize, task: TaskId) -> Thing {
    if problem.tasks.get(task).is_some() { Thing::Task(task) } else { Thing::Row(row) }
}

fn spell_shape(problem: &Problem, row: usize, spell: &Spell) -> Vec<Breach> {
    let mut breaches = Vec::new();
    let about = |clause| {
        let breach = Breach::new(clause).of(thing(problem, row, spell.task));
        match (spell.work.first(), spell.work.last()) {
            (Some(first), Some(last)) => breach.during(first.hull(*last)),
            _ => breach,
        }
    };
    if problem.tasks.get(spell.task).is_none() {
        breaches.push(about(Clause::UnknownTask));
    }
    if spell.team.iter().any(|person| problem.people.get(*person).is_none()) {
        breaches.push(about(Clause::UnknownPerson));
    }
    let apart = spell.work.windows(2).all(|pair| pair[0].end() < pair[1].start());
    if spell.work.is_empty() || !apart {
        breaches.push(about(Clause::BrokenSpell));
    }
    breaches
}
