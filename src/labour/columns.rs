//! The unknowns of a labour model.

use std::collections::BTreeMap;

use crate::id::{CompetenceId, Id, IdVec, TaskId};
use crate::lp::{Col, Model};

use super::ground::{Ground, int};

/// A pool: the classes that can fill a position in a period. Competences with the same holders at work are
/// one pool, and so are fewer and larger sums.
pub(super) type Pool = Vec<usize>;

/// A sum of columns: column and coefficient.
pub(super) type Sum = Vec<(Col, i64)>;

/// Who fills what when: class `class`, in a period, for a pool it is one of.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Fill {
    pub(super) period: usize,
    pub(super) pool: Pool,
    pub(super) class: usize,
}

/// The columns of a model.
#[derive(Debug)]
pub(super) struct Columns {
    /// Slots of work of each task in each period in which it has any room; in time order.
    pub(super) work: IdVec<TaskId, Vec<(usize, Col)>>,
    /// Slots of each task that find no place.
    pub(super) unplaced: IdVec<TaskId, Col>,
    /// What the tasks need of each pool in each period, as sums of work columns.
    pub(super) wanted: BTreeMap<(usize, Pool), Sum>,
    /// Person-slots by what they fill. A pool of one class needs no column: what is wanted is what it gives.
    pub(super) fills: BTreeMap<Fill, Col>,
    /// Minutes a class with a cap keeps unbooked, by class and ship's day, with the time and the cap it has.
    pub(super) spare: BTreeMap<(usize, i32), (Col, i64, i64)>,
    /// What a slot without a place costs, and a minute of the reserve that is missing.
    pub(super) dear: i64,
    /// The most that all work can cost by being late, if nothing stays unplaced.
    pub(super) latest: i64,
}

/// What a slot without a place costs, for every slot up to the finish. What work costs by being late is
/// small against it: all of it together is less than a part of one slot in a job of a hundred tasks.
const UNPLACED: i64 = 10_000;

impl Columns {
    /// Adds all columns to `model` but the spare ones, which come with their rows. Work costs what its
    /// period is late, so that of many answers the early ones are taken; the back-end also goes round in
    /// circles less where costs differ.
    pub(super) fn new(ground: &Ground<'_>, model: &mut Model) -> Self {
        let problem = ground.problem;
        let last = ground.periods.last().map_or(0, |p| p.to);
        let mut work = IdVec::new();
        let mut unplaced = IdVec::new();
        let mut latest = 0;
        let dear = UNPLACED * int(last.max(1));
        for task in problem.tasks.ids() {
            let length = ground.fit.length(task);
            let mut columns = Vec::new();
            for (k, period) in ground.periods.iter().enumerate() {
                let room = ground.room(task, k).min(length);
                if room > 0 {
                    let name = format!("work {} {k}", task.index());
                    columns.push((k, model.column(name, Some(0), Some(int(room)), int(period.to))));
                }
            }
            latest += int(length) * columns.last().map_or(0, |(k, _)| int(ground.periods[*k].to));
            work.push(columns);
            let name = format!("unplaced {}", task.index());
            unplaced.push(model.held_column(name, int(length), dear));
        }
        let mut columns = Self { work, unplaced, wanted: BTreeMap::new(), fills: BTreeMap::new(), spare: BTreeMap::new(), dear, latest };
        columns.add_fills(ground, model);
        columns
    }

    fn add_fills(&mut self, ground: &Ground<'_>, model: &mut Model) {
        for (task, columns) in self.work.pairs() {
            let data = &ground.problem.tasks[task];
            for (k, col) in columns {
                for need in &data.needs {
                    let pool = ground.pool(*k, *need, data.emergency);
                    self.wanted.entry((*k, pool)).or_default().push((*col, 1));
                }
            }
        }
        for (number, (period, pool)) in self.wanted.keys().filter(|(_, pool)| pool.len() > 1).enumerate() {
            for class in pool {
                let most = ground.classes[*class].size() * int(ground.periods[*period].slots());
                let fill = Fill { period: *period, pool: pool.clone(), class: *class };
                let name = format!("fill {period} {number} {class}");
                // What the class gives in the period holds it.
                self.fills.insert(fill, model.held_column(name, most, 0));
            }
        }
    }

    /// Whether a task has room in a period.
    pub(super) fn has(&self, task: TaskId, period: usize) -> bool {
        self.work[task].binary_search_by_key(&period, |(k, _)| *k).is_ok()
    }

    /// Whether one class has a fill in one period.
    pub(super) fn fills(&self, class: usize, period: usize) -> bool {
        let pools = self.wanted.range((period, Vec::new())..(period + 1, Vec::new())).map(|((_, pool), _)| pool);
        pools.into_iter().any(|pool| pool.len() > 1 && pool.binary_search(&class).is_ok())
    }

    /// What one class gives in one period, as a sum.
    pub(super) fn given(&self, class: usize, period: usize) -> Sum {
        let mut terms = Vec::new();
        for ((_, pool), wanted) in self.wanted.range((period, Vec::new())..(period + 1, Vec::new())) {
            if *pool == [class] {
                terms.extend(wanted);
            } else if pool.len() > 1 && pool.binary_search(&class).is_ok() {
                let fill = Fill { period, pool: pool.clone(), class };
                terms.extend(self.fills.get(&fill).map(|col| (*col, 1)));
            }
        }
        terms
    }
}

impl Ground<'_> {
    /// The classes that can fill a position in a period; sorted.
    pub(super) fn pool(&self, k: usize, need: CompetenceId, emergency: bool) -> Pool {
        let states = &self.periods[k].states;
        let able = |class: &usize| {
            let people = &self.classes[*class];
            self.problem.people[people.one()].holds(need) && states[*class].works(self.premises.hours, emergency)
        };
        (0..self.classes.len()).filter(able).collect()
    }
}
