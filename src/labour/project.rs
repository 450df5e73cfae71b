//! Counts a plan out into the columns of a labour model and holds it against every row, in whole numbers.

use std::collections::BTreeMap;

use super::build::Built;
use super::columns::Fill;
use super::ground::{Ground, Premises, int};
use super::rows::{self, Meaning};
use crate::calendar::{Fit, People, State, Windows};
use crate::id::{Id, IdVec, TaskId};
use crate::lp::Col;
use crate::model::Problem;
use crate::plan::Plan;
use crate::time::Moment;

/// Something in the labour model that a plan breaks. For a legal plan that keeps the premises, this is a
/// fault of the model.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Broken {
    /// By the calendars, the problem cannot be done by that finish at all.
    NoRoom,
    /// The plan does work in a period in which the model has no column for it, or by somebody it has none
    /// for.
    NoColumn(String),
    /// The plan leaves so many slots of a task out.
    Unplaced(TaskId, i64),
    /// A row, and by how much.
    Row(Meaning, i128),
    /// The bound of a column, and by how much.
    Bound(String, i128),
}

/// Every row and bound of the model for `finish` that `plan` breaks. A legal plan that keeps `premises`,
/// has no reserve shortfall and ends by `finish` breaks none.
#[must_use]
pub fn check_rows(problem: &Problem, plan: &Plan, premises: Premises, finish: Moment) -> Vec<Broken> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, premises.hours);
    let Ok(windows) = Windows::forward(problem, &fit) else { return vec![Broken::NoRoom] };
    let Ok(ground) = Ground::new(problem, &fit, &windows, premises, people.range().to(finish)) else {
        return vec![Broken::NoRoom];
    };
    broken(&ground, &Built::new(&ground), plan)
}

/// Every row and bound of a built model that a plan breaks.
pub(super) fn broken(ground: &Ground<'_>, built: &Built, plan: &Plan) -> Vec<Broken> {
    let mut found = Vec::new();
    let point = point(ground, built, plan, &mut found);
    for col in built.model.column_ids() {
        let by = built.model.bound_excess(col, &point);
        if by > 0 {
            found.push(Broken::Bound(built.model.column_name(col).to_owned(), by));
        }
    }
    for (row, meaning) in built.model.row_ids().zip(built.meanings.iter()) {
        let by = built.model.row_excess(row, &point);
        if by > 0 {
            found.push(Broken::Row(*meaning, by));
        }
    }
    found
}

/// The point of a plan: its slots of work by column, nothing unplaced but what the plan leaves out.
fn point(ground: &Ground<'_>, built: &Built, plan: &Plan, found: &mut Vec<Broken>) -> IdVec<Col, i64> {
    let range = ground.fit.people().range();
    let mut point: IdVec<Col, i64> = IdVec::filled(0, built.model.column_count());
    let mut placed: IdVec<TaskId, i64> = IdVec::filled(0, ground.problem.tasks.len());
    let mut booked: rows::Booked = BTreeMap::new();
    let class_of: BTreeMap<_, _> =
        ground.classes.iter().enumerate().flat_map(|(q, class)| class.members.iter().map(move |p| (*p, q))).collect();
    for spell in &plan.spells {
        let task = &ground.problem.tasks[spell.task];
        for slot in spell.work.iter().map(|piece| range.inside(*piece)).flat_map(|(from, to)| from..to) {
            let Some(k) = ground.periods.iter().position(|p| p.from <= slot && slot < p.to) else {
                found.push(Broken::NoColumn(format!("slot {slot} lies behind the asked finish")));
                continue;
            };
            let columns = &built.columns.work[spell.task];
            match columns.binary_search_by_key(&k, |(p, _)| *p) {
                Ok(position) => point[columns[position].1] += 1,
                Err(_) => found.push(Broken::NoColumn(format!("work {} {k}", spell.task.index()))),
            }
            placed[spell.task] += 1;
            for (need, person) in task.needs.iter().zip(&spell.team) {
                let class = class_of[person];
                let pool = ground.pool(k, *need, task.emergency);
                if pool.binary_search(&class).is_err() {
                    found.push(Broken::NoColumn(format!("class {class} for {} in period {k}", need.index())));
                } else if pool.len() > 1 {
                    match built.columns.fills.get(&Fill { period: k, pool, class }) {
                        Some(col) => point[*col] += 1,
                        None => found.push(Broken::NoColumn(format!("class {class} in period {k}"))),
                    }
                }
                let period = &ground.periods[k];
                let entry = booked.entry((class, period.day.number())).or_default();
                let counts = period.counts && period.states[class] == State::Ordinary;
                entry.0 += ground.minutes(1) * i64::from(counts);
                entry.1 += ground.minutes(1);
            }
        }
    }
    for (task, slots) in placed.pairs() {
        let left = int(ground.fit.length(task)) - slots;
        point[built.columns.unplaced[task]] = left;
        if left > 0 {
            found.push(Broken::Unplaced(task, left));
        }
    }
    for ((class, day), (col, time, cap)) in &built.columns.spare {
        let (counted, all) = booked.get(&(*class, *day)).copied().unwrap_or_default();
        point[*col] = (time - counted).min(cap - all).max(0);
    }
    point
}
