//! The cheapest team of different people for a task (minimum-cost matching of needs to people).

use super::state::State;
use crate::id::{IdVec, PersonId, TaskId};

/// Who is wanted for a task.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Costs {
    /// What it costs to put each person on it: how much others want the person, plus a tie of the search. [`BARRED`] for
    /// those who are not to do it.
    pub(super) of: IdVec<PersonId, i64>,
    /// Whether overtime may be used for it, where some is open.
    pub(super) overtime: bool,
}

/// The cost of somebody who is not to do a task, though he could.
pub(super) const BARRED: i64 = i64::MAX;

/// Room for the matching, reused from call to call.
#[derive(Clone, Debug, Default)]
pub(super) struct Room {
    can: Vec<Option<bool>>,
    allowed: Vec<bool>,
    match_of: Vec<Option<usize>>,
    person_of: Vec<Option<usize>>,
    open: Vec<usize>,
    from: Vec<usize>,
}

impl State<'_> {
    /// The cheapest team that can do all `pieces` of `task`; ties go to lower ids. `shut` keeps people out.
    pub(super) fn team(
        &self,
        task: TaskId,
        pieces: &[(usize, usize)],
        costs: &Costs,
        shut: &[PersonId],
        room: &mut Room,
    ) -> Option<Vec<PersonId>> {
        use crate::id::Id;
        let needs = &self.ground.tasks[task].needs;
        let people = self.people.len();
        // Whether somebody can work at all does not depend on the need: ask once.
        room.can.clear();
        room.can.resize(people, None);
        room.allowed.clear();
        room.allowed.resize(needs.len() * people, false);
        for (n, need) in needs.iter().enumerate() {
            let only = if need.same { self.placed[task].first().map(|c| c.team[n]) } else { None };
            let mut any = false;
            for person in &need.holders {
                if costs.of[*person] == BARRED
                    || only.is_some_and(|o| o != *person)
                    || shut.contains(person)
                    || self.kept_apart(task, n, *person)
                {
                    continue;
                }
                let index = person.index();
                let able = *room.can[index].get_or_insert_with(|| {
                    (costs.overtime || self.in_ordinary_hours(*person, pieces)) && self.can_work(task, *person, pieces)
                });
                room.allowed[n * people + index] = able;
                any |= able;
            }
            if !any {
                return None;
            }
        }
        let team = room.assign(needs.len(), people, |p| costs.of[PersonId::from_index(p)])?;
        Some(team.into_iter().map(PersonId::from_index).collect())
    }

    /// Whether all of a piece of work lies in a person's ordinary hours.
    fn in_ordinary_hours(&self, person: PersonId, pieces: &[(usize, usize)]) -> bool {
        pieces.iter().all(|(from, to)| self.ground.people[person].ordinary.has_range(*from, *to))
    }

    pub(super) fn kept_apart(&self, task: TaskId, need: usize, person: PersonId) -> bool {
        self.ground.tasks[task].apart.iter().filter(|a| a.need == need).any(|a| {
            let named = |n: &usize| a.other_needs.is_empty() || a.other_needs.contains(n);
            self.placed[a.other].iter().any(|c| c.team.iter().enumerate().any(|(n, p)| *p == person && named(&n)))
        })
    }
}

impl Room {
    /// The cheapest set of people that can fill all needs. Since a person costs the same in every place,
    /// adding for each need in turn the cheapest person an alternating path can bring in is enough: the
    /// sets of people that can be matched are the independent sets of a matroid.
    fn assign(&mut self, needs: usize, people: usize, cost: impl Fn(usize) -> i64) -> Option<Vec<usize>> {
        self.match_of.clear();
        self.match_of.resize(people, None);
        self.person_of.clear();
        self.person_of.resize(needs, None);
        for root in 0..needs {
            self.from.clear();
            self.from.resize(people, usize::MAX);
            self.open.clear();
            self.open.push(root);
            let mut end: Option<usize> = None;
            let mut next = 0;
            while let Some(need) = self.open.get(next).copied() {
                next += 1;
                for p in 0..people {
                    if !self.allowed[need * people + p] || self.from[p] != usize::MAX {
                        continue;
                    }
                    self.from[p] = need;
                    match self.match_of[p] {
                        Some(other) => self.open.push(other),
                        None if end.is_none_or(|e| cost(p) < cost(e)) => end = Some(p),
                        None => {}
                    }
                }
            }
            let mut p = end?;
            loop {
                let need = self.from[p];
                let before = self.person_of[need].replace(p);
                self.match_of[p] = Some(need);
                if need == root {
                    break;
                }
                p = before?;
            }
        }
        self.person_of.iter().copied().collect()
    }
}
