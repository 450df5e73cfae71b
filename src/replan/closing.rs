//! Closing up early: what of a job has still to be done at a moment so that what was opened is handed back.

use crate::id::{IdVec, TaskId, UnitId};
use crate::model::{Aim, CloseUp, Entry, Event, Problem, Stop};
use crate::replan::{Left, NoRemainder, Remainder, Standing, State, Whole, remainder};
use crate::time::{Moment, Slots};

/// How a job stands at a moment, for who wants to stop there.
#[derive(Clone, Debug)]
pub enum StopPoint {
    /// No machine is out for the job.
    NothingOpen,
    /// Something has to be closed up.
    Open(Box<Closing>),
}

/// The job of closing up.
#[derive(Clone, Debug)]
pub struct Closing {
    /// What has to be done, as a job of its own that aims at being done early.
    pub problem: Problem,
    /// What is left out; tasks of the whole table.
    pub left_out: Vec<TaskId>,
}

/// The job of closing up at `now`, everything before it being as [`remainder`] has it.
///
/// A task in the midst of its parts that is left out is brought to the end of the part under way. What puts back
/// as many parts as were opened needs no more of its own than were begun.
///
/// # Errors
/// `now` is out of reach, or what is left hangs together no more.
pub fn close_up(whole: &Whole, standing: &Standing, now: Moment, written: usize) -> Result<StopPoint, NoRemainder> {
    let rest = match remainder(whole, standing, now, written) {
        Err(NoRemainder::AllDone) => return Ok(StopPoint::NothingOpen),
        rest => rest?,
    };
    if !whole.parts.units.ids().any(|unit| is_open(whole, &rest, unit)) {
        return Ok(StopPoint::NothingOpen);
    }
    let needed = needed(whole, &rest);
    let left_out: Vec<TaskId> = needed.pairs().filter(|(id, needed)| rest.left[*id].is_open() && !**needed).map(|(id, _)| id).collect();
    let mut stopped = whole.clone();
    stopped.log.entries.truncate(written);
    let stood = rest.left;
    let dropped = |task: &TaskId| Entry { at: now, from: None, event: Event::Dropped(*task), note: String::new() };
    stopped.log.entries.extend(left_out.iter().map(dropped));
    let known = stopped.log.entries.len();
    let rest = match remainder(&stopped, standing, now, known) {
        Err(NoRemainder::AllDone) => return Ok(StopPoint::NothingOpen),
        rest => rest?,
    };
    let impossible = |defects| NoRemainder::Impossible { defects, limits: Vec::new() };
    let problem = shortened(whole, rest, &stood, &needed).map_err(impossible)?;
    Ok(StopPoint::Open(Box::new(Closing { problem, left_out })))
}

/// Whether a machine is out for the job and some of it is left that hands it back: work that takes it out was begun
/// or, where none does, work that leads to its being handed back.
fn is_open(whole: &Whole, rest: &Remainder, unit: UnitId) -> bool {
    let tasks = &whole.parts.tasks;
    let begun = |id: &TaskId| rest.left[*id].begun;
    let backs: Vec<TaskId> =
        tasks.pairs().filter(|(id, t)| t.hands_back.contains(&unit) && rest.left[*id].is_open()).map(|(id, _)| id).collect();
    if backs.is_empty() {
        return false;
    }
    let takes: Vec<TaskId> = tasks.pairs().filter(|(_, t)| t.takes_out.contains(&unit)).map(|(id, _)| id).collect();
    if takes.is_empty() { leading_to(whole, backs).iter().any(begun) } else { takes.iter().any(begun) }
}

/// `tasks` and everything they come after.
fn leading_to(whole: &Whole, tasks: Vec<TaskId>) -> Vec<TaskId> {
    let mut found: Vec<TaskId> = Vec::new();
    let mut open = tasks;
    while let Some(task) = open.pop() {
        if !found.contains(&task) {
            found.push(task);
            open.extend(whole.parts.tasks[task].after.iter().map(|a| a.task));
        }
    }
    found
}

/// Which tasks have to be done. One in parts that is left out after some of them is needed to the end of the part
/// under way, if one is.
fn needed(whole: &Whole, rest: &Remainder) -> IdVec<TaskId, bool> {
    let mut needed = IdVec::filled(false, whole.parts.tasks.len());
    // What puts something back comes after it, in no particular order of the table: the longest way has so many steps.
    loop {
        let before = needed.clone();
        for (id, task) in whole.parts.tasks.pairs() {
            let left = &rest.left[id];
            needed[id] = left.is_open()
                && match &task.close_up {
                    CloseUp::Needed => true,
                    CloseUp::LeftOut => goes_on(left),
                    CloseUp::PutsBack(opened) => left.begun || opened.iter().any(|t| rest.left[*t].begun || needed[*t]),
                };
        }
        if needed == before {
            return needed;
        }
    }
}

/// Whether something that was begun and may be left out has to be gone on with.
fn goes_on(left: &Left) -> bool {
    left.begun
        && match left.stop {
            Stop::Any { .. } | Stop::Never => true,
            Stop::Parts(_) => left.under_way.is_some(),
        }
}

/// How many parts of a task have been begun, or will have to be.
fn opened(whole: &Whole, left: &Left, needed: bool, id: TaskId) -> u32 {
    let task = &whole.parts.tasks[id];
    let Stop::Parts(all) = task.stop else { return u32::from(left.begun || needed) };
    let left_out = task.close_up == CloseUp::LeftOut;
    match (&left.state, left.stop) {
        (State::Open, Stop::Parts(rest)) if left_out || !needed => {
            let begun = all.saturating_sub(rest) + u32::from(left.under_way.is_some());
            begun.max(u32::from(left.begun)).min(all)
        }
        (State::Ahead, _) => 0,
        (State::Dropped, _) if !left.begun => 0,
        _ => all,
    }
}

/// The job of closing up: parts that need not be done taken off, and the aim to be done early put first. `left` is
/// how tasks stood before anything was left out.
fn shortened(
    whole: &Whole,
    rest: Remainder,
    left: &IdVec<TaskId, Left>,
    needed: &IdVec<TaskId, bool>,
) -> Result<Problem, Vec<crate::model::Defect>> {
    let Remainder { problem, tasks, .. } = rest;
    let mut parts = problem.into_parts();
    for (here, id) in tasks.pairs() {
        let base = &whole.parts.tasks[*id];
        let task = &mut parts.tasks[here];
        match (&base.close_up, task.stop) {
            (CloseUp::LeftOut, Stop::Parts(_)) => {
                if let Some(going) = &task.under_way {
                    task.length = going.left;
                    task.stop = Stop::Parts(1);
                }
            }
            (CloseUp::PutsBack(list), Stop::Parts(own)) if !left[*id].begun => {
                let all = |t: &TaskId| if let Stop::Parts(n) = whole.parts.tasks[*t].stop { n } else { 1 };
                let done: u32 = list.iter().map(|t| opened(whole, &left[*t], needed[*t], *t)).sum();
                if list.iter().map(all).sum::<u32>() == own && (1..own).contains(&done) {
                    let lengths = task.part_lengths();
                    let count = lengths.iter().zip(0..done).map(|(l, _)| l.count()).sum();
                    task.length = Slots::new(count);
                    task.stop = Stop::Parts(done);
                }
            }
            _ => {}
        }
    }
    // Dates of the whole job say nothing here.
    parts.milestones = IdVec::new();
    let first = [Aim::Shortfall, Aim::Finish, Aim::NightAndOvertime];
    let rest: Vec<Aim> = parts.aims.iter().copied().filter(|a| !first.contains(a)).collect();
    parts.aims = first.into_iter().chain(rest).collect();
    Problem::new(parts)
}
