//! Sums over the whole plan: by person, task, phase, and by competence and day beside the labour model.

use crate::account::TaskAccount;
use crate::clock::Day;
use crate::id::{CompetenceId, IdVec, PersonId, PhaseId, TaskId};
use crate::report::{ModelHours, Report, hours};
use crate::time::{Minutes, Moment, Span};

/// Sums over the whole plan.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Totals {
    /// Task time.
    pub labour: Minutes,
    /// Task time outside ordinary hours.
    pub overtime: Minutes,
    /// Task time between 20:00 and 06:00.
    pub night: Minutes,
    /// By person, in table order.
    pub people: Vec<PersonTotal>,
    /// By task, by start.
    pub tasks: Vec<TaskTotal>,
    /// By phase, in table order; phases without tasks are left out.
    pub phases: Vec<PhaseTotal>,
    /// By competence, then day: every pair with hours in the plan or in the labour model.
    pub competences: Vec<CompetenceDay>,
}

/// A person's sums; the rest stands in the account.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PersonTotal {
    /// Who.
    pub person: PersonId,
    /// Overtime by ship's day, days without left out.
    pub evenings: Vec<(Day, Minutes)>,
}

/// A task's sums.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TaskTotal {
    /// Which.
    pub task: TaskId,
    /// First start, last end, labour.
    pub account: TaskAccount,
    /// Task time outside ordinary hours.
    pub overtime: Minutes,
    /// Everybody who works on it, in table order.
    pub people: Vec<PersonId>,
    /// Number of spells.
    pub spells: usize,
    /// How much later it could end.
    pub slack: Minutes,
}

/// A phase's sums.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PhaseTotal {
    /// Which.
    pub phase: PhaseId,
    /// Number of tasks.
    pub tasks: usize,
    /// First start.
    pub start: Moment,
    /// Last end.
    pub end: Moment,
    /// Task time.
    pub labour: Minutes,
    /// Task time outside ordinary hours.
    pub overtime: Minutes,
}

/// Hours called for in one competence on one day.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct CompetenceDay {
    /// The competence as the task calls for it.
    pub competence: CompetenceId,
    /// The ship's day.
    pub day: Day,
    /// What the plan has.
    pub planned: Minutes,
    /// What the labour model has; `None` where there is no model.
    pub model: Option<Minutes>,
}

/// Adds everything up.
pub(super) fn of(report: &Report<'_>) -> Totals {
    let (problem, account) = (report.problem(), report.account());
    let overtime = overtime_by_task(report);
    let slack = report.slack();
    let mut tasks: Vec<TaskTotal> = problem
        .tasks
        .ids()
        .map(|task| TaskTotal {
            task,
            account: account.tasks[task],
            overtime: overtime[task],
            people: people_of(report, task),
            spells: report.plan().spells.iter().filter(|s| s.task == task).count(),
            slack: slack[task],
        })
        .collect();
    tasks.sort_by_key(|t| (t.account.start, t.account.end, t.task));
    Totals {
        labour: account.people.iter().map(|p| p.labour).sum(),
        overtime: account.people.iter().map(|p| p.overtime).sum(),
        night: account.people.iter().map(|p| p.night).sum(),
        people: evenings(report).pairs().map(|(person, evenings)| PersonTotal { person, evenings: evenings.clone() }).collect(),
        phases: problem.phases.ids().filter_map(|phase| phase_total(report, phase, &tasks)).collect(),
        competences: competences(report),
        tasks,
    }
}

fn people_of(report: &Report<'_>, task: TaskId) -> Vec<PersonId> {
    let mut people: Vec<PersonId> = report.plan().spells.iter().filter(|s| s.task == task).flat_map(|s| s.team.iter().copied()).collect();
    people.sort_unstable();
    people.dedup();
    people
}

/// Every piece of work of every spell with the person who does it and the competence called for.
fn work<'a>(report: &'a Report<'_>) -> impl Iterator<Item = (TaskId, Span, PersonId, Option<CompetenceId>)> + 'a {
    report.plan().spells.iter().flat_map(move |spell| {
        let needs = &report.problem().tasks[spell.task].needs;
        let team = spell.team.iter().enumerate().map(move |(n, p)| (*p, needs.get(n).copied()));
        team.flat_map(move |(person, need)| spell.work.iter().map(move |piece| (spell.task, *piece, person, need)))
    })
}

fn overtime_by_task(report: &Report<'_>) -> IdVec<TaskId, Minutes> {
    let mut sums = IdVec::filled(Minutes::ZERO, report.problem().tasks.len());
    for (task, piece, person, _) in work(report) {
        sums[task] += hours::overtime(&report.problem().people[person], piece);
    }
    sums
}

/// Overtime of every person by ship's day, days without left out.
fn evenings(report: &Report<'_>) -> IdVec<PersonId, Vec<(Day, Minutes)>> {
    let problem = report.problem();
    let none: Vec<(Day, Minutes)> = report.days().map(|d| (d, Minutes::ZERO)).collect();
    let mut sums = IdVec::filled(none, problem.people.len());
    for (_, piece, person, _) in work(report) {
        for (day, part) in hours::by_day(problem, piece) {
            let over = hours::overtime(&problem.people[person], part);
            sums[person].iter_mut().filter(|(d, _)| *d == day).for_each(|(_, sum)| *sum += over);
        }
    }
    for row in &mut sums {
        row.retain(|(_, sum)| *sum > Minutes::ZERO);
    }
    sums
}

fn phase_total(report: &Report<'_>, phase: PhaseId, tasks: &[TaskTotal]) -> Option<PhaseTotal> {
    let mine: Vec<&TaskTotal> = tasks.iter().filter(|t| report.problem().tasks[t.task].phase == phase).collect();
    Some(PhaseTotal {
        phase,
        tasks: mine.len(),
        start: mine.iter().map(|t| t.account.start).min()?,
        end: mine.iter().map(|t| t.account.end).max()?,
        labour: mine.iter().map(|t| t.account.labour).sum(),
        overtime: mine.iter().map(|t| t.overtime).sum(),
    })
}

fn competences(report: &Report<'_>) -> Vec<CompetenceDay> {
    let problem = report.problem();
    let days: Vec<Day> = report.days().collect();
    let mut planned: IdVec<CompetenceId, Vec<Minutes>> = IdVec::filled(vec![Minutes::ZERO; days.len()], problem.competences.len());
    let mut model = planned.clone();
    let at = |day: Day| days.iter().position(|d| *d == day);
    for (_, piece, _, need) in work(report) {
        for (day, part) in hours::by_day(problem, piece) {
            if let (Some(need), Some(i)) = (need, at(day)) {
                planned[need][i] += part.length();
            }
        }
    }
    let solved = match &report.solved().model {
        ModelHours::Given(rows) => {
            for row in rows {
                if let Some(i) = at(row.day) {
                    model[row.competence][i] += row.labour;
                }
            }
            true
        }
        ModelHours::Skipped(_) => false,
    };
    let pairs = problem.competences.ids().flat_map(|c| days.iter().enumerate().map(move |(i, d)| (c, i, *d)));
    pairs
        .map(|(competence, i, day)| CompetenceDay {
            competence,
            day,
            planned: planned[competence][i],
            model: solved.then_some(model[competence][i]),
        })
        .filter(|row| !row.planned.is_zero() || row.model.is_some_and(|m| !m.is_zero()))
        .collect()
}

impl Report<'_> {
    /// How much later each task could end without a later finish: found by planning again where the
    /// search did that, otherwise by order and waits alone.
    #[must_use]
    pub fn slack(&self) -> IdVec<TaskId, Minutes> {
        self.solved.slack.clone().unwrap_or_else(|| super::slack::by_order(self))
    }
}
