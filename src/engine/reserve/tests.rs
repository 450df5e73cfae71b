//! The reserve on words of slots, against people seated one by one.

use crate::engine::calls::Calls;
use crate::engine::calls::tests::{context, demo};
use crate::engine::ground::Ground;
use crate::engine::state::State;
use crate::id::{CompetenceId, PersonId};
use crate::rng::Stream;

/// The most places that different callable people can fill in a slot: each place in turn, moving people along where that
/// makes room.
fn seated(state: &State<'_>, slot: usize) -> usize {
    let ground = state.ground;
    let Some(kinds) = ground.reserve.at[slot] else { return 0 };
    let places = &ground.reserve.kinds[usize::from(kinds)].0;
    let mut taken: Vec<Option<usize>> = vec![None; state.people.len()];
    (0..places.len()).filter(|place| seat(state, slot, places, *place, &mut taken, &mut vec![false; state.people.len()])).count()
}

fn seat(state: &State<'_>, slot: usize, places: &[CompetenceId], place: usize, taken: &mut [Option<usize>], seen: &mut [bool]) -> bool {
    let can = |person: PersonId| {
        let called = state.people[person].on_call[slot / 64] >> (slot % 64) & 1 == 1;
        called && state.ground.problem.people[person].holds(places[place])
    };
    for (i, person) in state.people.ids().enumerate() {
        if seen[i] || !can(person) {
            continue;
        }
        seen[i] = true;
        if taken[i].is_none_or(|other| seat(state, slot, places, other, taken, seen)) {
            taken[i] = Some(place);
            return true;
        }
    }
    false
}

/// If this fails, the marriage theorem on words of slots says that the reserve is filled where people seated one by one do
/// not fill it, or the other way round, or names another slot than the first.
#[test]
fn what_is_missing_is_what_nobody_can_be_seated_for() {
    let (mut good, mut bad, mut short) = (0, 0, 0);
    for (seed, callable) in
        [(1, "1 OOW, 1 GEN"), (2, "2 OOW, 1 LEAD, 2 GEN"), (3, "3 GEN, 2 LIFT, 1 MEAS"), (4, "1 LEAD, 1 AUTH, 1 ELE, 4 GEN")]
    {
        let problem = demo(callable, "2");
        let ground = Ground::new(&problem);
        let end = ground.slot_from(problem.end);
        let mut state = State::base(&ground, context(&ground, end), end, &mut Calls::default());
        let best: Vec<usize> = (0..end).map(|slot| seated(&state, slot)).collect();
        for (slot, best) in best.iter().enumerate().filter(|(slot, _)| ground.reserve.at[*slot].is_some()) {
            assert_eq!(usize::from(state.at_best.filled[slot]), *best, "at best in slot {slot} of {callable}");
        }
        let base: Vec<Vec<u64>> = state.people.iter().map(|p| p.on_call.clone()).collect();
        let mut dice = Stream::new(seed, 1);
        for round in 0..60 {
            // Thinner and thinner: fewer of those who can be called with nothing placed can be called.
            for (person, words) in state.people.iter_mut().zip(&base) {
                for (word, full) in person.on_call.iter_mut().zip(words) {
                    *word = (0..64).filter(|_| !dice.chance(round * 8)).fold(0, |bits, bit| bits | 1_u64 << bit) & full;
                }
            }
            for word in 0..end.div_ceil(64) {
                let slots = word * 64..((word + 1) * 64).min(end);
                let asked = |slot: &usize| ground.reserve.at[*slot].is_some();
                let expected = slots.clone().filter(asked).find(|slot| seated(&state, *slot) < best[*slot]);
                assert_eq!(state.missing(word, u64::MAX), expected, "word {word}, {callable}");
                *if expected.is_some() { &mut bad } else { &mut good } += 1;
                short += slots.filter(|slot| state.at_best.short[word] >> (slot % 64) & 1 == 1).count();
            }
        }
    }
    assert!(good > 50 && bad > 50 && short > 0, "{good} words filled, {bad} not, {short} slots short at best");
}
