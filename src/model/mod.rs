//! The problem: everything that is known before a plan is made, checked once and then immutable.
//!
//! [`Parts`] is the plain data; [`Problem::new`] checks that it hangs together and adds what follows
//! from it. Everything downstream may rely on what [`Defect`] lists not being so.

mod defect;
mod log;
mod machinery;
mod person;
mod steer;
mod task;
mod watch;

use std::ops::Deref;

pub use defect::Defect;
pub use log::{Entry, Event, Log};
pub use machinery::{Aim, Group, Milestone, Mode, NeverTogether, Reserve, ReserveKind, Unit};
pub use person::{Before, Person, RecordKind, Recorded, Stretch};
pub use steer::cannot_steer;
pub use task::{After, CloseUp, Different, Estimate, Hold, Pinned, Stop, Task, Tool, UnderWay};
pub use watch::{Ban, ByMode, Duty, OnWatch, Post, Stand, Turn, When};

use crate::clock::{Day, ShipClock};
use crate::id::{
    CompetenceId, DutyId, GroupId, IdVec, MilestoneId, ModeId, PersonId, PhaseId, PostId, RuleSetId, TagId, TaskId, ToolId, TurnId, UnitId,
};
use crate::plan::Plan;
use crate::rest::RuleSet;
use crate::time::{Grid, Minutes, Moment, Span};

/// A word of the job folder with its long form.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Named {
    /// Short code, unique in its table.
    pub code: String,
    /// Long form; may be empty.
    pub name: String,
}

/// A tag with the caution it puts on the day sheet.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Tag {
    /// Short code, unique (`lift`).
    pub code: String,
    /// The caution printed with every task that carries it; may be empty.
    pub caution: String,
}

/// A problem in parts, as read or built in code, not yet checked.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Parts {
    /// Name of the ship.
    pub ship: String,
    /// Title of the job.
    pub title: String,
    /// Ship's clock.
    pub clock: ShipClock,
    /// The slot grid.
    pub grid: Grid,
    /// When planning begins: the job's start, or the moment of replanning; on the grid.
    pub start: Moment,
    /// First planning end; a ship's midnight or not, on the grid.
    pub end: Moment,
    /// The latest end to which the plan may grow, by whole ship's days from `end`.
    pub latest_end: Moment,
    /// Watches, fixed duties, ordinary hours and modes are laid out to here: at least 8 days past `latest_end`.
    pub layout_end: Moment,
    /// Competences.
    pub competences: IdVec<CompetenceId, Named>,
    /// Sets of rest rules in use.
    pub rule_sets: IdVec<RuleSetId, RuleSet>,
    /// People.
    pub people: IdVec<PersonId, Person>,
    /// Posts.
    pub posts: IdVec<PostId, Post>,
    /// Turns, sorted by post, then start; together they cover each post's manned time exactly once.
    pub turns: IdVec<TurnId, Turn>,
    /// Occurrences of duties, sorted by code, then occurrence.
    pub duties: IdVec<DutyId, Duty>,
    /// Phases of the job, in the order people think of them.
    pub phases: IdVec<PhaseId, Named>,
    /// Tags.
    pub tags: IdVec<TagId, Tag>,
    /// Tasks.
    pub tasks: IdVec<TaskId, Task>,
    /// Tools.
    pub tools: IdVec<ToolId, Tool>,
    /// Tools held through waits.
    pub holds: Vec<Hold>,
    /// Windows in which some tags are banned (duties carry their own).
    pub bans: Vec<Ban>,
    /// Machines.
    pub units: IdVec<UnitId, Unit>,
    /// Groups of machines.
    pub groups: IdVec<GroupId, Group>,
    /// Units never out together.
    pub never_together: Vec<NeverTogether>,
    /// Modes.
    pub modes: IdVec<ModeId, Mode>,
    /// Which mode holds when, in time order without gap from `start` to `layout_end`; empty where there are no modes.
    pub mode_spans: Vec<(Span, ModeId)>,
    /// Milestones.
    pub milestones: IdVec<MilestoneId, Milestone>,
    /// Aims, most important first, no repeats.
    pub aims: Vec<Aim>,
    /// What people were told, where there is such a thing: a plan of the same tables, in which tasks, spells
    /// and times may be missing or illegal by now.
    pub told: Option<Plan>,
}

/// A problem that hangs together. Immutable; its [`Parts`] are read through it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Problem {
    parts: Parts,
    order: Vec<TaskId>,
    successors: IdVec<TaskId, Vec<After>>,
    holders: IdVec<CompetenceId, Vec<PersonId>>,
}

impl Deref for Problem {
    type Target = Parts;
    fn deref(&self) -> &Parts {
        &self.parts
    }
}

impl Problem {
    /// Checks `parts` and adds what follows from them.
    ///
    /// # Errors
    /// Every defect found, not only the first.
    pub fn new(parts: Parts) -> Result<Self, Vec<Defect>> {
        let mut defects = defect::all(&parts);
        let order = topological(&parts).unwrap_or_else(|cycle| {
            defects.push(Defect::Cycle(cycle));
            Vec::new()
        });
        if !defects.is_empty() {
            return Err(defects);
        }
        let mut successors = IdVec::filled(Vec::new(), parts.tasks.len());
        for (id, task) in parts.tasks.pairs() {
            for after in &task.after {
                let list: &mut Vec<After> = &mut successors[after.task];
                list.push(After { task: id, lag: after.lag });
            }
        }
        let holders =
            parts.competences.ids().map(|c| parts.people.pairs().filter(|(_, p)| p.holds(c)).map(|(id, _)| id).collect()).collect();
        Ok(Self { parts, order, successors, holders })
    }

    /// The parts back, to be changed and checked again.
    #[must_use]
    pub fn into_parts(self) -> Parts {
        self.parts
    }

    /// All tasks, each after everything it comes after; ties in table order.
    #[must_use]
    pub fn order(&self) -> &[TaskId] {
        &self.order
    }

    /// What directly comes after `task`: the later task and the wait before it.
    #[must_use]
    pub fn successors(&self, task: TaskId) -> &[After] {
        &self.successors[task]
    }

    /// Who holds `competence`, in id order.
    #[must_use]
    pub fn holders(&self, competence: CompetenceId) -> &[PersonId] {
        &self.holders[competence]
    }

    /// The mode that holds at `moment`, if modes are used and it lies in the layout.
    #[must_use]
    pub fn mode_at(&self, moment: Moment) -> Option<ModeId> {
        let after = self.mode_spans.partition_point(|(span, _)| span.start() <= moment);
        let (span, mode) = self.mode_spans.get(after.checked_sub(1)?)?;
        span.contains(moment).then_some(*mode)
    }

    /// The end of a plan whose last task ends at `finish`: the first planning end, grown by whole ship's
    /// days until it holds it; at most the latest end.
    #[must_use]
    pub fn end_for(&self, finish: Moment) -> Moment {
        let mut end = self.end;
        let time = self.clock.minute_of_day(end);
        let mut day = self.clock.day(end);
        while end < finish && end < self.latest_end {
            day = day.next();
            end = self.clock.at(day, time);
        }
        end.min(self.latest_end)
    }

    /// The ship's days that a plan from the start to `end` touches, in order.
    pub fn days(&self, end: Moment) -> impl Iterator<Item = Day> + use<> {
        let first = self.clock.day_of(self.start).number();
        let last = self.clock.day_of(end - Minutes::new(1)).number();
        (first..=last).map(Day::new)
    }
}

/// Tasks in an order that respects `after`, or a cycle of codes.
fn topological(parts: &Parts) -> Result<Vec<TaskId>, Vec<String>> {
    let mut order = Vec::with_capacity(parts.tasks.len());
    let mut state: IdVec<TaskId, u8> = IdVec::filled(0, parts.tasks.len());
    for root in parts.tasks.ids() {
        let mut path: Vec<(TaskId, usize)> = Vec::new();
        if state[root] == 0 {
            state[root] = 1;
            path.push((root, 0));
        }
        while let Some((task, next)) = path.last_mut() {
            let Some(after) = parts.tasks[*task].after.get(*next) else {
                state[*task] = 2;
                order.push(*task);
                path.pop();
                continue;
            };
            *next += 1;
            let Some(seen) = state_of(&state, after.task) else { continue };
            if seen == 1 {
                let from = path.iter().position(|(t, _)| *t == after.task).unwrap_or(0);
                return Err(path[from..].iter().map(|(t, _)| parts.tasks[*t].code.clone()).collect());
            }
            if seen == 0 {
                state[after.task] = 1;
                path.push((after.task, 0));
            }
        }
    }
    Ok(order)
}

fn state_of(state: &IdVec<TaskId, u8>, task: TaskId) -> Option<u8> {
    state.get(task).copied()
}
