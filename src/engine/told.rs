//! What people were told, slot by slot, and how far a plan is from it.

use super::ground::Ground;
use super::state::{Chunk, State};
use crate::id::{DutyId, Id, IdVec, PersonId, TaskId, TurnId};
use crate::plan::Plan;
use crate::time::{Minutes, Moment, Span};

/// Nothing was told.
const NOTHING: u32 = u32::MAX;

/// What people were told, on engine slots.
#[derive(Debug)]
pub(super) struct Told {
    /// Per person and slot, the task told, or [`NOTHING`].
    tasks: IdVec<PersonId, Vec<u32>>,
    /// The spells told of each task that lie on the slots; empty where there are none.
    pub(super) chunks: IdVec<TaskId, Vec<Chunk>>,
    turns: IdVec<TurnId, PersonId>,
    duties: IdVec<DutyId, Moment>,
}

impl Told {
    pub(super) fn new(ground: &Ground, plan: &Plan) -> Self {
        let problem = ground.problem;
        let mut tasks = IdVec::filled(vec![NOTHING; ground.len], problem.people.len());
        let mut chunks: IdVec<TaskId, Vec<Chunk>> = IdVec::filled(Vec::new(), problem.tasks.len());
        for spell in plan.spells.iter().filter(|s| problem.tasks.get(s.task).is_some()) {
            let pieces: Vec<(usize, usize)> = spell.work.iter().map(|w| ground.touching(*w)).collect();
            for slot in pieces.iter().flat_map(|(a, b)| *a..*b) {
                for person in &spell.team {
                    tasks[*person][slot] = u32::try_from(spell.task.index()).unwrap_or(NOTHING);
                }
            }
            let aligned = pieces.iter().zip(&spell.work).all(|((a, b), w)| a < b && ground.span(*a, *b) == *w);
            if aligned && spell.team.len() == problem.tasks[spell.task].needs.len() {
                chunks[spell.task].push(Chunk { pieces, team: spell.team.clone() });
            }
        }
        chunks.iter_mut().for_each(|list| list.sort_unstable());
        Self { tasks, chunks, turns: plan.turns.clone(), duties: plan.duties.clone() }
    }

    /// Who was told to stand a turn.
    pub(super) fn stands(&self, turn: TurnId) -> Option<PersonId> {
        self.turns.get(turn).copied()
    }

    /// When people were told that a duty is done.
    pub(super) fn duty(&self, duty: DutyId) -> Option<Moment> {
        self.duties.get(duty).copied()
    }
}

/// What a minute that is not as told weighs when it lies at `at`: the nearer, the more it upsets.
///
/// Within a day of the start of planning four, within three days two, later one.
pub(super) fn weight(start: Moment, at: Moment) -> i64 {
    let ahead = at - start;
    if ahead < BORDERS[0] {
        4
    } else if ahead < BORDERS[1] {
        2
    } else {
        1
    }
}

/// How long after the start of planning a minute comes to weigh less.
const BORDERS: [Minutes; 2] = [Minutes::DAY, Minutes::hours(72)];

impl State<'_> {
    /// Weighted minutes of work and watches told that are not as told.
    pub(super) fn changes_to_told(&self) -> i64 {
        let Some(told) = &self.ground.told else { return 0 };
        let ground = self.ground;
        let problem = ground.problem;
        let weight = |slot: usize| weight(problem.start, self.moment(slot)) * i64::from(ground.slot);
        let mut kept = IdVec::filled(0_i64, self.people.len());
        for (task, chunks) in self.placed.pairs() {
            let this = u32::try_from(task.index()).unwrap_or(NOTHING);
            for chunk in chunks {
                for slot in chunk.pieces.iter().flat_map(|(a, b)| *a..*b) {
                    for person in chunk.team.iter().filter(|p| told.tasks[**p][slot] == this) {
                        kept[*person] += weight(slot);
                    }
                }
            }
        }
        let all: i64 = ground.told_weight;
        let moved = problem.turns.ids().filter(|t| told.stands(*t).is_some_and(|p| p != self.context.turns[*t]));
        let turns = moved.map(|t| minutes_from(problem.turns[t].span, problem.start)).sum::<i64>();
        all - kept.iter().sum::<i64>() + turns
    }
}

/// Weighted minutes of a span from the start of planning on.
fn minutes_from(span: Span, start: Moment) -> i64 {
    let mut sum = 0;
    let mut at = span.start().max(start);
    while at < span.end() {
        let border = BORDERS.iter().map(|border| start + *border).find(|border| at < *border);
        let to = border.map_or(span.end(), |border| border.min(span.end()));
        sum += weight(start, at) * i64::from((to - at).get());
        at = to;
    }
    sum
}

/// Weighted minutes of all that was told.
pub(super) fn all_weight(ground: &Ground, told: &Told) -> i64 {
    let mut sum = 0;
    for slots in told.tasks.iter() {
        for (slot, _) in slots.iter().enumerate().filter(|(_, t)| **t != NOTHING) {
            sum += weight(ground.problem.start, ground.moment(slot)) * i64::from(ground.slot);
        }
    }
    sum
}

#[cfg(test)]
mod tests;
