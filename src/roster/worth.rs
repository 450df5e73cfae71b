//! What a watch costs the job: ordinary hours that cannot be worked beside it.

use std::collections::BTreeMap;

use crate::clock::Day;
use crate::id::{IdVec, PersonId};
use crate::model::Problem;
use crate::roster::check::Checker;
use crate::roster::choice::ordinary;
use crate::roster::layout::MINUTE;
use crate::time::{Minutes, Span};

/// How much the job wants each person, and what his days hold.
#[derive(Debug)]
pub(super) struct Worth {
    /// Percent of a minute's full worth, from 20 to 100.
    wanted: IdVec<PersonId, i64>,
    /// Spare time of a person's working stretch without any open turn.
    alone: BTreeMap<(PersonId, usize), Minutes>,
}

impl Worth {
    /// For every need of every task its length is shared among those who hold the competence; what comes to a person,
    /// against his ordinary hours up to the end of the job, is how much he is wanted.
    pub(super) fn new(problem: &Problem) -> Self {
        let mut asked = IdVec::filled(0_i64, problem.people.len());
        for task in problem.tasks.iter() {
            for need in &task.needs {
                let holders = problem.holders(*need);
                let share = i64::from(problem.grid.length(task.length).get()) / i64::try_from(holders.len().max(1)).unwrap_or(1);
                for person in holders {
                    asked[*person] += share;
                }
            }
        }
        let time = Span::new(problem.start, problem.end);
        let wanted = problem.people.ids().map(|p| {
            let there = time.map_or(Minutes::ZERO, |t| ordinary(problem, p, t));
            (asked[p] * 100 / i64::from(there.get()).max(1)).clamp(20, 100)
        });
        Self { wanted: wanted.collect(), alone: BTreeMap::new() }
    }

    /// The worth of the ordinary time that `turns` on `day` take from the person, on that day and the ones beside it:
    /// by standing them, and by the rest they ask for.
    pub(super) fn lost(&mut self, problem: &Problem, checker: &mut Checker<'_>, day: Day, turns: &[Span]) -> i64 {
        if turns.is_empty() {
            0
        } else {
            i64::from(self.taken(problem, checker, day, turns).get()) * self.wanted[checker.id()] * MINUTE / 100
        }
    }

    /// The same for a person with other turns, in minutes of somebody fully wanted.
    pub(super) fn minutes_lost(&mut self, problem: &Problem, checker: &mut Checker<'_>, day: Day, turns: &[Span]) -> Minutes {
        // What the days hold without the turns depends on the other turns.
        self.alone.clear();
        let taken = i64::from(self.taken(problem, checker, day, turns).get()) * self.wanted[checker.id()] / 100;
        self.alone.clear();
        Minutes::new(i32::try_from(taken).unwrap_or(i32::MAX))
    }

    fn taken(&mut self, problem: &Problem, checker: &mut Checker<'_>, day: Day, turns: &[Span]) -> Minutes {
        let id = checker.id();
        let near: Vec<usize> = (problem.people[id].stretches.iter().enumerate())
            .filter(|(_, s)| (s.day.number() - day.number()).abs() <= 1 && s.hull().end() > problem.start)
            .map(|(i, _)| i)
            .collect();
        let before: Minutes = near.iter().map(|s| *self.alone.entry((id, *s)).or_insert_with(|| checker.spare(*s))).sum();
        let mark = checker.enter(turns);
        let after: Minutes = near.iter().map(|s| checker.spare(*s)).sum();
        checker.leave(mark);
        Minutes::new((before - after).get().max(0))
    }
}
