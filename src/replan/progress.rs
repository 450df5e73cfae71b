//! How far the work on each task is: as planned, unless the log says otherwise or leaves no room for it.

use crate::id::{IdVec, PersonId, TaskId};
use crate::model::{Event, Stop, Task, UnderWay, When};
use crate::plan::Spell;
use crate::replan::hindered::{Hindered, Ready};
use crate::replan::run::{Begun, Run};
use crate::replan::{Effects, Standing, Whole};
use crate::time::{Minutes, Moment, Slots, Span};

/// How a task stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Left {
    /// What has become of it.
    pub state: State,
    /// What is left of it; counts where it is open.
    pub length: Slots,
    /// Where it may stop, with the parts that are left.
    pub stop: Stop,
    /// The spell it is in.
    pub under_way: Option<UnderWay>,
    /// Whether there has been work on it.
    pub begun: bool,
}

/// What has become of a task.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum State {
    /// Nobody has heard of it yet: the log adds it later.
    Ahead,
    /// There is work left.
    Open,
    /// It ended then.
    Done(Moment),
    /// It is not done.
    Dropped,
}

impl Left {
    /// Whether there is work left.
    #[must_use]
    pub const fn is_open(&self) -> bool {
        matches!(self.state, State::Open)
    }
}

/// The work of a job at a moment.
#[derive(Clone, Debug)]
pub struct Work {
    /// How each task of the whole table stands.
    pub left: IdVec<TaskId, Left>,
    /// Spells since the standing plan began that were begun before the moment, whole: what of them lies after it
    /// is what was meant. By task of the whole table.
    pub spells: Vec<Spell>,
    /// Spells from before the standing plan began, amended where the log said so later.
    pub earlier: Vec<Spell>,
}

/// How the work stands at `start`.
pub(super) fn work(whole: &Whole, standing: &Standing, effects: &Effects, start: Moment, written: usize, notes: &mut Vec<String>) -> Work {
    let old = whole.known(standing.entries, standing.problem.start);
    let known = whole.known(written, start);
    let fresh: Vec<(Moment, &Event)> =
        known.iter().filter(|(p, _)| !old.iter().any(|(o, _)| o == p)).map(|(_, e)| (e.at, &e.event)).collect();
    let mut earlier = standing.past.spells.clone();
    let mut runs: IdVec<TaskId, Run> = IdVec::new();
    for (id, task) in whole.parts.tasks.pairs() {
        let there = known.iter().any(|(p, _)| added_by(whole, id) == Some(*p)) || id_is_own(whole, id);
        let mut run = Run {
            whole,
            id,
            task,
            left: before(whole, standing, id, there),
            begun: told_spells(standing, id, start),
            more: Minutes::ZERO,
            to_go: None,
            undone: Minutes::ZERO,
            heard: None,
            was_done: None,
            borne_out: Moment::FAR_PAST,
            stopped: None,
            ended: None,
        };
        for (_, entry) in old.iter().filter(|(_, e)| task_of(&e.event) == Some(id)) {
            run.knew(entry.at, &entry.event, &standing.past.spells);
        }
        for (at, event) in fresh.iter().filter(|(_, e)| task_of(e) == Some(id)) {
            run.take(*at, event, standing, start, &mut earlier, notes);
        }
        let _: TaskId = runs.push(run);
    }
    went_on(&mut runs, standing, notes);
    let seen: Vec<Spell> = runs.iter().flat_map(|run| &run.begun).filter(|b| b.seen).map(|b| b.spell.clone()).collect();
    let hindered = Hindered::new(effects, seen.iter());
    // What comes after something is settled after it, for it may hang on that.
    let mut left: IdVec<TaskId, Option<Left>> = IdVec::filled(None, runs.len());
    let told = standing.problem.order().iter().filter_map(|own| Some((Some(*own), runs.get(standing.tasks[*own])?.id)));
    let others = runs.ids().filter(|id| standing.tasks.find(|t| t == id).is_none()).map(|id| (None, id));
    for (own, id) in told.chain(others).collect::<Vec<_>>() {
        if let Some(own) = own {
            let stands = |task: TaskId| {
                let state = left.get(task).map_or(State::Dropped, |row| row.as_ref().map_or(State::Open, |row| row.state));
                (state, runs.get(task).and_then(|run| run.was_done))
            };
            let ready = Ready::of(standing, own, &stands);
            runs[id].hinder(&hindered, ready, start, notes);
        }
        left[id] = Some(runs[id].settle(start, effects, &earlier, notes));
    }
    let left = runs.iter().zip(left.iter()).map(|(run, row)| row.clone().unwrap_or_else(|| run.left.clone())).collect();
    let mut spells: Vec<Spell> = runs.iter().flat_map(|run| &run.begun).map(|b| b.spell.clone()).collect();
    spells.sort_by_key(|s| (s.span(), s.task));
    Work { left, spells, earlier }
}

/// Whoever was at a task last was at it until the log says it was done, beside watches, duties and what else the log has
/// him at. Where the log does not say that it was begun, that day only, and beside what else he was told. Where it says that
/// the task was stopped and not that it was taken up again, nobody knows when somebody was at it, and that is said.
fn went_on(runs: &mut IdVec<TaskId, Run<'_>>, standing: &Standing, notes: &mut Vec<String>) {
    let seen: Vec<Spell> = runs.iter().flat_map(|run| &run.begun).filter(|b| b.seen).map(|b| b.spell.clone()).collect();
    for id in runs.ids().collect::<Vec<_>>() {
        let run = &runs[id];
        let State::Done(at) = run.left.state else { continue };
        if let Some(stopped) = run.stopped_until(at) {
            notes.extend(run.taken_up_unknown(stopped, at));
            continue;
        }
        let Some((team, more)) = run.open_end(at) else { continue };
        let others = seen.iter().filter(|s| s.task != id && s.team.iter().any(|p| team.contains(p))).map(Spell::span);
        let bound = team.iter().flat_map(|person| told_elsewhere(standing, *person));
        let mut elsewhere: Vec<Span> = others.chain(bound).filter(|span| span.overlaps(more)).collect();
        if run.begun.iter().all(|b| !b.seen) {
            let clock = &run.whole.parts.clock;
            if clock.day(more.start()) != clock.day(more.end()) {
                continue;
            }
            elsewhere.extend(told_work(standing, id, team).filter(|span| span.overlaps(more)));
        }
        runs[id].went_on(&elsewhere, more);
    }
}

/// Work that people of a team were told on tasks other than `id`, but for those that come after it.
fn told_work<'s>(standing: &'s Standing, id: TaskId, team: &'s [PersonId]) -> impl Iterator<Item = Span> + 's {
    let waits = move |own: TaskId| standing.problem.tasks[own].after.iter().any(|after| standing.tasks[after.task] == id);
    let others = standing.plan.spells.iter().filter(move |s| standing.tasks[s.task] != id && !waits(s.task));
    others.filter(|s| s.team.iter().any(|p| team.contains(p))).flat_map(|s| s.work.iter().copied())
}

/// Watches and duties that a person was told.
fn told_elsewhere(standing: &Standing, person: PersonId) -> impl Iterator<Item = Span> {
    let (problem, plan) = (&standing.problem, &standing.plan);
    let turns = problem.turns.pairs().filter(move |(id, _)| plan.turns.get(*id) == Some(&person)).map(|(_, turn)| turn.span);
    let duties = problem.duties.pairs().filter(move |(_, duty)| duty.who.contains(&person));
    turns.chain(duties.filter_map(|(id, duty)| match duty.when {
        When::Fixed(span) => Some(span),
        When::Movable { length, .. } => Span::of(*plan.duties.get(id)?, length),
    }))
}

fn id_is_own(whole: &Whole, id: TaskId) -> bool {
    crate::id::Id::index(id) < whole.own
}

/// The entry that adds a task.
fn added_by(whole: &Whole, id: TaskId) -> Option<usize> {
    let place = crate::id::Id::index(id).checked_sub(whole.own)?;
    whole.log.tasks.get(place).map(|(entry, _)| *entry)
}

/// The task an event is about.
const fn task_of(event: &Event) -> Option<TaskId> {
    match event {
        Event::Started(task, _)
        | Event::Stopped(task)
        | Event::Done(task)
        | Event::ToGo(task, _)
        | Event::Dropped(task)
        | Event::Found(task, _) => Some(*task),
        _ => None,
    }
}

/// How a task stood when the standing plan began.
fn before(whole: &Whole, standing: &Standing, id: TaskId, there: bool) -> Left {
    let base = &whole.parts.tasks[id];
    let begun = standing.past.spells.iter().any(|s| s.task == id);
    let row = |state, task: &Task| Left { state, length: task.length, stop: task.stop, under_way: task.under_way.clone(), begun };
    if let Some(own) = standing.tasks.find(|t| *t == id) {
        return row(State::Open, &standing.problem.tasks[own]);
    }
    if !there {
        return row(State::Ahead, base);
    }
    let was_there = id_is_own(whole, id)
        || added_by(whole, id).is_some_and(|entry| whole.known(standing.entries, standing.problem.start).iter().any(|(p, _)| *p == entry));
    if !was_there {
        return row(State::Open, base);
    }
    // It was there and is not in the standing problem: done, or dropped.
    let settled = standing.past.settled.iter().find(|(task, _)| *task == id).map(|(_, state)| *state);
    row(settled.unwrap_or(State::Dropped), base)
}

/// The spells of a task that the standing plan begins before `start`.
fn told_spells(standing: &Standing, id: TaskId, start: Moment) -> Vec<Begun> {
    let Some(own) = standing.tasks.find(|t| *t == id) else { return Vec::new() };
    let mut spells: Vec<Spell> = standing.plan.spells.iter().filter(|s| s.task == own && s.span().start() < start).cloned().collect();
    spells.sort_by_key(Spell::span);
    spells.into_iter().map(|spell| Begun { spell: Spell { task: id, ..spell }, broken: false, seen: false }).collect()
}
