//! What the log leaves no room for: work that was told and that nobody can have done.
//!
//! What is not logged counts as done as planned, but only as far as what is logged lets it: nobody works who is unfit,
//! limited, called out or at another task by then, nor with a tool that is gone, nor on what comes after something that
//! is not done.

use crate::id::{CompetenceId, IdVec, PersonId, TaskId, ToolId};
use crate::model::{Event, Task};
use crate::plan::Spell;
use crate::replan::{Standing, State, Whole};
use crate::time::{Moment, Span};

/// When people and tools could not be at work, by the log.
#[derive(Clone, Debug)]
pub(super) struct Hindered {
    people: IdVec<PersonId, Vec<Bar>>,
    tools: IdVec<ToolId, Vec<Span>>,
}

/// When somebody could not be at work, and at what.
#[derive(Clone, Debug)]
struct Bar {
    span: Span,
    from: From,
}

/// What somebody is kept from.
#[derive(Clone, PartialEq, Eq, Debug)]
enum From {
    /// Any work.
    All,
    /// Work that wants one of these.
    Needs(Vec<CompetenceId>),
    /// Any but emergency work, which is what he may have been called out for.
    Planned,
    /// Any work but this task.
    Others(TaskId),
}

/// Why something cannot have been worked on.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Why {
    /// What it comes after was not done.
    After(TaskId),
    /// Somebody could not be at it.
    Person(PersonId),
    /// A tool could not be had.
    Tool(ToolId),
}

/// When what a task comes after was done: it could begin at or after `from` and before `to`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Ready {
    from: Moment,
    to: Moment,
    /// The last of what it comes after, in ids of the whole table.
    last: Option<TaskId>,
}

impl Hindered {
    /// What the first `written` entries up to `now` say, and who was at the spells in `seen`, which they say were begun.
    pub(super) fn of<'s>(whole: &Whole, written: usize, now: Moment, seen: impl Iterator<Item = &'s Spell>) -> Self {
        let parts = &whole.parts;
        let mut hindered =
            Self { people: IdVec::filled(Vec::new(), parts.people.len()), tools: IdVec::filled(Vec::new(), parts.tools.len()) };
        for (_, entry) in whole.known(written, now) {
            hindered.take(&entry.event, entry.from.unwrap_or(entry.at), parts.layout_end);
        }
        for spell in seen {
            for person in &spell.team {
                hindered.people[*person].push(Bar { span: spell.span(), from: From::Others(spell.task) });
            }
        }
        hindered
    }

    fn take(&mut self, event: &Event, at: Moment, open: Moment) {
        let mut bar = |person: PersonId, to: Moment, from: From| {
            self.people[person].extend(Span::new(at, to).map(|span| Bar { span, from }));
        };
        match event {
            Event::Unfit(person, until) => bar(*person, until.unwrap_or(open), From::All),
            Event::Limited(person, without, until) => bar(*person, until.unwrap_or(open), From::Needs(without.clone())),
            Event::Call(person, to) => bar(*person, *to, From::Planned),
            Event::Fit(person) => {
                let ends = |bar: &mut Bar| match bar.from {
                    From::All | From::Needs(_) => up_to(bar.span, at).map(|span| bar.span = span).is_some(),
                    From::Planned | From::Others(_) => true,
                };
                self.people[*person].retain_mut(ends);
            }
            Event::Gone(tool, until) => self.tools[*tool].extend(Span::new(at, until.unwrap_or(open))),
            Event::Returned(tool) => self.tools[*tool].retain_mut(|span| up_to(*span, at).map(|cut| *span = cut).is_some()),
            _ => {}
        }
    }

    /// When `spell` of `task` cannot have been worked on, and why.
    pub(super) fn bars(&self, task: &Task, spell: &Spell) -> Vec<(Span, Why)> {
        let people = spell.team.iter().enumerate().flat_map(|(place, person)| {
            let need = task.needs.get(place);
            let counts = move |bar: &&Bar| match &bar.from {
                From::All => true,
                From::Needs(without) => need.is_some_and(|need| without.contains(need)),
                From::Planned => !task.emergency,
                From::Others(other) => *other != spell.task,
            };
            self.people[*person].iter().filter(counts).map(|bar| (bar.span, Why::Person(*person)))
        });
        let tools = task.tools.iter().flat_map(|(tool, _)| self.tools[*tool].iter().map(|span| (*span, Why::Tool(*tool))));
        people.chain(tools).filter(|(span, _)| span.overlaps(spell.span())).collect()
    }
}

impl Ready {
    /// When `task` of the standing plan could begin, by the order that plan was made for, each task of the whole table standing
    /// as `stands` says: what has become of it, and, where it was opened again after it was done, from when it was done to then.
    pub(super) fn of(standing: &Standing, task: TaskId, stands: &impl Fn(TaskId) -> (State, Option<Span>)) -> Self {
        let always = Self { from: Moment::FAR_PAST, to: Moment::FAR_FUTURE, last: None };
        let rows = standing.problem.tasks[task].after.iter().map(|after| {
            let whole = standing.tasks[after.task];
            let row = |from: Moment, to: Moment| Self { from, to, last: Some(whole) };
            match stands(whole) {
                (State::Done(end), _) => row(end + after.lag, Moment::FAR_FUTURE),
                (State::Open, Some(done)) => row(done.start() + after.lag, done.end()),
                (State::Open, None) => row(Moment::FAR_FUTURE, Moment::FAR_FUTURE),
                // What is not done holds up nothing; what it waited for still does.
                (State::Dropped | State::Ahead, _) => Self::of(standing, after.task, stands),
            }
        });
        rows.fold(always, |all, row| {
            let last = if row.from > all.from || row.to < all.to { row.last } else { all.last };
            Self { from: all.from.max(row.from), to: all.to.min(row.to), last }
        })
    }

    /// When `spell` cannot have been worked on for that: it is begun in time or not at all.
    pub(super) fn bar(self, spell: &Spell) -> Option<(Span, Why)> {
        let span = spell.span();
        let until = if span.start() >= self.to { span.end() } else { self.from.min(span.end()) };
        Some((Span::new(span.start(), until)?, Why::After(self.last?)))
    }
}

/// What of `span` lies before `end`.
fn up_to(span: Span, end: Moment) -> Option<Span> {
    Span::new(span.start(), span.end().min(end))
}
