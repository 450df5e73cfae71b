//! Planning the remainder: from the job, the plan people were told and the log up to a moment, the problem
//! that is left at that moment.
//!
//! What lies before the moment is fact and enters the new problem as records, as what the day has seen of
//! people, and as what is left of tasks; what is not logged counts as done as planned, as far as the log leaves
//! room for it (`hindered`). Everything that plans, proves and verifies then works on the remainder as on any other
//! problem.
//!
//! Two tables of tasks occur. The **whole** table is that of the job with the tasks the log adds behind its own; a
//! **remainder** has its own, shorter one, and [`Standing::tasks`] leads from it to the whole.

mod broken;
mod changes;
mod closing;
mod effects;
mod excused;
mod hindered;
mod night;
mod overrun;
mod pace;
mod people;
mod progress;
mod rows;
mod run;
mod ship;
mod short;
mod sole;
mod spent;
mod tasks;
mod told;

pub use changes::{Act, Changes, Gone, PersonChange, Piece, Reason, TaskChange, changes};
pub use closing::{Closing, StopPoint, close_up};
pub use effects::{Effects, Limit};
pub use night::{Overnight, night, overnight};
pub use progress::{Left, State, Work};
pub use sole::{Sole, sole_holders};
pub use spent::{Spent, TaskSpent, spent};

use crate::id::{DutyId, IdVec, MilestoneId, PersonId, TaskId};
use crate::model::{Defect, Entry, Event, Log, Parts, Problem, Recorded};
use crate::plan::{Plan, Spell};
use crate::time::Moment;

/// The job with everything the log adds to it.
#[derive(Clone, Debug)]
pub struct Whole {
    /// The job as the folder has it, the log's tasks behind its own.
    pub parts: Parts,
    /// How many tasks are the job's own.
    pub own: usize,
    /// How many milestones are.
    pub own_milestones: usize,
    /// The log.
    pub log: Log,
}

/// A plan that people were told, with the problem it answers and what was fact when it was made.
#[derive(Clone, Debug)]
pub struct Standing {
    /// The problem it answers.
    pub problem: Problem,
    /// The plan.
    pub plan: Plan,
    /// For each task of the problem, the task of the whole table.
    pub tasks: IdVec<TaskId, TaskId>,
    /// What had been done by then.
    pub past: Past,
    /// How many entries of the log had been written by then.
    pub entries: usize,
}

/// What had been done at some moment since the start of the job.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Past {
    /// Spells of work, cut at that moment, by task of the whole table; in order of start. Their times need not
    /// lie on the grid, and their parts are not numbered.
    pub spells: Vec<Spell>,
    /// What people did, task, watch, duty, on hand; in time order, apart.
    pub rows: IdVec<PersonId, Vec<Recorded>>,
    /// Tasks of the whole table that were done, and when, or will not be done; in their order.
    pub settled: Vec<(TaskId, State)>,
}

/// What is left of a job at a moment.
#[derive(Clone, Debug)]
pub struct Remainder {
    /// The problem; it begins at the first slot boundary at or after the moment. What is left of the plan people
    /// were told is in it.
    pub problem: Problem,
    /// For each of its tasks, the task of the whole table.
    pub tasks: IdVec<TaskId, TaskId>,
    /// What had been done.
    pub past: Past,
    /// How each task of the whole table stands.
    pub left: IdVec<TaskId, Left>,
    /// What stands on the sheets people were given, from its start on, of its tasks: what was begun late is told for as much
    /// later in the problem, and not here.
    pub sheets: Vec<Spell>,
    /// When its duties are to be done by those sheets, where they are on them.
    pub sheet_duties: IdVec<DutyId, Option<Moment>>,
    /// What people were told for later of tasks that are done by now, or will not be; in ids of the whole table.
    pub gone: Vec<Spell>,
    /// Tasks of it that people were told to have done by now, and for which nothing was told for later.
    pub undone: Vec<TaskId>,
    /// How many entries of the log had been written.
    pub entries: usize,
    /// Positions of the entries that the plan people were told did not know of, in order of time.
    pub fresh: Vec<usize>,
    /// Whether any of them bears on it.
    pub news: bool,
    /// What should be known about how this came about, one sentence each.
    pub notes: Vec<String>,
}

/// Why there is no remainder.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum NoRemainder {
    /// The moment lies before the plan begins.
    TooEarly(Moment),
    /// Every task is done.
    AllDone,
    /// The moment is past the latest end of the job.
    Over(Moment),
    /// What happened leaves something that cannot be done: what, and what should be known about it. Where limits of people that
    /// end are among that, it is not proven for good: they count for all of a plan.
    Impossible {
        /// What cannot be done.
        defects: Vec<Defect>,
        /// One sentence for each limit that ends.
        limits: Vec<String>,
    },
}

impl Whole {
    /// The job of a folder with its log.
    #[must_use]
    pub fn new(problem: Problem, log: Log) -> Self {
        let mut parts = problem.into_parts();
        let own = parts.tasks.len();
        for (_, task) in &log.tasks {
            let _: TaskId = parts.tasks.push(task.clone());
        }
        for (added, later) in &log.before {
            parts.tasks[*later].come_after(*added);
        }
        let own_milestones = parts.milestones.len();
        for (_, milestone) in &log.milestones {
            let _: MilestoneId = parts.milestones.push(milestone.clone());
        }
        parts.holds.extend(log.holds.iter().map(|(_, hold)| *hold));
        Self { parts, own, own_milestones, log }
    }

    /// The entries that had been written as the first `written` ones and had happened by `now`, with their
    /// positions, in order of time.
    pub(crate) fn known(&self, written: usize, now: Moment) -> Vec<(usize, &Entry)> {
        let mut known: Vec<(usize, &Entry)> = self.log.entries.iter().enumerate().take(written).filter(|(_, e)| e.at <= now).collect();
        known.sort_by_key(|(position, entry)| (entry.at, *position));
        known
    }
}

impl Standing {
    /// The first plan of a job: `plan` answers the job as the folder has it.
    #[must_use]
    pub fn first(problem: Problem, plan: Plan) -> Self {
        let tasks = problem.tasks.ids().collect::<Vec<_>>().into();
        let past = Past { spells: Vec::new(), rows: IdVec::filled(Vec::new(), problem.people.len()), settled: Vec::new() };
        Self { problem, plan, tasks, past, entries: 0 }
    }
}

impl Standing {
    /// The same plan for a job with an option laid over it: `old` is the job it was made for, `new` the one with the
    /// option. What the option adds stands behind what was there; tasks may be taken out.
    ///
    /// # Errors
    /// The code of somebody who is not at the place in the crew he had.
    pub fn laid_over(&self, old: &Whole, new: &Whole) -> Result<Self, String> {
        for (id, person) in old.parts.people.pairs() {
            if new.parts.people.get(id).is_none_or(|p| p.code != person.code) {
                return Err(person.code.clone());
            }
        }
        let to: IdVec<TaskId, Option<TaskId>> =
            old.parts.tasks.iter().map(|t| new.parts.tasks.find(|other| other.code == t.code)).collect();
        let mut standing = self.clone();
        standing.past.rows.extend_to(new.parts.people.len());
        standing.past.spells = self.past.spells.iter().filter_map(|s| Some(Spell { task: to[s.task]?, ..s.clone() })).collect();
        standing.past.settled = self.past.settled.iter().filter_map(|(task, state)| Some((to[*task]?, *state))).collect();
        // A task that the option takes out leads nowhere.
        let nowhere = <TaskId as crate::id::Id>::from_index(new.parts.tasks.len());
        standing.tasks = self.tasks.iter().map(|t| to[*t].unwrap_or(nowhere)).collect();
        Ok(standing)
    }
}

impl Remainder {
    /// The remainder with a plan for it.
    #[must_use]
    pub fn with(self, plan: Plan) -> Standing {
        Standing { problem: self.problem, plan, tasks: self.tasks, past: self.past, entries: self.entries }
    }
}

/// What is left at `now` of the job whose `standing` plan people were told, after the first `written` entries of
/// the log.
///
/// # Errors
/// Nothing is left, `now` is out of reach, or what is left hangs together no more.
pub fn remainder(whole: &Whole, standing: &Standing, now: Moment, written: usize) -> Result<Remainder, NoRemainder> {
    let grid = whole.parts.grid;
    let start = grid.moment(grid.ceil(now));
    if start < standing.problem.start {
        return Err(NoRemainder::TooEarly(standing.problem.start));
    }
    let Some(end) = ship::end(&whole.parts, start) else { return Err(NoRemainder::Over(whole.parts.latest_end)) };
    let mut effects = Effects::of(whole, written, start);
    let limits: Vec<String> = effects.ending(start).map(|(person, until)| limit(whole, person, until)).collect();
    let (mut notes, work, past, mut parts, tasks) = loop {
        let mut notes = limits.clone();
        let work = progress::work(whole, standing, &effects, start, written, &mut notes);
        if !work.left.iter().any(Left::is_open) {
            return Err(NoRemainder::AllDone);
        }
        let past = rows::past(whole, standing, &effects, &work, start);
        let (table, tasks) = tasks::table(whole, standing, &work, &past, &effects, start, &mut notes);
        let mut parts = Parts { start, end, tasks: table, told: None, ..whole.parts.clone() };
        tasks::holds(&mut parts, whole, &tasks, &work, &effects, &mut notes);
        tasks::milestones(&mut parts, whole, &tasks, &effects, &whole.known(written, start));
        let crew = overrun::crew(&parts, whole, &tasks, &past, start, &mut notes);
        people::people(&mut parts, whole, &crew, &past, &effects, start);
        ship::ship(&mut parts, whole, standing, &work, &effects, start, written, &mut notes);
        // What cannot go on is broken off, which gives each task one answer, so this comes to an end.
        let spent = excused::spent(&parts, start);
        if spent.is_empty() {
            break (notes, work, past, parts, tasks);
        }
        effects.spent.extend(spent.into_iter().map(|(task, person)| (tasks[task], person)));
    };
    excused::excuse(&mut parts, &effects, start, &mut notes);
    overrun::wanted_elsewhere(&parts, start, &mut notes);
    parts.told = Some(told::told(&parts, standing, &tasks, &work, start));
    let gone = told::gone(standing, &work, start);
    let sheets = told::sheets(standing, &tasks, start);
    let sheet_duties = told::sheet_duties(&parts, standing);
    let undone = told::undone(&parts, standing, &tasks);
    let known = whole.known(written, start);
    let before = whole.known(standing.entries, standing.problem.start);
    let fresh: Vec<(usize, &Entry)> = known.into_iter().filter(|(p, _)| before.iter().all(|(other, _)| other != p)).collect();
    let news = fresh.iter().any(|(position, entry)| entry.event != Event::Note || whole.log.adds(*position));
    let fresh = fresh.into_iter().map(|(position, _)| position).collect();
    let problem = Problem::new(parts).map_err(|defects| NoRemainder::Impossible { defects, limits })?;
    Ok(Remainder { problem, tasks, past, left: work.left, sheets, sheet_duties, gone, undone, entries: written, fresh, news, notes })
}

/// What is said of a limit that ends.
fn limit(whole: &Whole, person: PersonId, until: Moment) -> String {
    let (who, when) = (&whole.parts.people[person].code, whole.parts.clock.day_time(until));
    format!("{who} is planned as limited to the end, though it is until {when}; replan when it is over, or log `fit`.")
}
