//! What a new plan changes of what people were told, for whom, and why.

use crate::id::{DutyId, Id, IdVec, PersonId, TaskId, ToolId, TurnId};
use crate::model::{Event, Problem};
use crate::plan::{Plan, Spell};
use crate::replan::{Effects, Remainder, Whole};
use crate::time::{Minutes, Moment, Span};

/// Everything that is not as it was told, worst first.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Changes {
    /// People for whom something changes; those with the most told work near at hand that they do not do first.
    pub people: Vec<PersonChange>,
    /// Tasks whose time or team changes, in order of the earlier of the two times.
    pub tasks: Vec<TaskChange>,
    /// Duties at another time: told, now.
    pub duties: Vec<(DutyId, Moment, Moment)>,
    /// Tasks told for later that are done by now, or will not be, in order of the told time.
    pub gone: Vec<Gone>,
}

/// A task that was told for later and falls away.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Gone {
    /// The task, of the whole table.
    pub task: TaskId,
    /// From when to when it was told, as far as that lies ahead.
    pub was: Span,
    /// The entry of the log that says so; its position. None where it is done by what the log says of its hours.
    pub entry: Option<usize>,
}

/// What changes for one person.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PersonChange {
    /// Who.
    pub person: PersonId,
    /// Minutes in which he does something else than he was told; within 24 hours of the start they count four
    /// times, within 72 hours twice.
    pub weight: Minutes,
    /// The changes, in time order.
    pub pieces: Vec<Piece>,
}

/// A stretch in which a person does something else than he was told.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Piece {
    /// When.
    pub span: Span,
    /// What he was told.
    pub was: Act,
    /// What he does now.
    pub now: Act,
}

/// What a person does.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Act {
    /// A task.
    Task(TaskId),
    /// A task that is done by now, or will not be; of the whole table.
    Gone(TaskId),
    /// A turn on a post.
    Turn(TurnId),
    /// None of them.
    Free,
}

/// A task that is not as it was told.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TaskChange {
    /// The task.
    pub task: TaskId,
    /// From when to when it was told, if it was.
    pub was: Option<Span>,
    /// From when to when it is now.
    pub now: Span,
    /// Whether only its people change.
    pub same_time: bool,
    /// Why.
    pub reason: Reason,
}

/// Why a task is not as it was told.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Reason {
    /// An entry of the log adds it; its position.
    New(usize),
    /// An entry of the log is about it; its position.
    Logged(usize),
    /// Somebody of its team cannot work.
    Unfit(PersonId),
    /// Somebody of its team was called out and is short of rest.
    Called(PersonId),
    /// One of its tools cannot be had.
    ToolGone(ToolId),
    /// Somebody of its team is on another task now.
    PersonOn(PersonId, TaskId),
    /// One of its tools is with another task now.
    ToolOn(ToolId, TaskId),
    /// It comes after a task that moved.
    After(TaskId),
    /// It can be done earlier.
    Earlier,
    /// It was not done when it was told.
    Undone,
    /// Room had to be made, for the reserve, rest, or what else had to move.
    Room,
}

/// The changes from what stands on the sheets people were given to `plan`, for the remainder's problem. What goes on later
/// than told because it was begun late is a change too: whoever is at it has to be told.
#[must_use]
pub fn changes(whole: &Whole, rest: &Remainder, plan: &Plan) -> Changes {
    let problem = &rest.problem;
    let told = &Plan { spells: rest.sheets.clone(), ..problem.told.clone().unwrap_or_default() };
    let mut people: Vec<PersonChange> = problem.people.ids().filter_map(|p| person(rest, told, plan, p)).collect();
    people.sort_by_key(|p| (-p.weight.get(), p.person));
    let moved = problem.duties.ids().filter_map(|d| {
        let (was, now) = ((*rest.sheet_duties.get(d)?)?, *plan.duties.get(d)?);
        // What is under way goes on, and begins with the plan only in it.
        let goes_on = was < problem.start && now == problem.start;
        (was != now && !goes_on).then_some((d, was, now))
    });
    let duties = moved.collect();
    let why = Why::new(whole, rest, told, plan);
    Changes { people, tasks: why.tasks(), duties, gone: why.gone() }
}

/// Work of a person on tasks and turns, by time.
fn acts(problem: &Problem, plan: &Plan, person: PersonId) -> Vec<(Span, Act)> {
    let spells = plan.spells.iter().filter(|s| s.team.contains(&person));
    let tasks = spells.flat_map(|s| s.work.iter().map(|w| (*w, Act::Task(s.task))));
    let turns = problem.turns.pairs().filter(|(t, _)| plan.turns.get(*t) == Some(&person));
    tasks.chain(turns.map(|(id, t)| (t.span, Act::Turn(id)))).collect()
}

fn person(rest: &Remainder, told: &Plan, plan: &Plan, person: PersonId) -> Option<PersonChange> {
    let problem = &rest.problem;
    let (mut was, now) = (acts(problem, told, person), acts(problem, plan, person));
    let gone = rest.gone.iter().filter(|s| s.team.contains(&person));
    was.extend(gone.flat_map(|s| s.work.iter().map(|w| (*w, Act::Gone(s.task)))));
    let mut edges: Vec<Moment> = was.iter().chain(&now).flat_map(|(s, _)| [s.start(), s.end()]).collect();
    edges.sort_unstable();
    edges.dedup();
    let at = |list: &[(Span, Act)], span: Span| list.iter().find(|(s, _)| s.overlaps(span)).map_or(Act::Free, |(_, act)| *act);
    let mut pieces: Vec<Piece> = Vec::new();
    for span in edges.windows(2).filter_map(|w| Span::new(w[0], w[1])) {
        let piece = Piece { span, was: at(&was, span), now: at(&now, span) };
        match pieces.last_mut() {
            Some(last) if last.span.end() == span.start() && (last.was, last.now) == (piece.was, piece.now) => {
                last.span = last.span.hull(span);
            }
            _ => pieces.push(piece),
        }
    }
    pieces.retain(|p| p.was != p.now);
    let weight = pieces.iter().map(|p| weighted(problem.start, p.span)).sum();
    (!pieces.is_empty()).then_some(PersonChange { person, weight, pieces })
}

/// Minutes of `span`, those within 24 hours of `start` four times, within 72 hours twice.
fn weighted(start: Moment, span: Span) -> Minutes {
    let before = |hours: i32| Span::new(span.start(), span.end().min(start + Minutes::hours(hours))).map_or(0, |s| s.length().get());
    Minutes::new(span.length().get() + before(72) + 2 * before(24))
}

/// Finds out why tasks are not as they were told.
struct Why<'a> {
    whole: &'a Whole,
    rest: &'a Remainder,
    plan: &'a Plan,
    effects: Effects,
    was: IdVec<TaskId, Vec<&'a Spell>>,
    now: IdVec<TaskId, Vec<&'a Spell>>,
}

fn by_task<'p>(problem: &Problem, plan: &'p Plan) -> IdVec<TaskId, Vec<&'p Spell>> {
    let mut spells = IdVec::filled(Vec::new(), problem.tasks.len());
    for spell in &plan.spells {
        let list: &mut Vec<&Spell> = &mut spells[spell.task];
        list.push(spell);
    }
    spells
}

/// The people of a spell, whatever place each has in it.
fn everybody(spell: &Spell) -> Vec<PersonId> {
    let mut team = spell.team.clone();
    team.sort_unstable();
    team
}

/// From the first minute to the last.
fn extent(spells: &[&Spell]) -> Option<Span> {
    spells.iter().map(|s| s.span()).reduce(Span::hull)
}

impl<'a> Why<'a> {
    fn new(whole: &'a Whole, rest: &'a Remainder, told: &'a Plan, plan: &'a Plan) -> Self {
        let problem = &rest.problem;
        let effects = Effects::of(whole, rest.entries, problem.start);
        Self { whole, rest, plan, effects, was: by_task(problem, told), now: by_task(problem, plan) }
    }

    fn differs(&self, task: TaskId) -> bool {
        let rows = |spells: &[&Spell]| -> Vec<(Vec<Span>, Vec<PersonId>)> {
            let mut rows: Vec<_> = spells.iter().map(|s| (s.work.clone(), everybody(s))).collect();
            rows.sort();
            rows
        };
        rows(&self.was[task]) != rows(&self.now[task])
    }

    fn tasks(&self) -> Vec<TaskChange> {
        let mut rows: Vec<TaskChange> = Vec::new();
        for task in self.rest.problem.tasks.ids().filter(|t| self.differs(*t)) {
            let (was, Some(now)) = (extent(&self.was[task]), extent(&self.now[task])) else { continue };
            rows.push(TaskChange { task, was, now, same_time: was == Some(now), reason: self.reason(task, was, now) });
        }
        rows.sort_by_key(|r| (r.was.map_or(r.now.start(), |w| w.start().min(r.now.start())), r.task));
        rows
    }

    fn reason(&self, task: TaskId, was: Option<Span>, now: Span) -> Reason {
        let whole = self.rest.tasks[task];
        if let Some((entry, _)) = whole.index().checked_sub(self.whole.own).and_then(|i| self.whole.log.tasks.get(i))
            && was.is_none()
        {
            return Reason::New(*entry);
        }
        if let Some(entry) = self.logged(whole) {
            return Reason::Logged(entry);
        }
        if self.rest.undone.contains(&task) {
            return Reason::Undone;
        }
        let held_up = self.held_up(task, was);
        // Who is fit again by then, and on it, is not what it waits for where it waits for something else.
        let over = |reason: &Reason| match reason {
            Reason::Unfit(person) => held_up.is_some() && self.now[task].iter().any(|spell| spell.team.contains(person)),
            _ => false,
        };
        self.hindered(task)
            .filter(|reason| !over(reason))
            .or_else(|| self.called(task))
            .or(held_up)
            .or_else(|| self.taken(task))
            .or_else(|| self.later(task, was, now))
            .unwrap_or(if was.is_some_and(|w| now.start() < w.start()) { Reason::Earlier } else { Reason::Room })
    }

    /// The last entry about a task of the whole table that people did not know of when they were told.
    fn logged(&self, whole: TaskId) -> Option<usize> {
        let about = |event: &Event| match event {
            Event::Started(t, _) | Event::Stopped(t) | Event::Done(t) | Event::ToGo(t, _) | Event::Dropped(t) | Event::Found(t, _) => {
                *t == whole
            }
            _ => false,
        };
        let entries = &self.whole.log.entries;
        self.rest.fresh.iter().rev().find(|position| entries.get(**position).is_some_and(|e| about(&e.event))).copied()
    }

    /// Tasks that fall away.
    fn gone(&self) -> Vec<Gone> {
        let mut rows: Vec<Gone> = Vec::new();
        for spell in &self.rest.gone {
            match rows.iter_mut().find(|row| row.task == spell.task) {
                Some(row) => row.was = row.was.hull(spell.span()),
                None => rows.push(Gone { task: spell.task, was: spell.span(), entry: self.logged(spell.task) }),
            }
        }
        rows
    }

    /// Somebody or something it was told with cannot be had at the told time.
    fn hindered(&self, task: TaskId) -> Option<Reason> {
        let row = &self.rest.problem.tasks[task];
        for spell in &self.was[task] {
            let span = spell.span();
            let needs = row.needs.iter();
            if let Some((person, _)) = spell.team.iter().zip(needs).find(|(p, need)| self.effects.bars(**p, Some(**need), span)) {
                return Some(Reason::Unfit(*person));
            }
            if let Some((tool, _)) = row.tools.iter().find(|(t, _)| self.effects.gone[*t].iter().any(|g| g.overlaps(span))) {
                return Some(Reason::ToolGone(*tool));
            }
        }
        None
    }

    /// Somebody it was told with in the two days after a call-out, and is with no more.
    fn called(&self, task: TaskId) -> Option<Reason> {
        let near = |call: Span, told: Span| told.start() >= call.start() && told.start() < call.end() + Minutes::hours(48);
        let now = |person: PersonId, told: Span| self.now[task].iter().any(|s| s.team.contains(&person) && s.span().overlaps(told));
        let news = |call: Span| self.rest.fresh.iter().filter_map(|f| self.whole.log.entries.get(*f)).any(|e| e.at == call.start());
        for (person, row) in self.effects.calls.iter().filter(|(_, row)| news(row.span)) {
            let told = self.was[task].iter().filter(|s| s.team.contains(person)).map(|s| s.span());
            if told.into_iter().any(|told| near(row.span, told) && !now(*person, told)) {
                return Some(Reason::Called(*person));
            }
        }
        None
    }

    /// At the told time, somebody of the told team, or one of its tools, is with another task that is not as told.
    fn taken(&self, task: TaskId) -> Option<Reason> {
        let row = &self.rest.problem.tasks[task];
        for spell in &self.was[task] {
            let span = spell.span();
            let others = || self.plan.spells.iter().filter(move |s| s.task != task && s.span().overlaps(span) && self.differs(s.task));
            // What the log adds comes first: it is where the trouble began.
            let mut list: Vec<&Spell> = others().collect();
            list.sort_by_key(|s| (self.rest.tasks[s.task].index() < self.whole.own, s.span()));
            for other in list {
                if let Some(person) = spell.team.iter().find(|p| other.team.contains(p)) {
                    return Some(Reason::PersonOn(*person, other.task));
                }
                let theirs = &self.rest.problem.tasks[other.task].tools;
                if let Some((tool, _)) = row.tools.iter().find(|(t, _)| theirs.iter().any(|(o, _)| o == t)) {
                    return Some(Reason::ToolOn(*tool, other.task));
                }
            }
        }
        None
    }

    /// It comes after a task that ends later than it was told, and cannot begin when it was told for that.
    fn held_up(&self, task: TaskId, was: Option<Span>) -> Option<Reason> {
        let was = was?;
        let rows = self.rest.problem.tasks[task].after.iter().filter(|a| self.ends_later(a.task));
        let ready = rows.filter_map(|a| Some((extent(&self.now[a.task])?.end() + a.lag, a.task)));
        ready.filter(|(ready, _)| *ready > was.start()).max().map(|(_, task)| Reason::After(task))
    }

    /// It comes after a task that ends later than it was told.
    fn later(&self, task: TaskId, was: Option<Span>, now: Span) -> Option<Reason> {
        if was.is_some_and(|was| now.start() <= was.start()) {
            return None;
        }
        let after = self.rest.problem.tasks[task].after.iter().filter(|a| self.ends_later(a.task));
        after.max_by_key(|a| extent(&self.now[a.task]).map(Span::end)).map(|a| Reason::After(a.task))
    }

    fn ends_later(&self, task: TaskId) -> bool {
        match (extent(&self.was[task]), extent(&self.now[task])) {
            (Some(was), Some(now)) => now.end() > was.end(),
            (None, Some(_)) => true,
            (_, None) => false,
        }
    }
}
