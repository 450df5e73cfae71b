//! What is left of the plan people were told, in the ids of the remainder.

use crate::id::{DutyId, Id, IdVec, TaskId};
use crate::model::{Duty, Parts, Stop, When};
use crate::plan::{OnHand, Plan, Spell};
use crate::replan::Standing;
use crate::replan::progress::{State, Work};
use crate::time::{Moment, Span};

/// The told plan from `start` on. Tasks that were not told have no spells; times may be illegal by now.
pub(super) fn told(parts: &Parts, standing: &Standing, tasks: &IdVec<TaskId, TaskId>, work: &Work, start: Moment) -> Plan {
    let mut spells: Vec<Spell> = Vec::new();
    for (id, whole) in tasks.pairs() {
        let begun = work.spells.iter().filter(|s| s.task == *whole && s.span().end() > start).cloned();
        let old = standing.tasks.find(|t| t == whole);
        let later = standing.plan.spells.iter().filter(|s| Some(s.task) == old && s.span().start() >= start).cloned();
        let going = work.left[*whole].under_way.is_some();
        let mut mine: Vec<Spell> = begun.filter(|_| going).chain(later).filter_map(|s| from(s, start)).collect();
        mine.sort_by_key(Spell::span);
        let in_parts = match parts.tasks[id].stop {
            Stop::Parts(_) => true,
            Stop::Any { .. } | Stop::Never => false,
        };
        for (number, spell) in (0_u32..).zip(mine) {
            spells.push(Spell { task: id, part: if in_parts { number } else { 0 }, ..spell });
        }
    }
    spells.sort_by(|a, b| (a.span().start(), a.task, a.part, a).cmp(&(b.span().start(), b.task, b.part, b)));
    let on_hand = standing.plan.on_hand.iter().filter_map(|h| Some(OnHand { span: after(h.span, start)?, ..*h })).collect();
    Plan { spells, turns: turns(parts, standing), duties: duties(parts, standing), on_hand }
}

/// What stands on the sheets people were given, from `start` on, of tasks of the remainder.
pub(super) fn sheets(standing: &Standing, tasks: &IdVec<TaskId, TaskId>, start: Moment) -> Vec<Spell> {
    let spells = standing.plan.spells.iter().filter_map(|spell| {
        let whole = standing.tasks.get(spell.task)?;
        let here = tasks.find(|task| task == whole)?;
        from(Spell { task: here, ..spell.clone() }, start)
    });
    spells.collect()
}

/// When the sheets people were given have duties of the remainder, in its order.
pub(super) fn sheet_duties(parts: &Parts, standing: &Standing) -> IdVec<DutyId, Option<Moment>> {
    let told = |duty: &Duty| {
        let id = standing.problem.duties.find(|d| d.code == duty.code && d.occurrence == duty.occurrence)?;
        standing.plan.duties.get(id).copied()
    };
    parts.duties.iter().map(told).collect()
}

/// What was told for after `start` of tasks that are done by now, or will not be; in ids of the whole table.
pub(super) fn gone(standing: &Standing, work: &Work, start: Moment) -> Vec<Spell> {
    let spells = standing.plan.spells.iter().filter_map(|spell| {
        let task = *standing.tasks.get(spell.task)?;
        work.left.get(task).filter(|left| matches!(left.state, State::Done(_) | State::Dropped))?;
        from(Spell { task, part: 0, ..spell.clone() }, start)
    });
    let mut gone: Vec<Spell> = spells.collect();
    gone.sort_by_key(|spell| (spell.span(), spell.task));
    gone
}

/// Tasks of the remainder that people were told, none of it from now on.
pub(super) fn undone(parts: &Parts, standing: &Standing, tasks: &IdVec<TaskId, TaskId>) -> Vec<TaskId> {
    let later = |id: TaskId| parts.told.iter().flat_map(|told| &told.spells).any(|spell| spell.task == id);
    tasks.pairs().filter(|(id, whole)| standing.tasks.find(|t| t == *whole).is_some() && !later(*id)).map(|(id, _)| id).collect()
}

/// What of a span lies at or after `start`.
fn after(span: Span, start: Moment) -> Option<Span> {
    Span::new(span.start().max(start), span.end())
}

fn from(spell: Spell, start: Moment) -> Option<Spell> {
    let work: Vec<Span> = spell.work.iter().filter_map(|w| after(*w, start)).collect();
    (!work.is_empty()).then_some(Spell { work, ..spell })
}

/// Who was told to stand each turn; where nobody was, the one it is given to, or the first who may.
fn turns(parts: &Parts, standing: &Standing) -> IdVec<crate::id::TurnId, crate::id::PersonId> {
    let told = |turn: &crate::model::Turn| {
        let same = |t: &crate::model::Turn| t.post == turn.post && t.span.end() == turn.span.end();
        standing.problem.turns.find(same).and_then(|id| standing.plan.turns.get(id).copied())
    };
    let first = |turn: &crate::model::Turn| match &turn.stand {
        crate::model::Stand::Fixed(person) => Some(*person),
        crate::model::Stand::Open(people) => people.first().copied(),
    };
    let nobody = crate::id::PersonId::from_index(0);
    parts.turns.iter().map(|turn| told(turn).or_else(|| first(turn)).unwrap_or(nobody)).collect()
}

/// When duties were told to be done; where nothing was told, or it is no longer so, where they lie now.
fn duties(parts: &Parts, standing: &Standing) -> IdVec<crate::id::DutyId, Moment> {
    let old = &standing.problem.duties;
    let told = |code: &str, occurrence: u32| {
        let found = old.find(|d| d.code == code && d.occurrence == occurrence)?;
        standing.plan.duties.get(found).copied()
    };
    let row = |duty: &crate::model::Duty| match duty.when {
        When::Fixed(span) => span.start(),
        When::Movable { window, .. } => {
            let inside = told(&duty.code, duty.occurrence).filter(|at| window.contains(*at));
            inside.unwrap_or_else(|| parts.grid.moment(parts.grid.ceil(window.start())))
        }
    };
    parts.duties.iter().map(row).collect()
}
