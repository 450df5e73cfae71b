//! Whether different people can fill a list of places.

use crate::id::{CompetenceId, Id, IdVec, PersonId};
use crate::model::Person;

/// How many of `needs` different people can fill at most.
pub(super) fn fillable(people: &IdVec<PersonId, Person>, needs: &[CompetenceId]) -> usize {
    fillable_by(people, needs.len(), |need, id| people[id].holds(needs[need]))
}

/// How many of `places` different people can fill at most, where `able` says who can fill which (augmenting paths).
pub(super) fn fillable_by(people: &IdVec<PersonId, Person>, places: usize, able: impl Fn(usize, PersonId) -> bool) -> usize {
    let mut taken: Vec<Option<usize>> = vec![None; people.len()];
    (0..places).filter(|need| place(people, &able, *need, &mut taken, &mut vec![false; people.len()])).count()
}

fn place(
    people: &IdVec<PersonId, Person>,
    able: &impl Fn(usize, PersonId) -> bool,
    need: usize,
    taken: &mut [Option<usize>],
    seen: &mut [bool],
) -> bool {
    for id in people.ids() {
        let i = id.index();
        if able(need, id) && !seen[i] {
            seen[i] = true;
            let free = match taken[i] {
                None => true,
                Some(other) => place(people, able, other, taken, seen),
            };
            if free {
                taken[i] = Some(need);
                return true;
            }
        }
    }
    false
}
