//! What goes on in a night that may not be interrupted.

use crate::clock::Day;
use crate::id::{PostId, TaskId, ToolId};
use crate::model::{Problem, Stop};
use crate::plan::Plan;
use crate::time::{Minutes, Moment, Span};

/// Something that goes on in a night.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Overnight {
    /// A spell that may not be broken off before its end.
    Spell {
        /// The task.
        task: TaskId,
        /// The spell.
        span: Span,
        /// Whether the task may stop after it, between its parts.
        part: bool,
    },
    /// A task that nobody works on.
    ByItself {
        /// The task.
        task: TaskId,
        /// When it runs.
        span: Span,
        /// The post whose watch attends it.
        attended_by: Option<PostId>,
    },
    /// A tool that is held through a wait.
    Held {
        /// The tool.
        tool: ToolId,
        /// How many of it.
        number: u32,
        /// When.
        span: Span,
        /// The task that gives it free.
        until: TaskId,
    },
}

impl Overnight {
    /// From when to when.
    #[must_use]
    pub const fn span(&self) -> Span {
        match self {
            Self::Spell { span, .. } | Self::ByItself { span, .. } | Self::Held { span, .. } => *span,
        }
    }
}

/// Begin and end of a night where nobody has hours of his own.
const USUAL: (Minutes, Minutes) = (Minutes::hours(18), Minutes::hours(8));

/// The night that `now` lies in or that follows it: from the end of the last ordinary hours of a ship's day to the
/// first of the next.
#[must_use]
pub fn night(problem: &Problem, now: Moment) -> Span {
    let clock = &problem.clock;
    let hours = |day: Day| {
        let stretches = problem.people.iter().flat_map(|p| &p.stretches).filter(move |s| s.day == day);
        stretches.flat_map(|s| s.ordinary.iter().copied()).reduce(Span::hull)
    };
    let first = |day: Day| hours(day).map_or_else(|| clock.at(day, USUAL.1), Span::start);
    let last = |day: Day| hours(day).map_or_else(|| clock.at(day, USUAL.0), Span::end);
    let today = clock.day(now);
    // Before the day's work begins it is still the night before.
    let evening = if now < first(today) { Day::new(today.number() - 1) } else { today };
    let morning = first(evening.next());
    Span::new(last(evening).max(now), morning).unwrap_or_else(|| clock.day_span(evening))
}

/// What goes on in `night` under `plan` and may not be interrupted, by end.
#[must_use]
pub fn overnight(problem: &Problem, plan: &Plan, night: Span) -> Vec<Overnight> {
    let mut found = Vec::new();
    for spell in plan.spells.iter().filter(|s| s.span().overlaps(night)) {
        let task = &problem.tasks[spell.task];
        let (id, span) = (spell.task, spell.span());
        match task.stop {
            _ if task.unmanned() => found.push(Overnight::ByItself { task: id, span, attended_by: task.attended_by }),
            Stop::Any { .. } => {}
            Stop::Parts(_) => found.push(Overnight::Spell { task: id, span, part: true }),
            Stop::Never => found.push(Overnight::Spell { task: id, span, part: false }),
        }
    }
    let spans = |task: TaskId| plan.spells.iter().filter(move |s| s.task == task).map(crate::plan::Spell::span);
    for hold in &problem.holds {
        let from = hold.fill.map_or(Some(problem.start), |fill| spans(fill).map(Span::start).min());
        let to = spans(hold.empty).map(Span::end).max();
        let span = from.zip(to).and_then(|(from, to)| Span::new(from, to)).filter(|s| s.overlaps(night));
        found.extend(span.map(|span| Overnight::Held { tool: hold.tool, number: hold.number, span, until: hold.empty }));
    }
    found.sort_by_key(|one| (one.span().end(), one.span().start()));
    found
}
