//! Where one task fits by itself: earliest ends and latest starts under its stop code.

use super::people::{Hours, People, sure_span};
use super::range::count;
use super::team::{Able, PerTask, day_limit, team_exists, useful};
use crate::bits::Bits;
use crate::id::{PersonId, TaskId};
use crate::model::{Problem, Stop};

/// Who may fill which position, competence not asked.
type LetIn<'a> = dyn Fn(usize, PersonId) -> bool + 'a;

/// Whoever holds what is needed.
const ANYBODY: fn(usize, PersonId) -> bool = |_, _| true;

/// Longest sum of pauses in a spell, in minutes.
const LONGEST_PAUSE: i32 = 90;

/// One way to fill the task: anybody, or one person all through at the first position that asks for it.
#[derive(Clone, Debug)]
struct Choice {
    only: Option<(usize, PersonId)>,
    /// Slots in which a team could be at work.
    slots: Bits,
    /// Most slots of work in a ship's day.
    day_limit: Option<usize>,
}

#[derive(Clone, Debug)]
struct Task {
    length: usize,
    /// Lengths of spells that are fixed, in order; none where it may stop anywhere.
    parts: Vec<usize>,
    /// Most slots of pause in a spell.
    pause: usize,
    /// Slots in which it may run at all: its own window, bans, tools, its post.
    allowed: Bits,
    /// Union of the slots of all choices.
    slots: Bits,
    choices: Vec<Choice>,
    useful: Vec<PersonId>,
}

/// Where each task fits by itself.
#[derive(Clone, Debug)]
pub struct Fit<'p> {
    problem: &'p Problem,
    people: &'p People,
    hours: Hours,
    tasks: PerTask<Task>,
}

impl<'p> Fit<'p> {
    /// Lays out where tasks fit.
    #[must_use]
    pub fn new(problem: &'p Problem, people: &'p People, hours: Hours) -> Self {
        let able = |emergency| Able::new(people, problem.people.len(), hours, emergency);
        let calm = able(false);
        let urgent = problem.tasks.iter().any(|t| t.emergency).then(|| able(true));
        let tasks = problem
            .tasks
            .ids()
            .map(|id| {
                let able = urgent.as_ref().filter(|_| problem.tasks[id].emergency).unwrap_or(&calm);
                task(problem, people, able, id)
            })
            .collect();
        Self { problem, people, hours, tasks }
    }

    /// The calendars all this stands on.
    #[must_use]
    pub const fn people(&self) -> &'p People {
        self.people
    }

    /// Whether the task could begin with slot `at`: its first spell, as short as it may be, with a team that what is decided
    /// about the task lets be.
    #[must_use]
    pub fn begins(&self, task: TaskId, at: usize) -> bool {
        let (own, fit) = (&self.problem.tasks[task], &self.tasks[task]);
        let work = match (fit.parts.first(), own.stop) {
            (Some(part), _) => *part,
            (None, Stop::Any { min_spell }) => count(min_spell).clamp(1, fit.length),
            (None, Stop::Parts(_) | Stop::Never) => fit.length,
        };
        let within = |rest: usize| at + work + rest <= self.people.range().len();
        let spell = |choice: &Choice, rest: usize| self.spell_fits(task, choice, at, at + work + rest, rest, &|n, p| own.lets(n, p));
        fit.choices.iter().any(|choice| (0..=fit.pause).any(|rest| within(rest) && spell(choice, rest)))
    }

    /// Which hours may be worked.
    #[must_use]
    pub const fn hours(&self) -> Hours {
        self.hours
    }

    /// Slots in which the task could be at work with some team.
    #[must_use]
    pub fn slots(&self, task: TaskId) -> &Bits {
        &self.tasks[task].slots
    }

    /// The task's length in slots.
    #[must_use]
    pub fn length(&self, task: TaskId) -> usize {
        self.tasks[task].length
    }

    /// Most slots of the task's work in one ship's day, if caps of its holders bound it.
    #[must_use]
    pub fn day_limit(&self, task: TaskId) -> Option<usize> {
        self.tasks[task].choices.iter().map(|c| c.day_limit).max_by_key(|limit| limit.unwrap_or(usize::MAX)).flatten()
    }

    /// The earliest start and the earliest end of a task that may start at slot `from` or later: of two
    /// different ways, perhaps. `None` where it does not fit at all.
    #[must_use]
    pub fn earliest(&self, task: TaskId, from: usize) -> Option<(usize, usize)> {
        let data = &self.tasks[task];
        if data.parts.is_empty() {
            let end = data.choices.iter().filter_map(|c| self.by_slots(data, c, from)).min()?;
            return Some((data.slots.next(from)?, end));
        }
        let ways = data.choices.iter().filter_map(|choice| {
            let (start, mut end) = self.spell_from(task, choice, data.parts[0], from)?;
            for part in &data.parts[1..] {
                end = self.spell_from(task, choice, *part, end)?.1;
            }
            // Caps also bound what the parts come to together.
            Some((start, end.max(self.by_slots(data, choice, from)?)))
        });
        ways.reduce(|a, b| (a.0.min(b.0), a.1.min(b.1)))
    }

    /// The latest start and the latest end of a task that must have ended before slot `to`: of two
    /// different ways, perhaps. `None` where it does not fit at all.
    #[must_use]
    pub fn latest(&self, task: TaskId, to: usize) -> Option<(usize, usize)> {
        let data = &self.tasks[task];
        if data.parts.is_empty() {
            let start = data.choices.iter().filter_map(|c| self.by_slots_back(data, c, to)).max()?;
            let end = (start..to).rev().find(|i| data.slots.has(*i))? + 1;
            return Some((start, end));
        }
        let ways = data.choices.iter().filter_map(|choice| {
            let (last, before) = data.parts.split_last()?;
            let (mut start, end) = self.spell_to(task, choice, *last, to)?;
            for part in before.iter().rev() {
                start = self.spell_to(task, choice, *part, start)?.0;
            }
            Some((start.min(self.by_slots_back(data, choice, to)?), end))
        });
        ways.reduce(|a, b| (a.0.max(b.0), a.1.max(b.1)))
    }

    /// The earliest end by counting slots in which a team could work, with the most a day allows.
    fn by_slots(&self, task: &Task, choice: &Choice, from: usize) -> Option<usize> {
        let mut count = Count::new(self.people, task.length, choice.day_limit);
        let mut at = from;
        loop {
            at = choice.slots.next(at)? + 1;
            if count.done(at - 1) {
                return Some(at);
            }
        }
    }

    /// The latest start by the same count, backwards.
    fn by_slots_back(&self, task: &Task, choice: &Choice, to: usize) -> Option<usize> {
        let mut count = Count::new(self.people, task.length, choice.day_limit);
        (0..to.min(choice.slots.len())).rev().filter(|i| choice.slots.has(*i)).find(|i| count.done(*i))
    }

    /// The first start at or after `from`, and the first end, of one spell with so many slots of work.
    fn spell_from(&self, task: TaskId, choice: &Choice, work: usize, from: usize) -> Option<(usize, usize)> {
        let pause = self.tasks[task].pause;
        let mut first = None;
        let mut end: Option<usize> = None;
        let mut start = from;
        loop {
            start = match choice.slots.next(start) {
                Some(next) if end.is_none_or(|e| next + work < e) => next,
                _ => return Some((first?, end?)),
            };
            for rest in 0..=pause {
                let to = start + work + rest;
                if end.is_none_or(|e| to < e) && self.spell_fits(task, choice, start, to, rest, &ANYBODY) {
                    first = first.or(Some(start));
                    end = Some(to);
                }
            }
            start += 1;
        }
    }

    /// The last start, and the last end before slot `to`, of one spell with so many slots of work.
    fn spell_to(&self, task: TaskId, choice: &Choice, work: usize, to: usize) -> Option<(usize, usize)> {
        let pause = self.tasks[task].pause;
        let mut last = None;
        let mut start: Option<usize> = None;
        for end in (work..=to.min(choice.slots.len())).rev() {
            if start.is_some_and(|s| end <= s + work) {
                break;
            }
            if !choice.slots.has(end - 1) {
                continue;
            }
            for rest in 0..=pause.min(end - work) {
                let from = end - work - rest;
                if start.is_none_or(|s| from > s) && self.spell_fits(task, choice, from, end, rest, &ANYBODY) {
                    last = last.or(Some(end));
                    start = Some(from);
                }
            }
        }
        Some((start?, last?))
    }

    /// Whether one team, of those who are `let_in`, could do a spell over `from..to` with `rest` slots of pause in it. Who
    /// pauses when is left open, so this never says no to a spell that is legal.
    fn spell_fits(&self, task: TaskId, choice: &Choice, from: usize, to: usize, rest: usize, let_in: &LetIn<'_>) -> bool {
        let data = &self.tasks[task];
        let run = choice.slots.count_range(from, to);
        let inner = data.allowed.has_range(from, to);
        if !choice.slots.has(from) || !choice.slots.has(to - 1) || !inner || run + rest < to - from {
            return false;
        }
        if rest > self.people.breaks_in(from, to) {
            return false;
        }
        let needs = &self.problem.tasks[task].needs;
        if needs.is_empty() {
            return true;
        }
        let emergency = self.problem.tasks[task].emergency;
        let able: Vec<PersonId> = data.useful.iter().copied().filter(|p| self.stays(*p, emergency, from, to, rest)).collect();
        team_exists(needs.len(), &able, |position, person| match choice.only {
            Some((at, who)) if at == position => who == person,
            Some((_, who)) if who == person => false,
            _ => self.problem.people[person].holds(needs[position]) && let_in(position, person),
        })
    }

    /// Whether a person could be in a spell over `from..to` that pauses for `rest` slots.
    fn stays(&self, person: PersonId, emergency: bool, from: usize, to: usize, rest: usize) -> bool {
        let works = |i: usize| self.people.state(person, i).works(self.hours, emergency);
        if !works(from) || !works(to - 1) {
            return false;
        }
        let stretch = self.people.stretch(person, from);
        if !emergency && (from..to).any(|i| self.people.stretch(person, i) != stretch) {
            return false;
        }
        let missing = (from..to).filter(|i| !works(*i)).count();
        if missing > rest || (rest > 0 && (from..to).any(|i| !self.people.state(person, i).pauses())) {
            return false;
        }
        let Some(cap) = self.people.cap(person) else { return true };
        let range = self.people.range();
        let mut day = from;
        while day < to {
            let next = (day..to).find(|i| range.day(*i) != range.day(day)).unwrap_or(to);
            if next - day > cap + rest {
                return false;
            }
            day = next;
        }
        true
    }
}

/// Counts slots of work until a length is reached, no more a day than the limit.
struct Count<'a> {
    people: &'a People,
    left: usize,
    limit: Option<usize>,
    today: usize,
    last: Option<usize>,
}

impl<'a> Count<'a> {
    fn new(people: &'a People, left: usize, limit: Option<usize>) -> Self {
        Self { people, left, limit, today: 0, last: None }
    }

    /// Takes slot `i`, if the day has room; whether the length is reached now.
    fn done(&mut self, i: usize) -> bool {
        let range = self.people.range();
        if self.last.is_none_or(|last| range.day(last) != range.day(i)) {
            self.today = 0;
        }
        self.last = Some(i);
        if self.limit.is_none_or(|limit| self.today < limit) {
            self.today += 1;
            self.left = self.left.saturating_sub(1);
            return self.left == 0;
        }
        false
    }
}

fn task(problem: &Problem, people: &People, able: &Able, id: TaskId) -> Task {
    let data = &problem.tasks[id];
    let allowed = allowed(problem, people, id);
    let length = count(data.length);
    let parts: Vec<usize> = match data.stop {
        // Nobody works on it: it runs in one spell, whatever it says about stopping.
        Stop::Any { .. } if data.unmanned() => vec![length],
        Stop::Any { .. } => Vec::new(),
        Stop::Parts(_) | Stop::Never => data.part_lengths().into_iter().map(count).collect(),
    };
    let choice = |only| {
        let mut slots = able.slots(problem, id, only);
        slots.intersect(&allowed);
        Choice { only, slots, day_limit: day_limit(problem, people, id, only) }
    };
    let choices: Vec<Choice> = match data.same.first() {
        Some(position) => problem.holders(data.needs[*position]).iter().map(|p| choice(Some((*position, *p)))).collect(),
        None => vec![choice(None)],
    };
    let mut slots = Bits::none(people.range().len());
    for choice in &choices {
        slots.unite(&choice.slots);
    }
    // A spell of what may stop anywhere may pause too.
    let may_pause = data.pauses || matches!(data.stop, Stop::Any { .. });
    let pause = if may_pause && !data.unmanned() { people.range().to(people.range().moment(0) + minutes(LONGEST_PAUSE)) } else { 0 };
    Task { length, parts, pause, allowed, slots, choices, useful: useful(problem, id) }
}

const fn minutes(n: i32) -> crate::time::Minutes {
    crate::time::Minutes::new(n)
}

/// The slots in which a task may run at all.
fn allowed(problem: &Problem, people: &People, id: TaskId) -> Bits {
    let (task, range) = (&problem.tasks[id], people.range());
    let mut allowed = Bits::none(range.len());
    let from = task.not_before.map_or(0, |m| range.from(m));
    let to = task.not_after.map_or(range.len(), |m| range.to(m));
    allowed.insert_range(from, to);
    let banned = |tags: &[crate::id::TagId]| tags.iter().any(|t| task.tags.contains(t));
    for ban in problem.bans.iter().filter(|b| banned(&b.tags)) {
        let (from, to) = range.touching(ban.span);
        allowed.remove_range(from, to);
    }
    for (duty, _) in problem.duties.pairs().filter(|(_, d)| banned(&d.bans)) {
        if let Some(span) = sure_span(problem, duty) {
            let (from, to) = range.touching(span);
            allowed.remove_range(from, to);
        }
    }
    for away in task.tools.iter().flat_map(|(tool, _)| &problem.tools[*tool].away) {
        let (from, to) = range.touching(*away);
        allowed.remove_range(from, to);
    }
    if let Some(post) = task.attended_by {
        let mut manned = Bits::none(range.len());
        for span in crate::time::union(problem.posts[post].manned.clone()) {
            let (from, to) = range.inside(span);
            manned.insert_range(from, to);
        }
        allowed.intersect(&manned);
    }
    allowed
}
