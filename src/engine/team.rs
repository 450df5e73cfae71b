//! The cheapest team of different people for a task (minimum-cost matching of needs to people).

use super::state::State;
use crate::id::{Id, IdVec, PersonId, TaskId};

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
    /// Whether each person can work at all, once asked.
    can: Vec<Option<bool>>,
    /// Who can fill each need: for one need after the other, in id order.
    able: Vec<PersonId>,
    /// Where those of each need end in `able`.
    ends: Vec<usize>,
    /// The need each person fills.
    match_of: Vec<Option<usize>>,
    /// By which need each person was come to.
    from: Vec<usize>,
    open: Vec<usize>,
    /// Who fills each need.
    person_of: Vec<Option<PersonId>>,
    /// The team found last.
    pub(super) team: Vec<PersonId>,
}

impl State<'_> {
    /// Finds the cheapest team that can do all `pieces` of `task`, in [`Room::team`]; ties go to lower ids. `shut` keeps
    /// people out. Whether there is one.
    pub(super) fn team(&self, task: TaskId, pieces: &[(usize, usize)], costs: &Costs, shut: &[PersonId], room: &mut Room) -> bool {
        let row = &self.ground.tasks[task];
        let people = self.people.len();
        // Whether somebody can work at all does not depend on the need: ask once.
        room.can.clear();
        room.can.resize(people, None);
        room.able.clear();
        room.ends.clear();
        for (n, need) in row.needs.iter().enumerate() {
            let only = if need.same { self.placed[task].first().map(|c| c.team[n]) } else { None };
            let before = room.able.len();
            for person in &need.holders {
                let busy = !row.emergency && pieces.iter().any(|(from, to)| usize::from(self.people[*person].run[*from]) < to - from);
                if busy
                    || costs.of[*person] == BARRED
                    || only.is_some_and(|o| o != *person)
                    || shut.contains(person)
                    || self.kept_apart(task, n, *person)
                {
                    continue;
                }
                let able = *room.can[person.index()].get_or_insert_with(|| {
                    (costs.overtime || self.in_ordinary_hours(*person, pieces)) && self.can_work(task, *person, pieces)
                });
                if able {
                    room.able.push(*person);
                }
            }
            if room.able.len() == before {
                return false;
            }
            room.ends.push(room.able.len());
        }
        room.assign(people, |person| costs.of[person])
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
    /// The cheapest set of people that can fill all needs, of `people` in all. Since a person costs the same in every place,
    /// adding for each need in turn the cheapest person an alternating path can bring in is enough: the
    /// sets of people that can be matched are the independent sets of a matroid.
    fn assign(&mut self, people: usize, cost: impl Fn(PersonId) -> i64) -> bool {
        self.team.clear();
        if self.ends.len() == 1 {
            self.team.extend(self.able.iter().copied().min_by_key(|person| cost(*person)));
            return !self.team.is_empty();
        }
        self.match_of.clear();
        self.match_of.resize(people, None);
        self.person_of.clear();
        self.person_of.resize(self.ends.len(), None);
        for root in 0..self.ends.len() {
            self.from.clear();
            self.from.resize(people, usize::MAX);
            self.open.clear();
            self.open.push(root);
            let mut end: Option<PersonId> = None;
            let mut next = 0;
            while let Some(need) = self.open.get(next).copied() {
                next += 1;
                let begin = need.checked_sub(1).map_or(0, |before| self.ends[before]);
                for person in &self.able[begin..self.ends[need]] {
                    let index = person.index();
                    if self.from[index] != usize::MAX {
                        continue;
                    }
                    self.from[index] = need;
                    match self.match_of[index] {
                        Some(other) => self.open.push(other),
                        None if end.is_none_or(|e| cost(*person) < cost(e)) => end = Some(*person),
                        None => {}
                    }
                }
            }
            let Some(mut person) = end else { return false };
            loop {
                let need = self.from[person.index()];
                let before = self.person_of[need].replace(person);
                self.match_of[person.index()] = Some(need);
                match before {
                    Some(other) if need != root => person = other,
                    _ => break,
                }
            }
        }
        self.team.extend(self.person_of.iter().flatten());
        true
    }
}
