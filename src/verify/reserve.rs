//! Rule 9a: at every slot the kinds of the reserve can be filled by different callable people.

use crate::account::{ReserveRow, ShortOf, Shortfall};
use crate::id::{IdVec, PersonId};
use crate::model::{Mode, Reserve, ReserveKind};
use crate::time::Span;
use crate::verify::callable::Candidate;
use crate::verify::facts::Facts;
use crate::verify::short;
use crate::verify::spans::slots;

/// What the plan's slots come to.
#[derive(Default)]
pub(super) struct Callable {
    /// Rows of equal callable people, per time, then kind.
    pub(super) rows: Vec<ReserveRow>,
    /// Stretches in which people are missing, in time order.
    pub(super) shortfalls: Vec<Shortfall>,
    /// Missing people × slots.
    pub(super) missing: i64,
}

/// Goes through all slots of the plan.
pub(super) fn callable(facts: &Facts) -> Callable {
    let problem = facts.problem;
    let candidates: IdVec<PersonId, Candidate> = problem.people.ids().map(|id| Candidate::new(facts, id)).collect();
    let mut result = Callable::default();
    // Open rows by kind: a row goes on while nothing about it changes.
    let mut rows: Vec<(usize, ReserveRow)> = Vec::new();
    for (slot, span) in slots(problem.grid, facts.time) {
        let mode = problem.mode_at(problem.grid.moment(slot)).map(|mode| &problem.modes[mode]);
        let Some(reserve) = mode.and_then(asks_for_people) else { continue };
        let Some(call) = Span::of(span.start(), reserve.call) else { continue };
        let can: IdVec<PersonId, bool> =
            candidates.pairs().map(|(id, candidate)| holds_any(facts, reserve, id) && candidate.callable(span, call)).collect();
        let missing = if all_hands(facts, span) { 0 } else { unfilled(facts, reserve, &can) };
        for (kind, row) in reserve.kinds.iter().enumerate() {
            let callable = can.pairs().filter(|(id, can)| **can && problem.people[*id].holds(row.competence)).map(|(id, _)| id).collect();
            push(&mut rows, kind, ReserveRow { span, kind: row.code.clone(), callable, needed: row.number, met: missing == 0 });
        }
        if missing > 0 {
            result.missing += i64::from(missing);
            short::extend(&mut result.shortfalls, span, ShortOf::Callable { missing });
        }
    }
    rows.sort_by_key(|(kind, row)| (row.span.start(), *kind));
    result.rows = rows.into_iter().map(|(_, row)| row).collect();
    result
}

fn asks_for_people(mode: &Mode) -> Option<&Reserve> {
    mode.reserve.as_ref().filter(|reserve| reserve.kinds.iter().any(|kind| kind.number > 0))
}

fn holds_any(facts: &Facts, reserve: &Reserve, id: PersonId) -> bool {
    reserve.kinds.iter().any(|kind| facts.problem.people[id].holds(kind.competence))
}

/// Whether the slot lies inside a duty that has all hands out.
fn all_hands(facts: &Facts, slot: Span) -> bool {
    facts.problem.duties.pairs().any(|(id, duty)| duty.all_hands && facts.duties[id].is_some_and(|span| span.covers(slot)))
}

/// Continues the last row of the same kind if it ends where this one starts and says the same.
fn push(rows: &mut Vec<(usize, ReserveRow)>, kind: usize, row: ReserveRow) {
    let last = rows.iter_mut().rev().find(|(k, _)| *k == kind).map(|(_, row)| row);
    match last {
        Some(last)
            if last.span.end() == row.span.start()
                && (&last.kind, &last.callable, last.needed, last.met) == (&row.kind, &row.callable, row.needed, row.met) =>
        {
            last.span = last.span.hull(row.span);
        }
        _ => rows.push((kind, row)),
    }
}

/// How many of the people asked for cannot be filled by different callable people: all asked for, less the
/// largest matching (augmenting paths, one place of one kind after the other).
fn unfilled(facts: &Facts, reserve: &Reserve, can: &IdVec<PersonId, bool>) -> u32 {
    let places: Vec<&ReserveKind> = reserve.kinds.iter().flat_map(|kind| (0..kind.number).map(move |_| kind)).collect();
    let mut taken: IdVec<PersonId, Option<usize>> = IdVec::filled(None, can.len());
    let mut missing = 0;
    for place in 0..places.len() {
        if !fill(facts, &places, place, can, &mut taken, &mut IdVec::filled(false, can.len())) {
            missing += 1;
        }
    }
    missing
}

fn fill(
    facts: &Facts,
    places: &[&ReserveKind],
    place: usize,
    can: &IdVec<PersonId, bool>,
    taken: &mut IdVec<PersonId, Option<usize>>,
    seen: &mut IdVec<PersonId, bool>,
) -> bool {
    for (id, person) in facts.problem.people.pairs() {
        if can[id] && !seen[id] && person.holds(places[place].competence) {
            seen[id] = true;
            let free = match taken[id] {
                None => true,
                Some(other) => fill(facts, places, other, can, taken, seen),
            };
            if free {
                taken[id] = Some(place);
                return true;
            }
        }
    }
    false
}
