//! What the log leaves no room for: work that was told and that nobody can have done.
//!
//! What is not logged counts as done as planned, but only as far as what is logged lets it: nobody works who is unfit,
//! limited, called out or at another task by then, nor with a tool that is gone, nor on what comes after something that
//! is not done.

use crate::id::{IdVec, PersonId, TaskId, ToolId};
use crate::model::Task;
use crate::plan::Spell;
use crate::replan::{Effects, Standing, State};
use crate::time::{Moment, Span};

/// When people and tools could not be at work, by the log.
#[derive(Debug)]
pub(super) struct Hindered<'a> {
    effects: &'a Effects,
    /// At which tasks the log has people, and when.
    at: IdVec<PersonId, Vec<(Span, TaskId)>>,
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

impl<'a> Hindered<'a> {
    /// What `effects` say, and who was at the spells in `seen`, which the log says were begun.
    pub(super) fn new<'s>(effects: &'a Effects, seen: impl Iterator<Item = &'s Spell>) -> Self {
        let mut at = IdVec::filled(Vec::new(), effects.unfit.len());
        for spell in seen {
            for person in &spell.team {
                let list: &mut Vec<(Span, TaskId)> = &mut at[*person];
                list.push((spell.span(), spell.task));
            }
        }
        Self { effects, at }
    }

    /// When `spell` of `task` cannot have been worked on, and why.
    pub(super) fn bars(&self, task: &Task, spell: &Spell) -> Vec<(Span, Why)> {
        let effects = self.effects;
        let people = spell.team.iter().enumerate().flat_map(|(place, person)| {
            let need = task.needs.get(place);
            let limits = effects.limits[*person].iter().filter(move |limit| need.is_some_and(|need| limit.without.contains(need)));
            // Emergency work may be what he was called out for.
            let calls = effects.calls.iter().filter(move |(called, _)| called == person && !task.emergency).map(|(_, row)| row.span);
            let others = self.at[*person].iter().filter(|(_, other)| *other != spell.task).map(|(span, _)| *span);
            let unfit = effects.unfit[*person].iter().copied();
            unfit.chain(limits.map(|limit| limit.span)).chain(calls).chain(others).map(|span| (span, Why::Person(*person)))
        });
        let tools = task.tools.iter().flat_map(|(tool, _)| effects.gone[*tool].iter().map(|span| (*span, Why::Tool(*tool))));
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
