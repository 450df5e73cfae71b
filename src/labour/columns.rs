//! The unknowns of a labour model.

use std::collections::BTreeMap;

use crate::id::{CompetenceId, IdVec, TaskId};
use crate::lp::Col;

use super::ground::{Ground, int};
use crate::lp::Model;

/// Who fills what when: class `class`, in a period, as holder of a competence, on tasks that are
/// emergencies or on others.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Fill {
    pub(super) period: usize,
    pub(super) urgent: bool,
    pub(super) competence: CompetenceId,
    pub(super) class: usize,
}

/// The columns of a model.
#[derive(Debug)]
pub(super) struct Columns {
    /// Slots of work of each task in each period in which it has any room; in time order.
    pub(super) work: IdVec<TaskId, Vec<(usize, Col)>>,
    /// Slots of each task that find no place.
    pub(super) unplaced: IdVec<TaskId, Col>,
    /// Person-slots by what they fill.
    pub(super) fills: BTreeMap<Fill, Col>,
    /// Minutes a class with a cap keeps unbooked, by class and ship's day, with the time and the cap it has.
    pub(super) spare: BTreeMap<(usize, i32), (Col, i64, i64)>,
}

/// What a column costs.
#[derive(Clone, Copy, Debug)]
pub(super) enum Aim {
    /// Only what stays unplaced: to prove.
    Place,
    /// What stays unplaced, then all work early: to steer.
    Early,
}

impl Columns {
    /// Adds all columns to `model` but the spare ones, which come with their rows.
    pub(super) fn new(ground: &Ground<'_>, model: &mut Model, aim: Aim) -> Self {
        let problem = ground.problem;
        let last = ground.periods.last().map_or(0, |p| p.to);
        let place = match aim {
            Aim::Place => 1,
            // More than a few slots can gain together by being early.
            Aim::Early => 1000 * int(last.max(1)),
        };
        let mut work = IdVec::new();
        let mut unplaced = IdVec::new();
        for task in problem.tasks.ids() {
            let length = ground.fit.length(task);
            let mut columns = Vec::new();
            for (k, period) in ground.periods.iter().enumerate() {
                let room = ground.room(task, k).min(length);
                if room > 0 {
                    let cost = match aim {
                        Aim::Place => 0,
                        Aim::Early => int(period.to),
                    };
                    columns.push((k, model.column(format!("work {} {k}", index(task)), Some(0), Some(int(room)), cost)));
                }
            }
            work.push(columns);
            unplaced.push(model.column(format!("unplaced {}", index(task)), Some(0), Some(int(length)), place));
        }
        let mut columns = Self { work, unplaced, fills: BTreeMap::new(), spare: BTreeMap::new() };
        columns.add_fills(ground, model);
        columns
    }

    fn add_fills(&mut self, ground: &Ground<'_>, model: &mut Model) {
        let mut wanted: BTreeMap<(usize, bool, CompetenceId), ()> = BTreeMap::new();
        for (task, columns) in self.work.pairs() {
            let data = &ground.problem.tasks[task];
            for (k, _) in columns {
                for need in &data.needs {
                    wanted.insert((*k, data.emergency, *need), ());
                }
            }
        }
        for (period, urgent, competence) in wanted.into_keys() {
            let data = &ground.periods[period];
            for (class, people) in ground.classes.iter().enumerate() {
                let holds = ground.problem.people[people.one()].holds(competence);
                if holds && data.states[class].works(ground.premises.hours, urgent) {
                    let most = people.size() * int(data.slots());
                    let fill = Fill { period, urgent, competence, class };
                    let name = format!("fill {period} {} {class}", crate::id::Id::index(competence));
                    self.fills.insert(fill, model.column(name, Some(0), Some(most), 0));
                }
            }
        }
    }

    /// The columns of one class in one period.
    pub(super) fn of_class(&self, class: usize, period: usize) -> impl Iterator<Item = Col> + '_ {
        let first = Fill { period, urgent: false, competence: crate::id::Id::from_index(0), class: 0 };
        let next = Fill { period: period + 1, ..first };
        self.fills.range(first..next).filter(move |(fill, _)| fill.class == class).map(|(_, col)| *col)
    }
}

fn index(task: TaskId) -> usize {
    crate::id::Id::index(task)
}
