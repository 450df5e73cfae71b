//! What the labour model says about who works when.

use std::collections::BTreeMap;

use super::Skipped;
use super::build::{Built, solved};
use super::deal::Shared;
use super::ground::{Ground, Premises};
use crate::calendar::{Fit, People, Windows};
use crate::clock::Day;
use crate::id::{CompetenceId, IdVec, PersonId, TaskId};
use crate::lp::Solution;
use crate::model::Problem;
use crate::time::{Minutes, Moment};

/// So much time of one person on one task on one ship's day.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Share {
    /// The task.
    pub task: TaskId,
    /// The ship's day.
    pub day: Day,
    /// The person.
    pub person: PersonId,
    /// The time, rounded to whole minutes.
    pub minutes: Minutes,
}

/// Who works how long on what when, if nothing had to be whole.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LabourPlan {
    /// The finish that was asked for.
    pub finish: Moment,
    /// Work that found no place, in thousandths of a slot; zero for all where the finish may be possible.
    pub unplaced: IdVec<TaskId, i64>,
    /// Time by task, ship's day and person; sorted, none of them zero.
    pub shares: Vec<Share>,
    /// Time by competence filled and ship's day; none of them zero.
    pub competences: BTreeMap<(CompetenceId, Day), Minutes>,
    /// When half of each task is done.
    pub half: IdVec<TaskId, Moment>,
    /// When all of each task is done.
    pub done: IdVec<TaskId, Moment>,
    /// For each position of each task, who fills most of it; different people as far as can be.
    pub teams: IdVec<TaskId, Vec<Option<PersonId>>>,
    /// Number of columns and rows of the model.
    pub size: (usize, usize),
}

/// Solves the labour model for `finish`: work is placed as far as can be, then as early as can be.
///
/// # Errors
/// Where there is no answer, and why.
pub fn solve(problem: &Problem, premises: Premises, finish: Moment) -> Result<LabourPlan, Skipped> {
    laid_out(problem, premises, finish, |ground| {
        let built = Built::new(ground);
        Ok(LabourPlan::new(ground, &built, &solved(&built)?, finish))
    })
}

/// Lays a problem out for a finish and does something with that.
pub(super) fn laid_out<T>(
    problem: &Problem,
    premises: Premises,
    finish: Moment,
    work: impl FnOnce(&Ground<'_>) -> Result<T, Skipped>,
) -> Result<T, Skipped> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, premises.hours);
    let windows = Windows::forward(problem, &fit).map_err(|stuck| Skipped::NoRoom(stuck.task))?;
    let ground = Ground::new(problem, &fit, &windows, premises, people.range().to(finish)).map_err(Skipped::NoRoom)?;
    work(&ground)
}

impl LabourPlan {
    /// What a point of a model says.
    pub(super) fn new(ground: &Ground<'_>, built: &Built, solution: &Solution, finish: Moment) -> Self {
        let tasks = || ground.problem.tasks.ids();
        let shares = Shared::new(ground, built, solution);
        Self {
            finish,
            unplaced: tasks().map(|t| solution.thousandths(built.columns.unplaced[t])).collect(),
            shares: shares.list(ground),
            competences: competences(ground, built, solution),
            half: tasks().map(|t| reached(ground, built, solution, t, 50)).collect(),
            done: tasks().map(|t| reached(ground, built, solution, t, 100)).collect(),
            teams: tasks().map(|t| shares.team(ground, t)).collect(),
            size: (built.model.column_count(), built.model.row_count()),
        }
    }

    /// Time of one person on one ship's day over all tasks.
    #[must_use]
    pub fn of_person(&self, person: PersonId, day: Day) -> Minutes {
        self.shares.iter().filter(|s| s.person == person && s.day == day).map(|s| s.minutes).sum()
    }
}

/// Minutes of so many thousandths of a slot, to the nearest.
pub(super) fn minutes(ground: &Ground<'_>, thousandths: i64) -> Minutes {
    let minutes = (thousandths * ground.minutes(1) + 500).div_euclid(1000);
    Minutes::new(i32::try_from(minutes).unwrap_or(i32::MAX))
}

fn competences(ground: &Ground<'_>, built: &Built, solution: &Solution) -> BTreeMap<(CompetenceId, Day), Minutes> {
    let mut sums: BTreeMap<(CompetenceId, Day), i64> = BTreeMap::new();
    for (task, columns) in built.columns.work.pairs() {
        for (k, col) in columns {
            for need in &ground.problem.tasks[task].needs {
                *sums.entry((*need, ground.periods[*k].day)).or_default() += solution.thousandths(*col);
            }
        }
    }
    let rounded = sums.into_iter().map(|(key, sum)| (key, minutes(ground, sum)));
    rounded.filter(|(_, minutes)| !minutes.is_zero()).collect()
}

/// When so many percent of what is placed of a task are done: at the end of the slots its work takes of the
/// period, counted from the period's start.
fn reached(ground: &Ground<'_>, built: &Built, solution: &Solution, task: TaskId, percent: i64) -> Moment {
    let range = ground.fit.people().range();
    let columns = &built.columns.work[task];
    let placed: i64 = columns.iter().map(|(_, col)| solution.thousandths(*col)).sum();
    let asked = placed * percent;
    let mut sum = 0;
    for (k, col) in columns {
        let here = solution.thousandths(*col);
        if here > 0 && (sum + here) * 100 >= asked {
            let part = (asked - sum * 100 + 99_999).div_euclid(100_000).max(0);
            let period = &ground.periods[*k];
            let into = usize::try_from(part).unwrap_or(0).min(period.slots());
            return range.moment((period.from.max(ground.windows.of(task).start) + into).min(period.to));
        }
        sum += here;
    }
    range.moment(ground.deadlines.end(task))
}
