//! Spells and what is counted as they are placed, against the same tried and counted slot by slot.

use crate::engine::base::demand;
use crate::engine::calls::Calls;
use crate::engine::calls::tests::{context, demo};
use crate::engine::ground::{Ground, Shape};
use crate::engine::place::{Effort, Way};
use crate::engine::spell::Wanted;
use crate::engine::state::State;
use crate::engine::team::Costs;
use crate::id::{Id, TaskId};
use crate::rng::Stream;

/// The most slots from `at` for which, length by length, whole or paused, a team is found.
fn longest_of_all(state: &State<'_>, task: TaskId, at: usize, most: usize, costs: &Costs, effort: &mut Effort) -> usize {
    let fits = |length: &usize| {
        let whole = std::iter::once(vec![(at, at + length)]);
        whole.chain(state.paused(task, at, *length)).any(|pieces| {
            let end = pieces[pieces.len() - 1].1;
            end <= state.end
                && (at..end).all(|slot| state.blocked(task, slot, slot + 1, Way::Forward).is_none())
                && state.team(task, &pieces, costs, &[], &mut effort.room)
                && state.pause_is_theirs(&effort.room.team, &pieces)
        })
    };
    (1..=most).rev().find(fits).unwrap_or(0)
}

/// Compares what is kept of every person and day with what is placed, slot by slot.
fn check_counters(state: &State<'_>, base: &State<'_>) {
    let ground = state.ground;
    let mut unbooked = vec![0; ground.n_days];
    for (id, person) in state.people.pairs() {
        let fixed = &ground.people[id];
        let mine: Vec<_> = state.placed.iter().flatten().filter(|chunk| chunk.team.contains(&id)).collect();
        for (day, all) in unbooked.iter_mut().enumerate() {
            let count = |test: &dyn Fn(usize) -> bool| {
                let slots = (0..ground.len).filter(|slot| ground.day[*slot] as usize == day && test(*slot)).count();
                ground.minutes(slots)
            };
            let works = |slot: usize| mine.iter().any(|c| c.pieces.iter().any(|(a, b)| (*a..*b).contains(&slot)));
            let taken = |slot: usize| mine.iter().any(|c| (c.start()..c.end()).contains(&slot));
            assert_eq!(person.worked[day], base.people[id].worked[day] + count(&works), "person {}, day {day}", id.index());
            let overtime = count(&|s| works(s) && !fixed.ordinary.has(s));
            assert_eq!(person.overtime[day], overtime, "hours lie on slots: person {}, day {day}", id.index());
            let counts = |s: usize| fixed.counted.has(s);
            let spare = base.people[id].spare[day] - count(&|s| taken(s) && counts(s));
            assert_eq!(person.spare[day], spare, "person {}, day {day}", id.index());
            *all += fixed.cap.map_or(spare, |cap| spare.min(cap - person.worked[day]).max(0));
        }
    }
    assert_eq!(state.unbooked, unbooked);
}

/// If this fails, a spell is shorter than it could be, or not by the team that was found for it, or what is counted of
/// people and days as spells are placed is not what they come to.
#[test]
fn the_longest_spell_is_the_longest_and_what_is_placed_is_counted() {
    let problem = demo("1 OOW, 1 GEN", "2");
    let mut ground = Ground::new(&problem);
    for day in 0..ground.n_days {
        let (from, to) = (ground.day_starts[day], ground.day_starts[day + 1]);
        ground.reserve.hours.insert_range(from + (to - from) / 3, to);
    }
    ground.count_unbooked();
    let end = ground.slot_from(problem.end);
    let costs = Costs { of: demand(&ground), overtime: true };
    let plain = Costs { overtime: false, ..costs.clone() };
    let (mut placed, mut paused, mut none) = (0, 0, 0);
    for seed in 1..=3 {
        let base = State::base(&ground, context(&ground, end), end, &mut Calls::default());
        let mut state = base.clone();
        let (mut effort, mut dice) = (Effort::default(), Stream::new(seed, 0));
        for _ in 0..900 {
            let task = TaskId::from_index(dice.below(ground.tasks.len()));
            let row = &ground.tasks[task];
            if !matches!(row.shape, Shape::Any(_)) || row.needs.is_empty() || state.left_of(task) == 0 {
                continue;
            }
            let costs = if dice.chance(500) { &costs } else { &plain };
            let (at, most) = (dice.below(end), state.left_of(task));
            let longest = longest_of_all(&state, task, at, most, costs, &mut effort);
            let wanted = Wanted { task, at, length: most, to: end, costs };
            let found = state.longest(wanted, 1, &mut effort);
            assert_eq!(found, longest, "task {}, slot {at}", task.index());
            none += usize::from(found == 0);
            if found == 0 || dice.chance(500) {
                continue;
            }
            // Looking for it all again leads to the same.
            let mut other = state.clone();
            let again = other.try_at(Wanted { length: found, ..wanted }, &mut effort.clone());
            assert_eq!(state.try_longest(Wanted { length: found, ..wanted }, &mut effort), again);
            assert_eq!(state.placed[task], other.placed[task]);
            if again.is_some() {
                placed += 1;
                paused += usize::from(state.placed[task].iter().any(|chunk| chunk.pieces.len() > 1));
            }
        }
        check_counters(&state, &base);
    }
    assert!(placed > 60 && paused > 5 && none > 100, "{placed} placed, {paused} paused, {none} times nobody");
}
