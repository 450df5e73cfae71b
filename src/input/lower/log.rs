//! `log.toml`: what happened while the job ran.

mod doubts;

use std::collections::BTreeMap;

use crate::diag::{Code, Diagnostic, Place};
use crate::id::{DutyId, Id, IdVec, PersonId, PhaseId, TagId, TaskId, ToolId, TurnId};
use crate::input::index::Index;
use crate::input::lower::duties::{self, DutyContext};
use crate::input::lower::job;
use crate::input::lower::tasks::{self, TaskContext};
use crate::input::raw::log::Entry as RawEntry;
use crate::input::raw::tasks::Task as RawTask;
use crate::input::row::TIME_HELP;
use crate::input::sink::Sink;
use crate::input::text::{At, Text};
use crate::input::times::Times;
use crate::input::when::Written;
use crate::model::{Duty, Entry, Event, Hold, Log, Milestone, Named, Person, Tag, Task, Tool, Turn};
use crate::time::Moment;

/// The job the log belongs to.
pub(in crate::input) struct LogGround<'a> {
    /// The job's own tasks as written.
    pub written: &'a [&'a RawTask],
    /// The job's own tasks.
    pub base: &'a IdVec<TaskId, Task>,
    /// Its duties.
    pub duties: &'a IdVec<DutyId, Duty>,
    /// The people.
    pub people: &'a IdVec<PersonId, Person>,
    /// Those of them whose hours could not be read.
    pub unread: &'a [PersonId],
    /// The turns.
    pub turns: &'a IdVec<TurnId, Turn>,
    /// The tools.
    pub tools: &'a IdVec<ToolId, Tool>,
    /// The tags.
    pub tags: &'a IdVec<TagId, Tag>,
    /// The phase of tasks that name none.
    pub last_phase: PhaseId,
    /// Times.
    pub times: &'a Times,
    /// Where diagnostics go.
    pub sink: &'a Sink,
}

/// The phase of added tasks that name none: one of its own, if tasks are added at all.
pub(in crate::input) fn phase(raw: &[RawEntry], phases: &mut IdVec<PhaseId, Named>, index: &mut Index) -> PhaseId {
    let last = PhaseId::from_index(phases.len().saturating_sub(1));
    if raw.iter().all(|entry| entry.tasks.is_empty()) {
        return last;
    }
    match index.phases.build_in("event") {
        Some(_) => phases.push(Named { code: "event".to_owned(), name: "Events".to_owned() }),
        None => index.phases.get("event").unwrap_or(last),
    }
}

/// The log; the tasks it adds are defined in `index`, after everything of the job that could name them was read.
pub(in crate::input) fn read(raw: &[RawEntry], index: &mut Index, ground: &LogGround<'_>) -> Log {
    let rows = define(raw, index, ground.sink);
    let milestones = milestones(raw, index, ground);
    let (people, tools, tags, times, sink) = (ground.people, ground.tools, ground.tags, ground.times, ground.sink);
    let context = TaskContext { index, people, unread: ground.unread, tools, tags, last_phase: ground.last_phase, times, sink };
    let added = if rows.is_empty() { Added::default() } else { added(&rows, ground.written, ground.base, &context) };
    let tasks: IdVec<TaskId, Task> = ground.base.iter().cloned().chain(added.tasks.iter().map(|(_, t)| t.clone())).collect();
    let duty = DutyContext { index, people, turns: ground.turns, times, sink };
    let mut log = log(raw, added, &LogContext { index, tasks: &tasks, duties: ground.duties, duty: &duty, times, sink });
    for (position, (_, row)) in rows.iter().enumerate() {
        let later = index.tasks.find_all(&row.before, sink).into_iter();
        let id = TaskId::from_index(ground.base.len() + position);
        log.before.extend(later.filter(|other| *other != id).map(|other| (id, other)));
    }
    log.milestones = milestones;
    log
}

/// What entries refer to.
struct LogContext<'a> {
    /// All codes, those of added tasks included.
    index: &'a Index,
    /// All tasks, those the log adds included.
    tasks: &'a IdVec<TaskId, Task>,
    /// Occurrences of duties of the job itself.
    duties: &'a IdVec<DutyId, Duty>,
    /// For duties the log adds.
    duty: &'a DutyContext<'a>,
    /// Times.
    times: &'a Times,
    /// Where diagnostics go.
    sink: &'a Sink,
}

/// Tasks the log adds.
#[derive(Default)]
struct Added {
    /// Each with the position of its entry.
    tasks: Vec<(usize, Task)>,
    /// Tools they hold through waits, each with the position of the entry.
    holds: Vec<(usize, Hold)>,
}

/// The milestones the log adds, each with the position of its entry.
fn milestones(raw: &[RawEntry], index: &mut Index, ground: &LogGround<'_>) -> Vec<(usize, Milestone)> {
    let mut all = Vec::new();
    for (entry, row) in raw.iter().enumerate() {
        let found = job::milestones(&row.milestones, &mut index.milestones, &index.tasks, ground.times, ground.sink);
        all.extend(found.iter().map(|milestone| (entry, milestone.clone())));
    }
    all
}

/// Gives the tasks the log adds their ids; each with the position of its entry.
fn define<'a>(raw: &'a [RawEntry], index: &mut Index, sink: &Sink) -> Vec<(usize, &'a RawTask)> {
    let mut rows = Vec::new();
    for (entry, row) in raw.iter().enumerate() {
        rows.extend(row.tasks.iter().filter(|t| index.tasks.define(&t.code, sink).is_some()).map(|t| (entry, t)));
    }
    rows
}

/// Lowers the tasks the log adds; their ids follow those of `base`, which was written as `written`.
fn added(rows: &[(usize, &RawTask)], written: &[&RawTask], base: &IdVec<TaskId, Task>, context: &TaskContext<'_>) -> Added {
    let more: Vec<&RawTask> = rows.iter().map(|(_, t)| *t).collect();
    let (tasks, holds) = tasks::added(written, base, &more, context);
    let entry_of = |place: usize| rows.get(place).map_or(0, |(entry, _)| *entry);
    let of_hold = |hold: &Hold| hold.fill.map_or(0, |fill| entry_of(fill.index() - base.len()));
    Added {
        holds: holds.into_iter().map(|h| (of_hold(&h), h)).collect(),
        tasks: tasks.into_iter().enumerate().map(|(i, task)| (entry_of(i), task)).collect(),
    }
}

/// The log, with `added` in it.
fn log(raw: &[RawEntry], added: Added, context: &LogContext<'_>) -> Log {
    let mut log = Log { tasks: added.tasks, holds: added.holds, ..Log::default() };
    let mut places: BTreeMap<String, Place> = BTreeMap::new();
    let mut rows: Vec<&RawEntry> = Vec::new();
    for row in raw {
        let position = log.entries.len();
        let at = row.at.as_ref().and_then(|at| context.exact(at));
        let Some(event) = context.event(row) else { continue };
        let Some(at) = at else { continue };
        for duty in &row.duties {
            context.duty_is_new(&duty.code, &mut places);
        }
        let (duties, _) = duties::duties_of(&row.duties, context.duty);
        log.duties.extend(duties.iter().map(|duty| (position, duty.clone())));
        let note = row.note.as_ref().map_or(String::new(), |n| n.as_str().to_owned());
        let from = context.moment(row.from.as_ref());
        log.entries.push(Entry { at, from, event, note });
        rows.push(row);
        context.until_after(row, from.unwrap_or(at));
    }
    doubts::doubts(&rows, &log.entries, context.times, context.sink);
    log
}

impl LogContext<'_> {
    /// A moment with its time of the day.
    fn exact(&self, at: &At<Written>) -> Option<Moment> {
        if at.value.minute().is_none() {
            self.sink.say(Code::TimeNotUnderstood, "the log needs the time of the day", at.place, "a day alone", TIME_HELP);
            return None;
        }
        self.times.moment_in_job(at, "the entry", self.sink)
    }

    /// A moment that may lie anywhere after the start.
    fn moment(&self, at: Option<&At<Written>>) -> Option<Moment> {
        at.and_then(|at| self.times.moment(at, self.sink))
    }

    fn event(&self, row: &RawEntry) -> Option<Event> {
        let (index, sink) = (self.index, self.sink);
        let (word, _) = row.what?;
        let task = || row.task.as_ref().and_then(|t| index.tasks.find(t, sink));
        let unit = || row.unit.as_ref().and_then(|t| index.units.find(t, sink));
        let person = || row.person.as_ref().and_then(|t| index.people.find(t, sink));
        let tool = || row.tool.as_ref().and_then(|t| index.tools.find(t, sink));
        let until = || self.moment(row.until.as_ref());
        let hours = || row.hours.as_ref().map(|h| h.value);
        Some(match word.text {
            "started" => {
                let task = task()?;
                Event::Started(task, self.team(row, task)?)
            }
            "stopped" => Event::Stopped(task()?),
            "done" => Event::Done(task()?),
            "to_go" => Event::ToGo(task()?, hours()?),
            "dropped" => Event::Dropped(task()?),
            "found" => Event::Found(task()?, hours()?),
            "out" => Event::Out(unit()?, until()),
            "back" => Event::Back(unit()?),
            "unfit" => Event::Unfit(person()?, until()),
            "limited" => {
                let mut without = index.competences.find_all(&row.without, sink);
                without.sort_unstable();
                Event::Limited(person()?, without, until())
            }
            "fit" => Event::Fit(person()?),
            "gone" => Event::Gone(tool()?, until()),
            "returned" => Event::Returned(tool()?),
            "call" => Event::Call(person()?, self.moment(row.to.as_ref())?),
            "moved" => self.moved(row)?,
            "due" => Event::Due(
                row.milestone.as_ref().and_then(|m| index.milestones.find(m, sink))?,
                row.to.as_ref().and_then(|at| self.times.moment(at, sink))?,
            ),
            "mode" => Event::Mode(row.mode.as_ref().and_then(|m| index.modes.find(m, sink))?, until()),
            _ => Event::Note,
        })
    }

    /// The team of a spell that began, in the order of the task's needs; the people may be written in any order
    /// in which each can fill the place of his own.
    fn team(&self, row: &RawEntry, task: TaskId) -> Option<Vec<PersonId>> {
        let named = self.index.people.find_all(&row.by, self.sink);
        let Some(first) = row.by.first() else { return Some(Vec::new()) };
        let needs = &self.tasks.get(task)?.needs;
        let people = self.duty.people;
        let holds = |need: usize, person: PersonId| people.get(person).is_some_and(|p| p.holds(needs[need]));
        let team = (named.len() == needs.len()).then(|| seated(needs.len(), &named, &holds)).flatten();
        let places =
            named.iter().map(|p| self.index.people.place(&people[*p].code)).chain([self.index.tasks.place(&self.tasks[task].code)]);
        let unsure = places.flatten().any(|place| self.sink.is_unsure(place));
        if team.is_none() && named.len() == row.by.len() && !unsure {
            let code = &self.tasks[task].code;
            let message = format!("these people cannot be the team of task {code}");
            let label = format!("it needs {}, each brought by one", needs.len());
            let help = "name everybody who worked on it, each once, as many as the task needs";
            self.sink.say(Code::LogTeam, message, first.place(), label, help);
        }
        team
    }

    fn moved(&self, row: &RawEntry) -> Option<Event> {
        let code = row.duty.as_ref()?;
        let to = self.moment(row.to.as_ref())?;
        let mine: Vec<&Duty> = self.duties.iter().filter(|d| d.code == code.as_str()).collect();
        if mine.is_empty() {
            let message = format!("there is no duty `{}`", code.as_str());
            self.sink.say(Code::LogDuty, message, code.place(), "not known", "correct it; a new duty is added with [entry.add_duty.CODE]");
            return None;
        }
        let number = match (&row.occurrence, mine.as_slice()) {
            (Some(said), _) => u32::try_from(said.value).unwrap_or(0),
            (None, [only]) => only.occurrence,
            (None, _) => {
                let message = format!("duty `{}` is done {} times", code.as_str(), mine.len());
                self.sink.say(Code::LogDuty, message, code.place(), "which of them?", "add occurrence = 2, counted from 1");
                return None;
            }
        };
        if !mine.iter().any(|d| d.occurrence == number) {
            let message = format!("duty `{}` has no occurrence {number}", code.as_str());
            self.sink.say(Code::LogDuty, message, code.place(), "", format!("it is done {} times, counted from 1", mine.len()));
            return None;
        }
        Some(Event::Moved(code.as_str().to_owned(), number, to))
    }

    /// A duty the log adds has a code of its own.
    fn duty_is_new(&self, code: &Text, places: &mut BTreeMap<String, Place>) {
        let known = self.duties.iter().any(|d| d.code == code.as_str());
        if known || places.insert(code.as_str().to_owned(), code.place()).is_some() {
            let message = format!("there is a duty `{}` already", code.as_str());
            self.sink.say(Code::LogDuty, message, code.place(), "a second one", "give it a code of its own, or write what = \"moved\"");
        }
    }

    /// What lasts must end after it begins.
    fn until_after(&self, row: &RawEntry, at: Moment) {
        let call = row.what.is_some_and(|(word, _)| word.text == "call");
        let ends = row.until.as_ref().or_else(|| row.to.as_ref().filter(|_| call));
        if let Some(end) = ends
            && self.times.moment(end, self.sink).is_some_and(|end| end <= at)
        {
            let mut diagnostic = Diagnostic::new(Code::EndsBeforeItBegins, "the entry ends before it begins").at(end.place, "ends");
            if let Some(begin) = row.from.as_ref().or(row.at.as_ref()) {
                diagnostic = diagnostic.also(begin.place, "begins");
            }
            self.sink.put(diagnostic.help("correct one of the two times"));
        }
    }
}

/// `people` in the order of the places they fill; `None` where they cannot (augmenting paths).
fn seated(places: usize, people: &[PersonId], holds: &dyn Fn(usize, PersonId) -> bool) -> Option<Vec<PersonId>> {
    fn seat(
        place: usize,
        people: &[PersonId],
        holds: &dyn Fn(usize, PersonId) -> bool,
        of: &mut [Option<usize>],
        seen: &mut [bool],
    ) -> bool {
        for i in 0..people.len() {
            if holds(place, people[i]) && !std::mem::replace(&mut seen[i], true) {
                let free = of[i].is_none_or(|other| seat(other, people, holds, of, seen));
                if free {
                    of[i] = Some(place);
                    return true;
                }
            }
        }
        false
    }
    let mut of: Vec<Option<usize>> = vec![None; people.len()];
    // The order written is kept where it fits.
    for (place, (person, seat)) in people.iter().zip(&mut of).enumerate().take(places) {
        *seat = holds(place, *person).then_some(place);
    }
    for place in 0..places {
        if !of.contains(&Some(place)) && !seat(place, people, holds, &mut of, &mut vec![false; people.len()]) {
            return None;
        }
    }
    (0..places).map(|place| of.iter().position(|o| *o == Some(place)).map(|i| people[i])).collect()
}
