//! The tasks of a remainder: what is left of each, with what the past has settled about it.

use crate::id::{Id, IdVec, PersonId, TaskId};
use crate::model::{After, CloseUp, Milestone, Parts, Pinned, Stop, Task, UnderWay};
use crate::plan::Spell;
use crate::replan::progress::{State, Work};
use crate::replan::{Effects, Past, Standing, Whole};
use crate::time::{Minutes, Moment, Slots, Span};

/// The table of tasks that are left, and for each the task of the whole table.
pub(super) fn table(
    whole: &Whole,
    standing: &Standing,
    work: &Work,
    past: &Past,
    effects: &Effects,
    start: Moment,
    notes: &mut Vec<String>,
) -> (IdVec<TaskId, Task>, IdVec<TaskId, TaskId>) {
    let open: IdVec<TaskId, TaskId> = work.left.pairs().filter(|(_, l)| l.is_open()).map(|(id, _)| id).collect();
    let mut made = Maker { whole, standing, work, past, effects, start, open: &open, notes };
    let table = open.iter().map(|id| made.task(*id)).collect();
    (table, open)
}

struct Maker<'a> {
    whole: &'a Whole,
    standing: &'a Standing,
    work: &'a Work,
    past: &'a Past,
    effects: &'a Effects,
    start: Moment,
    open: &'a IdVec<TaskId, TaskId>,
    notes: &'a mut Vec<String>,
}

impl Maker<'_> {
    fn task(&mut self, id: TaskId) -> Task {
        let (base, left) = (&self.whole.parts.tasks[id], &self.work.left[id]);
        let (after, ready) = if left.under_way.is_some() { self.after_all(id) } else { self.after(id) };
        if left.begun {
            self.waits(id, &after);
        }
        let added = id.index().checked_sub(self.whole.own).and_then(|i| self.whole.log.tasks.get(i)).map(|(entry, _)| *entry);
        let known_at = added.and_then(|entry| self.whole.log.entries.get(entry)).map(|e| e.at);
        let not_before = [base.not_before, ready, known_at].into_iter().flatten().filter(|at| *at > self.start).max();
        let stop = match left.stop {
            Stop::Parts(n) => Stop::Parts(n.min(u32::try_from(left.length.count()).unwrap_or(1)).max(1)),
            other @ (Stop::Any { .. } | Stop::Never) => other,
        };
        let mut pinned = self.pinned(id);
        let under_way = self.goes_on(id, &mut pinned);
        let taken = |unit: &crate::id::UnitId| self.taken_out(*unit);
        Task {
            length: left.length.max(Slots::new(1)),
            stop,
            after,
            not_before,
            takes_out: base.takes_out.iter().copied().filter(|u| !taken(u)).collect(),
            different: base
                .different
                .iter()
                .filter_map(|d| Some(crate::model::Different { other: self.here(d.other)?, ..d.clone() }))
                .collect(),
            close_up: self.close_up(&base.close_up),
            pinned,
            under_way,
            ..base.clone()
        }
    }

    fn here(&self, whole: TaskId) -> Option<TaskId> {
        self.open.find(|t| *t == whole)
    }

    /// What is needed of it where the job is closed up: what puts back something that was begun is, in any case.
    fn close_up(&self, base: &CloseUp) -> CloseUp {
        match base {
            CloseUp::PutsBack(opened) if opened.iter().any(|t| self.work.left[*t].begun) => CloseUp::Needed,
            CloseUp::PutsBack(opened) => CloseUp::PutsBack(opened.iter().filter_map(|t| self.here(*t)).collect()),
            CloseUp::Needed | CloseUp::LeftOut => base.clone(),
        }
    }

    /// Whether a machine has been taken out by work that was begun.
    fn taken_out(&self, unit: crate::id::UnitId) -> bool {
        let tasks = self.whole.parts.tasks.pairs();
        tasks.filter(|(_, t)| t.takes_out.contains(&unit)).any(|(id, _)| self.work.left[id].begun)
    }

    /// What it still comes after, and from when on waits for what is done let it begin.
    fn after(&self, id: TaskId) -> (Vec<After>, Option<Moment>) {
        let grid = self.whole.parts.grid;
        let mut after: Vec<After> = Vec::new();
        let mut ready: Option<Moment> = None;
        let mut open: Vec<(TaskId, Minutes)> = self.whole.parts.tasks[id].after.iter().map(|a| (a.task, a.lag)).collect();
        while let Some((task, lag)) = open.pop() {
            match self.work.left[task].state {
                State::Open => {
                    let Some(here) = self.here(task) else { continue };
                    match after.iter_mut().find(|a| a.task == here) {
                        Some(known) => known.lag = known.lag.max(lag),
                        None => after.push(After { task: here, lag }),
                    }
                }
                State::Done(end) => ready = ready.max(Some(grid.moment(grid.ceil(end + lag)))),
                // What is not done holds up nothing; what it waited for still does.
                State::Dropped | State::Ahead => open.extend(self.whole.parts.tasks[task].after.iter().map(|a| (a.task, a.lag))),
            }
        }
        after.sort_unstable();
        (after, ready)
    }

    /// What is under way waits for nothing, in whatever order it was begun; where that was not the order asked for, it is said.
    fn after_all(&mut self, id: TaskId) -> (Vec<After>, Option<Moment>) {
        let tasks = &self.whole.parts.tasks;
        for (after, _) in self.after(id).0.iter().map(|a| (self.open[a.task], a.lag)) {
            let (code, other) = (&tasks[id].code, &tasks[after].code);
            self.notes.push(format!("Task {code} is under way though {other}, which it comes after, is not done; it goes on."));
        }
        (Vec::new(), None)
    }

    /// Says what a task that was begun and is not under way waits for after all.
    fn waits(&mut self, id: TaskId, after: &[After]) {
        let tasks = &self.whole.parts.tasks;
        for other in after.iter().map(|a| &tasks[self.open[a.task]].code) {
            self.notes.push(format!(
                "Task {} was begun though {other}, which it comes after, is not done; what is left of it waits for that. If {other} is \
                 done, log it as `done`.",
                tasks[id].code
            ));
        }
    }

    /// Spells that were worked on a task of the whole table.
    fn worked(&self, id: TaskId) -> impl Iterator<Item = &Spell> {
        self.past.spells.iter().filter(move |s| s.task == id)
    }

    /// The team that is at it, or the first one that was told to be at it from now on.
    fn told(&self, id: TaskId) -> Option<Vec<PersonId>> {
        let old = self.standing.tasks.find(|t| *t == id);
        let later = self.standing.plan.spells.iter().filter(|s| Some(s.task) == old && s.span().start() >= self.start);
        let first = || later.min_by_key(|s| s.span()).map(|s| s.team.clone());
        self.work.left[id].under_way.as_ref().map(|w| w.team.clone()).or_else(first)
    }

    fn pinned(&mut self, id: TaskId) -> Pinned {
        let base = &self.whole.parts.tasks[id];
        let mut pinned = base.pinned.clone();
        let begun = self.work.left[id].begun;
        let holds = |need: usize, person: PersonId| base.needs.get(need).is_some_and(|c| self.whole.parts.people[person].holds(*c));
        let able = |(need, person): (usize, &PersonId)| {
            holds(need, *person) && base.needs.get(need).is_some_and(|c| !self.effects.without[*person].contains(c))
        };
        if let Some(team) = self.told(id).filter(|team| team.iter().enumerate().all(able)) {
            pinned.seat_as(&team);
        }
        pinned.start = pinned.start.filter(|at| !begun && *at >= self.start);
        for need in &base.same {
            let first = self.worked(id).next().and_then(|s| s.team.get(*need).copied());
            let Some(person) = first else { continue };
            let whole_time = Span::new(self.start, self.whole.parts.latest_end);
            let barred = whole_time.is_some_and(|time| self.effects.bars(person, base.needs.get(*need).copied(), time));
            if barred || !holds(*need, person) {
                let who = &self.whole.parts.people[person].code;
                self.notes.push(format!("{who} led task {} and cannot go on; somebody else may take it over.", base.code));
                pinned.team.retain(|(n, _)| n != need);
            } else if !pinned.team.iter().any(|(n, _)| n == need) {
                pinned.team.push((*need, person));
            }
        }
        let barred = base.different.iter().flat_map(|d| self.barred(d.need, d.other, &d.other_needs)).collect::<Vec<_>>();
        pinned.off.extend(barred);
        for (other, task) in self.whole.parts.tasks.pairs() {
            for rule in task.different.iter().filter(|d| d.other == id) {
                let mine: Vec<usize> = if rule.other_needs.is_empty() { (0..base.needs.len()).collect() } else { rule.other_needs.clone() };
                let did = self.worked(other).filter_map(|s| s.team.get(rule.need).copied());
                let off: Vec<(usize, PersonId)> = did.flat_map(|p| mine.iter().map(move |n| (*n, p))).collect();
                pinned.off.extend(off);
            }
        }
        pinned.off.sort_unstable();
        pinned.off.dedup();
        // What was done by them may bar them from the place that was found for them when nothing was.
        pinned.seat_beside(base.needs.len(), holds);
        pinned
    }

    /// The spell it is in, if that goes on. What was decided about its people cannot change who is at a part, or at a task
    /// that may not stop, before that is done; a task that may stop anywhere is taken over. Either is said.
    fn goes_on(&mut self, id: TaskId, pinned: &mut Pinned) -> Option<UnderWay> {
        let (base, left) = (&self.whole.parts.tasks[id], &self.work.left[id]);
        let under_way = left.under_way.clone()?;
        let places = || under_way.team.iter().copied().enumerate();
        let Some((need, person)) = places().find(|(need, person)| !pinned.lets(*need, *person)) else { return Some(under_way) };
        let code = |person: PersonId| &self.whole.parts.people[person].code;
        let who = code(person);
        let why = match pinned.team.iter().find(|(n, other)| *n == need && *other != person) {
            Some((_, other)) => format!("{} is to be in that place", code(*other)),
            None if base.pinned.off.contains(&(need, person)) => "pins.toml keeps them off it".to_owned(),
            None => "`different` bars them from it".to_owned(),
        };
        let task = &base.code;
        let (note, under_way) = match left.stop {
            Stop::Any { .. } => (format!("Task {task} does not go on with {who}: {why}."), None),
            Stop::Never => (format!("Task {task} is under way and goes on with {who}, though {why}."), Some(under_way)),
            Stop::Parts(_) => (
                format!("The part of task {task} under way goes on with {who}, though {why}; that counts from the next part on."),
                Some(under_way),
            ),
        };
        self.notes.push(note);
        // Who is to be the same through all of it is who is at it.
        if let Some(under_way) = &under_way {
            for need in &base.same {
                pinned.team.retain(|(n, _)| n != need);
                pinned.team.push((*need, under_way.team[*need]));
                pinned.off.retain(|off| *off != (*need, under_way.team[*need]));
            }
            pinned.team.sort_unstable();
        }
        under_way
    }

    /// Who did what bars him from position `need`.
    fn barred(&self, need: usize, other: TaskId, other_needs: &[usize]) -> Vec<(usize, PersonId)> {
        let named = |position: usize| other_needs.is_empty() || other_needs.contains(&position);
        let teams = self.worked(other).flat_map(|s| s.team.iter().enumerate());
        teams.filter(|(position, _)| named(*position)).map(|(_, person)| (need, *person)).collect()
    }
}

/// Held tools in the ids of the remainder. What is held when planning begins cannot be held while it cannot be had: where that
/// is so now, it is not, and the task that was to empty it needs it as any tool; where that is so later, that task is done before.
pub(super) fn holds(
    parts: &mut Parts,
    whole: &Whole,
    tasks: &IdVec<TaskId, TaskId>,
    work: &Work,
    effects: &Effects,
    notes: &mut Vec<String>,
) {
    let here = |id: TaskId| tasks.find(|t| *t == id);
    let mut holds = Vec::new();
    for hold in &whole.parts.holds {
        let Some(empty) = here(hold.empty) else { continue };
        let filled = hold.fill.is_none_or(|fill| work.left[fill].begun || !work.left[fill].is_open());
        let dropped = hold.fill.is_some_and(|fill| !work.left[fill].begun && !work.left[fill].is_open());
        if dropped {
            continue;
        }
        let away = whole.parts.tools[hold.tool].away.iter().chain(&effects.gone[hold.tool]);
        let next = away.filter(|away| filled && away.end() > parts.start).map(|away| away.start()).min();
        if next.is_some_and(|from| from <= parts.start) {
            for end in [hold.fill.and_then(here), Some(empty)].into_iter().flatten() {
                let tools = &mut parts.tasks[end].tools;
                if tools.iter().all(|(tool, _)| *tool != hold.tool) {
                    tools.push((hold.tool, hold.number));
                    tools.sort_unstable();
                }
            }
            let (tool, task) = (&whole.parts.tools[hold.tool].code, &parts.tasks[empty].code);
            notes.push(format!("{tool} cannot be had and is not held any more; {task} waits until it is back."));
            continue;
        }
        let last = &mut parts.tasks[empty].not_after;
        *last = (*last).into_iter().chain(next).min();
        let left = hold.fill.filter(|fill| *fill != hold.empty).and_then(here);
        let (fill, filling) = if filled { (None, left) } else { (hold.fill.and_then(here), None) };
        holds.push(crate::model::Hold { fill, filling, empty, ..*hold });
    }
    parts.holds = holds;
}

/// Milestones with tasks left, those among them that entries in `known` add.
pub(super) fn milestones(
    parts: &mut Parts,
    whole: &Whole,
    tasks: &IdVec<TaskId, TaskId>,
    effects: &Effects,
    known: &[(usize, &crate::model::Entry)],
) {
    let mut milestones = IdVec::new();
    for (id, milestone) in whole.parts.milestones.pairs() {
        let added = id.index().checked_sub(whole.own_milestones).and_then(|i| whole.log.milestones.get(i));
        if added.is_some_and(|(entry, _)| known.iter().all(|(position, _)| position != entry)) {
            continue;
        }
        let left: Vec<TaskId> = milestone.tasks.iter().filter_map(|t| tasks.find(|own| own == t)).collect();
        if !left.is_empty() {
            let due = effects.due.iter().find(|(m, _)| *m == id).map_or(milestone.due, |(_, due)| *due);
            let _: crate::id::MilestoneId = milestones.push(Milestone { tasks: left, due, ..milestone.clone() });
        }
    }
    parts.milestones = milestones;
}
