//! Whether different people can fill a list of places.

use crate::id::{CompetenceId, Id, IdVec, PersonId};
use crate::model::Person;

/// How many of `needs` different people can fill at most (augmenting paths).
pub(super) fn fillable(people: &IdVec<PersonId, Person>, needs: &[CompetenceId]) -> usize {
    let mut taken: Vec<Option<usize>> = vec![None; people.len()];
    (0..needs.len()).filter(|need| place(people, needs, *need, &mut taken, &mut vec![false; people.len()])).count()
}

fn place(people: &IdVec<PersonId, Person>, needs: &[CompetenceId], need: usize, taken: &mut [Option<usize>], seen: &mut [bool]) -> bool {
    for (id, person) in people.pairs() {
        let i = id.index();
        if person.holds(needs[need]) && !seen[i] {
            seen[i] = true;
            let free = match taken[i] {
                None => true,
                Some(other) => place(people, needs, other, taken, seen),
            };
            if free {
                taken[i] = Some(need);
                return true;
            }
        }
    }
    false
}
