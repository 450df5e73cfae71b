//! What the labour model says about who works when.

use std::collections::BTreeMap;

use super::build::Built;
use super::columns::{Aim, Fill};
use super::ground::{Ground, Premises, int};
use super::rows::Meaning;
use super::{LARGEST_MODEL, Skipped};
use crate::calendar::{Fit, People, Windows};
use crate::clock::Day;
use crate::id::{CompetenceId, IdVec, PersonId, TaskId, ToolId};
use crate::lp::{Outcome, Prices, Solution};
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

/// What a price is paid for.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Priced {
    /// Time of one person on one ship's day.
    Person(PersonId, Day),
    /// Time of somebody with a competence on one ship's day.
    Competence(CompetenceId, Day),
    /// Time of a tool on one ship's day.
    Tool(ToolId, Day),
    /// Unbooked time of the reserve on one ship's day.
    Unbooked(Day),
    /// An evening of overtime of a person.
    Evening(PersonId),
}

/// What one more hour of something would be worth to the model, in thousandths of its cost per hour: a slope,
/// good for ranking candidates and for nothing else.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Price {
    /// What of.
    pub of: Priced,
    /// The worth; positive.
    pub worth: i64,
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
    /// What would be worth most, dearest first. Empty where the back-end gave no prices.
    pub prices: Vec<Price>,
    /// Number of columns and rows of the model.
    pub size: (usize, usize),
}

/// Solves the labour model for `finish`: work is placed as far as can be, then as early as can be.
///
/// # Errors
/// Where there is no answer, and why.
pub fn solve(problem: &Problem, premises: Premises, finish: Moment) -> Result<LabourPlan, Skipped> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, premises.hours);
    let windows = Windows::forward(problem, &fit).map_err(|stuck| Skipped::NoRoom(stuck.task))?;
    let ground = Ground::new(problem, &fit, &windows, premises, people.range().to(finish)).map_err(Skipped::NoRoom)?;
    let built = Built::new(&ground, Aim::Early);
    let (columns, rows) = (built.model.column_count(), built.model.row_count());
    if columns + rows > LARGEST_MODEL {
        return Err(Skipped::TooLarge { columns, rows });
    }
    let solution = match built.model.solve() {
        Outcome::Optimal(solution) => solution,
        Outcome::Failed(failure) => return Err(Skipped::Failed(failure)),
        // Everything may stay unplaced, and every column is in a box.
        Outcome::Infeasible => return Err(Skipped::Failed(crate::lp::Failure::Contradicted("without a point"))),
        Outcome::Unbounded => return Err(Skipped::Failed(crate::lp::Failure::Contradicted("without a limit"))),
    };
    let shares = Shared::new(&ground, &built, &solution);
    let point = |percent: i64| problem.tasks.ids().map(|t| reached(&ground, &built, &solution, t, percent)).collect();
    Ok(LabourPlan {
        finish,
        unplaced: problem.tasks.ids().map(|t| solution.thousandths(built.columns.unplaced[t])).collect(),
        shares: shares.list(&ground),
        competences: competences(&ground, &built, &solution),
        half: point(50),
        done: point(100),
        teams: problem.tasks.ids().map(|t| shares.team(&ground, t)).collect(),
        prices: built.model.prices().map_or_else(|_| Vec::new(), |prices| ranked(&ground, &built, &prices)),
        size: (columns, rows),
    })
}

/// Minutes of so many thousandths of a slot, to the nearest.
fn minutes(ground: &Ground<'_>, thousandths: i64) -> Minutes {
    let minutes = (thousandths * ground.minutes(1) + 500).div_euclid(1000);
    Minutes::new(i32::try_from(minutes).unwrap_or(i32::MAX))
}

fn competences(ground: &Ground<'_>, built: &Built, solution: &Solution) -> BTreeMap<(CompetenceId, Day), Minutes> {
    let mut sums: BTreeMap<(CompetenceId, Day), i64> = BTreeMap::new();
    for (fill, col) in &built.columns.fills {
        *sums.entry((fill.competence, ground.periods[fill.period].day)).or_default() += solution.thousandths(*col);
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

/// Thousandths of a slot by task, position, person and day.
struct Shared(BTreeMap<(TaskId, usize, PersonId, Day), i64>);

impl Shared {
    /// Deals out what each class fills to the tasks that need it, period by period: to each position first
    /// those who have filled it before, and nobody twice in one task as long as there are others.
    fn new(ground: &Ground<'_>, built: &Built, solution: &Solution) -> Self {
        let mut shared: BTreeMap<(TaskId, usize, PersonId, Day), i64> = BTreeMap::new();
        let mut habit: BTreeMap<(TaskId, usize, usize), i64> = BTreeMap::new();
        let mut left: BTreeMap<Fill, i64> = built.columns.fills.iter().map(|(f, col)| (*f, solution.thousandths(*col))).collect();
        let mut work: BTreeMap<usize, Vec<(TaskId, i64)>> = BTreeMap::new();
        for (task, columns) in built.columns.work.pairs() {
            for (k, col) in columns {
                let slots = solution.thousandths(*col);
                if slots > 0 {
                    work.entry(*k).or_default().push((task, slots));
                }
            }
        }
        for (k, tasks) in work {
            for (task, slots) in tasks {
                let data = &ground.problem.tasks[task];
                let mut used: BTreeMap<usize, i64> = BTreeMap::new();
                for (position, need) in data.needs.iter().enumerate() {
                    let mut wanted = slots;
                    // Nobody twice first, then anybody.
                    for apart in [true, false] {
                        let mut classes: Vec<usize> = (0..ground.classes.len()).collect();
                        classes.sort_by_key(|q| std::cmp::Reverse(habit.get(&(task, position, *q)).copied().unwrap_or(0)));
                        for class in classes {
                            let fill = Fill { period: k, urgent: data.emergency, competence: *need, class };
                            let Some(rest) = left.get_mut(&fill) else { continue };
                            let taken = used.get(&class).copied().unwrap_or(0);
                            let room = if apart { ground.classes[class].size() * slots - taken } else { i64::MAX };
                            let part = wanted.min(*rest).min(room.max(0));
                            if part > 0 {
                                *rest -= part;
                                wanted -= part;
                                *used.entry(class).or_default() += part;
                                *habit.entry((task, position, class)).or_default() += part;
                                deal(&mut shared, ground, (task, position, class, ground.periods[k].day), part);
                            }
                        }
                    }
                }
            }
        }
        Self(shared)
    }

    /// By task, day and person, in minutes.
    fn list(&self, ground: &Ground<'_>) -> Vec<Share> {
        let mut sums: BTreeMap<(TaskId, Day, PersonId), i64> = BTreeMap::new();
        for ((task, _, person, day), part) in &self.0 {
            *sums.entry((*task, *day, *person)).or_default() += part;
        }
        let shares = sums.into_iter().map(|((task, day, person), part)| Share { task, day, person, minutes: minutes(ground, part) });
        shares.filter(|share| !share.minutes.is_zero()).collect()
    }

    /// Who fills most of each position, dearest first, nobody twice.
    fn team(&self, ground: &Ground<'_>, task: TaskId) -> Vec<Option<PersonId>> {
        let first = (task, 0, crate::id::Id::from_index(0), Day::new(i32::MIN));
        let mut sums: BTreeMap<(usize, PersonId), i64> = BTreeMap::new();
        for ((_, position, person, _), part) in self.0.range(first..).take_while(|((t, ..), _)| *t == task) {
            *sums.entry((*position, *person)).or_default() += part;
        }
        let mut order: Vec<(std::cmp::Reverse<i64>, usize, PersonId)> =
            sums.into_iter().map(|((position, person), part)| (std::cmp::Reverse(part), position, person)).collect();
        order.sort_unstable();
        let mut team = vec![None; ground.problem.tasks[task].needs.len()];
        for (_, position, person) in order {
            if team[position].is_none() && !team.contains(&Some(person)) {
                team[position] = Some(person);
            }
        }
        team
    }
}

/// Gives the members of a class equal parts of `part`, what is over by index.
fn deal(
    shared: &mut BTreeMap<(TaskId, usize, PersonId, Day), i64>,
    ground: &Ground<'_>,
    (task, position, class, day): (TaskId, usize, usize, Day),
    part: i64,
) {
    let members = &ground.classes[class].members;
    let (each, over) = (part / int(members.len()), part % int(members.len()));
    for (i, person) in members.iter().enumerate() {
        let mine = each + i64::from(int(i) < over);
        if mine > 0 {
            *shared.entry((task, position, *person, day)).or_default() += mine;
        }
    }
}

/// The prices of rows as worth of what they limit, per hour, dearest first.
fn ranked(ground: &Ground<'_>, built: &Built, prices: &Prices) -> Vec<Price> {
    let mut worth: BTreeMap<Priced, i64> = BTreeMap::new();
    let slots_an_hour = 60 / i64::from(ground.fit.people().range().slot().get()).clamp(1, 60);
    for (row, meaning) in built.model.row_ids().zip(built.meanings.iter()) {
        let price = prices.thousandths(row).abs();
        if price == 0 {
            continue;
        }
        let first = |class: usize| ground.classes[class].one();
        let (of, per_hour) = match *meaning {
            Meaning::Time(class, k) => (Priced::Person(first(class), ground.periods[k].day), slots_an_hour),
            Meaning::Cap(class, day) => (Priced::Person(first(class), day), slots_an_hour),
            Meaning::Rest(class, _, day) | Meaning::SpareTime(class, day) | Meaning::SpareCap(class, day) => {
                (Priced::Person(first(class), day), 60)
            }
            Meaning::Filled(competence, k) => (Priced::Competence(competence, ground.periods[k].day), slots_an_hour),
            Meaning::Tool(tool, k) => (Priced::Tool(tool, ground.periods[k].day), slots_an_hour),
            Meaning::Unbooked(day) => (Priced::Unbooked(day), 60),
            Meaning::Evenings(class) => (Priced::Evening(first(class)), slots_an_hour),
            Meaning::Placed(_) | Meaning::Order(..) | Meaning::Sequence(_) => continue,
        };
        // Rows of one day are alternatives, so the dearest of them counts.
        let entry = worth.entry(of).or_default();
        *entry = (*entry).max(price * per_hour);
    }
    let mut list: Vec<Price> = worth.into_iter().map(|(of, worth)| Price { of, worth }).collect();
    list.sort_by_key(|p| (std::cmp::Reverse(p.worth), p.of));
    list
}
