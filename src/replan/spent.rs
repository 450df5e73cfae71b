//! The labour account: planned, done and to go, by task, person and day.

use std::collections::BTreeMap;

use crate::clock::Day;
use crate::id::{IdVec, PersonId, TaskId};
use crate::model::Event;
use crate::replan::{Remainder, State, Whole};
use crate::time::{Minutes, Span};

/// What was planned, done and is to go. Labour is counted over all people; a task that two do for an hour is two.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Spent {
    /// By task of the whole table, those the log adds later left out.
    pub tasks: Vec<TaskSpent>,
    /// Labour done by person.
    pub people: IdVec<PersonId, Minutes>,
    /// Labour done by ship's day; days without left out.
    pub days: BTreeMap<Day, Minutes>,
}

/// The account of a task.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct TaskSpent {
    /// The task, of the whole table.
    pub task: TaskId,
    /// Labour planned in the first place, what findings add included.
    pub planned: Minutes,
    /// Labour done.
    pub done: Minutes,
    /// Labour to go.
    pub to_go: Minutes,
    /// Working time of its spells, however many people are in them.
    pub worked: Minutes,
    /// What has become of it.
    pub state: State,
    /// Whether the log says anything of how it went: a beginning, a stop, an end, or hours to go.
    pub logged: bool,
    /// Whether the log says what its hours come to: an end, or hours to go. What it says nothing of counts as done as
    /// planned, and says nothing of the estimates.
    pub measured: bool,
}

impl TaskSpent {
    /// Whether it is done.
    #[must_use]
    pub const fn ended(&self) -> bool {
        matches!(self.state, State::Done(_))
    }
}

impl Spent {
    /// Tasks whose hours are known: begun, and an end or hours to go logged.
    pub fn known(&self) -> impl Iterator<Item = &TaskSpent> {
        self.tasks.iter().filter(|t| t.measured && t.done > Minutes::ZERO)
    }

    /// Labour of the tasks whose hours are known, as it comes out (done and to go) and as it was planned.
    #[must_use]
    pub fn against_estimate(&self) -> (Minutes, Minutes) {
        let came = self.known().map(|t| t.done + t.to_go).sum();
        (came, self.known().map(|t| t.planned).sum())
    }

    /// Labour to go of tasks nobody has begun.
    #[must_use]
    pub fn ahead(&self) -> Minutes {
        self.tasks.iter().filter(|t| t.done.is_zero()).map(|t| t.to_go).sum()
    }
}

/// The account at the beginning of `rest`.
#[must_use]
pub fn spent(whole: &Whole, rest: &Remainder) -> Spent {
    let (parts, grid) = (&whole.parts, whole.parts.grid);
    let known = whole.known(rest.entries, rest.problem.start);
    let mut account = Spent { tasks: Vec::new(), people: IdVec::filled(Minutes::ZERO, parts.people.len()), days: BTreeMap::new() };
    for (id, left) in rest.left.pairs() {
        let task = &parts.tasks[id];
        let team = i32::try_from(task.needs.len()).unwrap_or(i32::MAX);
        let times = |length: Minutes| Minutes::new(length.get().saturating_mul(team));
        let found: Minutes = known.iter().filter_map(|(_, e)| found(&e.event, id)).sum();
        let pieces: Vec<Span> = rest.past.spells.iter().filter(|s| s.task == id).flat_map(|s| s.work.iter().copied()).collect();
        let worked: Minutes = pieces.iter().map(|p| p.length()).sum();
        let to_go = if left.is_open() { grid.length(left.length) } else { Minutes::ZERO };
        if left.state == State::Ahead {
            continue;
        }
        account.tasks.push(TaskSpent {
            task: id,
            planned: times(grid.length(task.length) + found),
            done: times(worked),
            to_go: times(to_go),
            worked,
            state: left.state,
            logged: known.iter().any(|(_, e)| says(&e.event, id)),
            measured: known.iter().any(|(_, e)| measures(&e.event, id)),
        });
    }
    for spell in &rest.past.spells {
        for piece in &spell.work {
            for person in &spell.team {
                account.people[*person] += piece.length();
            }
            let first = parts.clock.day(piece.start()).number();
            let last = parts.clock.day(piece.end()).number();
            for day in (first..=last).map(Day::new) {
                let Some(part) = piece.intersection(parts.clock.day_span(day)) else { continue };
                let labour = Minutes::new(part.length().get().saturating_mul(i32::try_from(spell.team.len()).unwrap_or(i32::MAX)));
                *account.days.entry(day).or_insert(Minutes::ZERO) += labour;
            }
        }
    }
    account
}

/// What a finding adds to `task`.
fn found(event: &Event, task: TaskId) -> Option<Minutes> {
    match event {
        Event::Found(of, hours) if *of == task => Some(*hours),
        _ => None,
    }
}

/// Whether an entry says how the work on `task` went.
fn says(event: &Event, task: TaskId) -> bool {
    matches!(event, Event::Started(of, _) | Event::Done(of) | Event::ToGo(of, _) | Event::Stopped(of) if *of == task)
}

/// Whether an entry says what the hours of `task` come to.
fn measures(event: &Event, task: TaskId) -> bool {
    matches!(event, Event::Done(of) | Event::ToGo(of, _) if *of == task)
}
