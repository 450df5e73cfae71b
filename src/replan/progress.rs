//! How far the work on each task is: as planned, unless the log says otherwise.

use crate::id::{IdVec, PersonId, TaskId};
use crate::model::{Event, Stop, Task, UnderWay};
use crate::plan::Spell;
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

/// A spell that was begun.
#[derive(Clone, Debug)]
struct Begun {
    spell: Spell,
    /// Broken off before its end.
    broken: bool,
}

/// What one task's entries and told spells come to.
struct Run<'a> {
    whole: &'a Whole,
    id: TaskId,
    task: &'a Task,
    /// What was left when the standing plan began.
    left: Left,
    begun: Vec<Begun>,
    /// Hours that findings add.
    more: Minutes,
    /// Hours said to be left, and when.
    to_go: Option<(Moment, Minutes)>,
    /// Work from before the standing plan that was not done after all.
    undone: Minutes,
}

/// How the work stands at `start`.
pub(super) fn work(whole: &Whole, standing: &Standing, effects: &Effects, start: Moment, written: usize, notes: &mut Vec<String>) -> Work {
    let old = whole.known(standing.entries, standing.problem.start);
    let known = whole.known(written, start);
    let fresh: Vec<(Moment, &Event)> =
        known.iter().filter(|(p, _)| !old.iter().any(|(o, _)| o == p)).map(|(_, e)| (e.at, &e.event)).collect();
    let mut earlier = standing.past.spells.clone();
    let mut spells = Vec::new();
    let mut left = IdVec::new();
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
        };
        for (at, event) in fresh.iter().filter(|(_, e)| task_of(e) == Some(id)) {
            run.take(*at, event, standing, &mut earlier);
        }
        let row = run.settle(start, effects, &earlier, notes);
        spells.extend(run.begun.into_iter().map(|b| b.spell));
        let _: TaskId = left.push(row);
    }
    spells.sort_by_key(|s| (s.span(), s.task));
    Work { left, spells, earlier }
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
    let end = standing.past.spells.iter().filter(|s| s.task == id).map(|s| s.span().end()).max();
    row(end.map_or(State::Dropped, State::Done), base)
}

/// The spells of a task that the standing plan begins before `start`.
fn told_spells(standing: &Standing, id: TaskId, start: Moment) -> Vec<Begun> {
    let Some(own) = standing.tasks.find(|t| *t == id) else { return Vec::new() };
    let mut spells: Vec<Spell> = standing.plan.spells.iter().filter(|s| s.task == own && s.span().start() < start).cloned().collect();
    spells.sort_by_key(Spell::span);
    spells.into_iter().map(|spell| Begun { spell: Spell { task: id, ..spell }, broken: false }).collect()
}

/// Minutes of work of `spells` inside `window`.
pub(super) fn worked<'s>(spells: impl Iterator<Item = &'s Spell>, window: Span) -> Minutes {
    spells.flat_map(|s| s.work.iter().filter_map(|w| w.intersection(window))).map(Span::length).sum()
}

/// `spell` without what lies at or after `at`; `None` where nothing is left of it.
pub(super) fn cut(spell: &Spell, at: Moment) -> Option<Spell> {
    let work: Vec<Span> = spell.work.iter().filter_map(|w| Span::new(w.start(), w.end().min(at))).collect();
    (!work.is_empty()).then(|| Spell { work, ..spell.clone() })
}

impl Run<'_> {
    fn take(&mut self, at: Moment, event: &Event, standing: &Standing, earlier: &mut Vec<Spell>) {
        match event {
            Event::Started(_, by) => self.started(at, by, standing),
            Event::Stopped(_) => {
                self.break_off(at, true);
                self.amend(at, earlier);
            }
            Event::Done(_) => {
                self.break_off(at, false);
                self.amend(at, earlier);
                self.left.state = State::Done(at);
            }
            Event::Dropped(_) => {
                self.break_off(at, false);
                self.left.state = State::Dropped;
            }
            Event::ToGo(_, hours) => {
                self.to_go = Some((at, *hours));
                self.left.state = State::Open;
            }
            Event::Found(_, hours) => {
                if !self.left.is_open() {
                    // What was done is done; the finding is all that is left.
                    self.left = Left { length: Slots::ZERO, state: State::Open, ..self.left.clone() };
                    self.begun.clear();
                    self.to_go = Some((at, Minutes::ZERO));
                }
                self.more += *hours;
            }
            _ => {}
        }
    }

    /// Work ends at `at`: what was to begin later was not begun.
    fn break_off(&mut self, at: Moment, broken: bool) {
        let mut kept = Vec::new();
        for begun in self.begun.drain(..) {
            let short = begun.spell.span().end() > at;
            if let Some(spell) = cut(&begun.spell, at) {
                kept.push(Begun { spell, broken: begun.broken || (broken && short) });
            }
        }
        self.begun = kept;
    }

    /// Takes what was counted as done after `at` out of the spells from before the standing plan.
    fn amend(&mut self, at: Moment, earlier: &mut Vec<Spell>) {
        let mut kept = Vec::new();
        for spell in earlier.drain(..) {
            if spell.task == self.id && spell.span().end() > at {
                let all: Minutes = spell.work.iter().map(|w| w.length()).sum();
                let cut = cut(&spell, at);
                let stays: Minutes = cut.iter().flat_map(|s| s.work.iter()).map(|w| w.length()).sum();
                self.undone += all - stays;
                kept.extend(cut);
            } else {
                kept.push(spell);
            }
        }
        *earlier = kept;
        if self.undone > Minutes::ZERO && !self.left.is_open() {
            self.left = Left { length: Slots::ZERO, state: State::Open, ..self.left.clone() };
        }
    }

    /// A spell begins at `at`, by `by` or by those who were told.
    fn started(&mut self, at: Moment, by: &[PersonId], standing: &Standing) {
        let own = standing.tasks.find(|t| *t == self.id);
        let mut told: Vec<&Spell> = standing.plan.spells.iter().filter(|s| Some(s.task) == own).collect();
        told.sort_by_key(|s| s.span());
        let next = self.begun.iter().filter(|b| b.spell.span().end() <= at).count();
        let team = if by.is_empty() { told.get(next).or(told.last()).map(|s| s.team.clone()) } else { Some(by.to_vec()) };
        // Without a told team there is nobody to put down; a task that nobody works on has an empty one.
        let Some(team) = team.or_else(|| self.task.unmanned().then(Vec::new)) else { return };
        // What was only thought to be under way, or still to come, is this spell.
        self.begun.retain(|b| b.spell.span().end() <= at);
        let length = self.next_length();
        let breaks: Vec<Span> = team.iter().flat_map(|p| self.whole.parts.people[*p].breaks.iter().copied()).collect();
        let breaks = if self.task.unmanned() { Vec::new() } else { crate::time::union(breaks) };
        let work = laid(at, length, &breaks);
        if !work.is_empty() {
            self.begun.push(Begun { spell: Spell { work, task: self.id, part: 0, team }, broken: false });
            self.left.state = State::Open;
            self.left.begun = true;
        }
    }

    /// How long the next spell would be if it ran to its end.
    fn next_length(&self) -> Minutes {
        let grid = self.whole.parts.grid;
        let done: Minutes = self.begun.iter().flat_map(|b| b.spell.work.iter()).map(|w| w.length()).sum();
        match self.left.stop {
            Stop::Any { .. } => (grid.length(self.left.length) - done).max(grid.slot()),
            Stop::Never => grid.length(self.left.length),
            Stop::Parts(_) => {
                let whole = self.begun.iter().filter(|b| !b.broken).count();
                self.lengths().get(whole).map_or(grid.slot(), |l| grid.length(*l))
            }
        }
    }

    /// Lengths of the parts that were left when the standing plan began.
    fn lengths(&self) -> Vec<Slots> {
        let task = Task { length: self.left.length, stop: self.left.stop, under_way: self.left.under_way.clone(), ..self.task.clone() };
        task.part_lengths()
    }

    /// What is left at `start`.
    fn settle(&self, start: Moment, effects: &Effects, earlier: &[Spell], notes: &mut Vec<String>) -> Left {
        let begun = self.left.begun || !self.begun.is_empty() || earlier.iter().any(|s| s.task == self.id);
        let mut left = Left { begun, under_way: None, ..self.left.clone() };
        if !left.is_open() {
            return left;
        }
        let ended = self.begun.iter().map(|b| b.spell.span().end()).chain(self.to_go.map(|(at, _)| at)).max();
        let going = self.begun.iter().find(|b| b.spell.span().end() > start).map(|b| &b.spell);
        let going = going.filter(|spell| self.goes_on(spell, start, effects, notes));
        match self.left.stop {
            Stop::Any { .. } => self.settle_any(&mut left, going, start),
            Stop::Never => self.settle_chunks(&mut left, going, start, 1),
            Stop::Parts(_) => self.settle_chunks(&mut left, going, start, self.lengths().len()),
        }
        let done = left.length <= Slots::ZERO;
        left.state = match (done, ended) {
            (true, Some(end)) => State::Done(end.min(start)),
            (true, None) => self.left.state,
            (false, _) => State::Open,
        };
        left
    }

    /// Minutes at `to_go` minus what was worked since; `None` where nothing was said.
    fn said(&self, start: Moment) -> Option<Minutes> {
        let (at, hours) = self.to_go?;
        let since = Span::new(at, start).map_or(Minutes::ZERO, |window| worked(self.begun.iter().map(|b| &b.spell), window));
        Some((hours - since).max(Minutes::ZERO))
    }

    fn settle_any(&self, left: &mut Left, going: Option<&Spell>, start: Moment) {
        let grid = self.whole.parts.grid;
        let before = Span::new(Moment::FAR_PAST, start);
        let done = before.map_or(Minutes::ZERO, |window| worked(self.begun.iter().map(|b| &b.spell), window));
        let planned = grid.length(self.left.length) - done + self.undone;
        let rest = self.said(start).unwrap_or(planned).max(Minutes::ZERO) + self.more;
        left.length = grid.ceil_length(rest);
        let after = Span::new(start, Moment::FAR_FUTURE);
        left.under_way = going.filter(|_| left.length > Slots::ZERO).map(|spell| {
            let rest = after.map_or(Minutes::ZERO, |window| worked(std::iter::once(spell), window));
            UnderWay { team: spell.team.clone(), left: grid.ceil_length(rest).clamp(Slots::new(1), left.length) }
        });
    }

    fn settle_chunks(&self, left: &mut Left, going: Option<&Spell>, start: Moment, parts: usize) {
        let grid = self.whole.parts.grid;
        let lengths = if self.left.length <= Slots::ZERO { Vec::new() } else { self.lengths() };
        let finished = self.begun.iter().filter(|b| !b.broken && b.spell.span().end() <= start).count();
        let mut rest: Vec<i32> = lengths.iter().skip(finished).map(|l| l.count()).collect();
        let after = Span::new(start, Moment::FAR_FUTURE);
        let head = going.map(|spell| {
            let minutes = after.map_or(Minutes::ZERO, |window| worked(std::iter::once(spell), window));
            grid.ceil_length(minutes).count().max(1)
        });
        if let (Some(head), Some(first)) = (head, rest.first_mut()) {
            *first = head;
        }
        let mut total: i32 = rest.iter().sum::<i32>() + grid.ceil_length(self.undone).count();
        if let Some(said) = self.said(start) {
            total = grid.ceil_length(said).count();
        }
        total += grid.ceil_length(self.more).count();
        let mut count = i32::try_from(rest.len().min(parts)).unwrap_or(1).max(i32::from(total > 0)).min(total.max(1));
        let head = head.filter(|_| total > 0 && !rest.is_empty());
        left.length = Slots::new(total.max(0));
        if let (Some(head), Some(spell)) = (head, going) {
            // The part under way comes first, and each other part has a slot at least.
            let head = if count == 1 { total } else { head.min(total - (count - 1)).max(1) };
            left.under_way = Some(UnderWay { team: spell.team.clone(), left: Slots::new(head) });
        }
        if let Stop::Parts(_) = self.left.stop {
            count = count.max(1);
            left.stop = Stop::Parts(u32::try_from(count).unwrap_or(1));
        }
    }

    /// Whether a spell under way can go on: its team is fit for it, and its tools are there. Where it cannot, a
    /// part of a task that may stop only between parts is undone, and that is said.
    fn goes_on(&self, spell: &Spell, start: Moment, effects: &Effects, notes: &mut Vec<String>) -> bool {
        let Some(rest) = Span::new(start, spell.span().end()) else { return false };
        let parts = &self.whole.parts;
        let hindered = spell.team.iter().enumerate().find(|(n, p)| {
            let away = parts.people[**p].away.iter().any(|a| a.overlaps(rest));
            let called = effects.calls(**p, rest) || parts.people[**p].called_after(start).any(|call| call.overlaps(rest));
            away || called || effects.bars(**p, self.task.needs.get(*n).copied(), rest)
        });
        let tool = self.task.tools.iter().find(|(tool, _)| effects.gone[*tool].iter().any(|g| g.overlaps(rest)));
        let why = match (hindered, tool) {
            (Some((_, person)), _) => format!("{} cannot go on", parts.people[*person].code),
            (None, Some((tool, _))) => format!("{} cannot be had", parts.tools[*tool].code),
            (None, None) => return true,
        };
        let code = &self.task.code;
        notes.push(match self.left.stop {
            Stop::Any { .. } => format!("Task {code} is broken off: {why}."),
            Stop::Never => format!("Task {code} is broken off and all to do again: {why}."),
            Stop::Parts(_) => format!("The part of task {code} under way is broken off and to do again: {why}."),
        });
        false
    }
}

/// Work of `length` from `at` on, paused by `breaks`, which are in order and apart.
fn laid(at: Moment, length: Minutes, breaks: &[Span]) -> Vec<Span> {
    let mut work = Vec::new();
    let (mut from, mut rest) = (at, length);
    for pause in breaks.iter().filter(|b| b.end() > at) {
        if rest <= Minutes::ZERO || from + rest <= pause.start() {
            break;
        }
        if let Some(piece) = Span::new(from, pause.start()) {
            rest = rest - piece.length();
            work.push(piece);
        }
        from = from.max(pause.end());
    }
    work.extend(Span::of(from, rest));
    work
}
