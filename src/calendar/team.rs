//! Whether different people can fill the positions of a task.

use std::collections::BTreeMap;

use super::people::{Hours, People};
use crate::bits::Bits;
use crate::id::{Id, IdVec, PersonId, TaskId};
use crate::model::Problem;

/// Whether the positions can be filled by different people (augmenting paths). `fits(position, person)`
/// says who may fill which.
pub(super) fn team_exists(positions: usize, people: &[PersonId], fits: impl Fn(usize, PersonId) -> bool) -> bool {
    struct Search<'a, F> {
        people: &'a [PersonId],
        fits: F,
        taken: Vec<Option<usize>>,
        seen: Vec<bool>,
    }
    impl<F: Fn(usize, PersonId) -> bool> Search<'_, F> {
        fn place(&mut self, position: usize) -> bool {
            for i in 0..self.people.len() {
                if self.seen[i] || !(self.fits)(position, self.people[i]) {
                    continue;
                }
                self.seen[i] = true;
                if self.taken[i].is_none_or(|other| self.place(other)) {
                    self.taken[i] = Some(position);
                    return true;
                }
            }
            false
        }
    }
    let mut search = Search { people, fits, taken: vec![None; people.len()], seen: Vec::new() };
    (0..positions).all(|position| {
        search.seen = vec![false; people.len()];
        search.place(position)
    })
}

/// Who can work in each slot, with equal sets of people kept once.
#[derive(Clone, Debug)]
pub(super) struct Able {
    sets: Vec<Vec<PersonId>>,
    of_slot: Vec<usize>,
}

impl Able {
    pub(super) fn new(people: &People, count: usize, hours: Hours, emergency: bool) -> Self {
        let mut known: BTreeMap<Vec<PersonId>, usize> = BTreeMap::new();
        let mut sets = Vec::new();
        let of_slot = (0..people.range().len())
            .map(|i| {
                let set: Vec<PersonId> =
                    (0..count).map(PersonId::from_index).filter(|p| people.state(*p, i).works(hours, emergency)).collect();
                *known.entry(set).or_insert_with_key(|set| {
                    sets.push(set.clone());
                    sets.len() - 1
                })
            })
            .collect();
        Self { sets, of_slot }
    }

    /// The slots in which different people can fill the needs of `task`; with `only`, its person at its
    /// position.
    pub(super) fn slots(&self, problem: &Problem, task: TaskId, only: Option<(usize, PersonId)>) -> Bits {
        let needs = &problem.tasks[task].needs;
        let verdicts: Vec<bool> = self
            .sets
            .iter()
            .map(|set| {
                team_exists(needs.len(), set, |position, person| match only {
                    Some((at, who)) if at == position => who == person,
                    Some((_, who)) if who == person => false,
                    _ => problem.people[person].holds(needs[position]),
                })
            })
            .collect();
        let mut slots = Bits::none(self.of_slot.len());
        for (i, set) in self.of_slot.iter().enumerate() {
            if verdicts[*set] {
                slots.insert(i);
            }
        }
        slots
    }
}

/// Everybody who holds what some position of the task needs, in id order.
pub(super) fn useful(problem: &Problem, task: TaskId) -> Vec<PersonId> {
    let mut people: Vec<PersonId> = problem.tasks[task].needs.iter().flat_map(|c| problem.holders(*c)).copied().collect();
    people.sort_unstable();
    people.dedup();
    people
}

/// Most slots of work all holders of one position together can give a task in each ship's day, by their
/// caps; the least of that over the positions. `None` where no cap bites.
pub(super) fn day_limit(problem: &Problem, people: &People, task: TaskId, only: Option<(usize, PersonId)>) -> Option<usize> {
    let sum = |holders: &[PersonId]| holders.iter().map(|p| people.cap(*p)).sum::<Option<usize>>();
    let positions = problem.tasks[task].needs.iter().enumerate();
    positions
        .filter_map(|(position, need)| match only {
            Some((at, who)) if at == position => people.cap(who),
            _ => sum(problem.holders(*need)),
        })
        .min()
}

/// A table of one kind for every task.
pub(super) type PerTask<T> = IdVec<TaskId, T>;
