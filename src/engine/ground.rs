//! What never changes while planning: the problem laid out on engine slots.
//!
//! Engine slots count from the problem's start; slot `i` is the stretch from [`Ground::moment`]`(i)` to
//! `moment(i + 1)`. The last slot ends at the problem's latest end.

use super::asked_reserve::ReserveGround;
use super::told::{self, Told};
use crate::bits::Bits;
use crate::id::{IdVec, ModeId, PersonId, PostId, RuleSetId, TaskId, ToolId};
use crate::model::{Problem, Stop};
use crate::rest::{ClosedRules, Line, LineInput, RuleSet};
use crate::time::{Minutes, Moment, Slot, Slots, Span};

/// Marks a slot outside every working stretch.
pub(super) const NO_STRETCH: u32 = u32::MAX;

/// The problem on engine slots.
#[derive(Debug)]
pub(super) struct Ground<'p> {
    pub(super) problem: &'p Problem,
    /// Number of slots.
    pub(super) len: usize,
    /// Minutes in a slot.
    pub(super) slot: i32,
    first: Slot,
    /// Ship's day of each slot, from 0 for the day of the start.
    pub(super) day: Vec<u32>,
    pub(super) n_days: usize,
    /// First slot of each day, and the number of slots after the last.
    pub(super) day_starts: Vec<usize>,
    pub(super) people: IdVec<PersonId, GroundPerson>,
    pub(super) tasks: IdVec<TaskId, GroundTask>,
    /// Distinct break calendars: slots that overlap a named break.
    pub(super) calendars: Vec<Bits>,
    /// How many of each tool there are in each slot.
    pub(super) tools: IdVec<ToolId, Vec<u16>>,
    pub(super) reserve: ReserveGround,
    /// Whether nothing is placed that would break the reserve. Where no plan keeps it, plans that do not are made, and what
    /// they fall short by counts against them.
    pub(super) keeps_reserve: bool,
    /// All tasks that a task comes after, directly or not.
    pub(super) ancestors: IdVec<TaskId, Bits>,
    /// How many slots from each one on to the next that is a break for somebody.
    pub(super) to_break: Vec<u16>,
    /// Slots that begin between 20:00 and 06:00.
    pub(super) night: Bits,
    /// The mode that holds when each slot begins.
    pub(super) modes: Vec<Option<ModeId>>,
    /// Tasks whose first spell has to start at a slot, in the order of those slots.
    pub(super) anchored: Vec<TaskId>,
    /// Tools held from the start on: indices into the problem's holds.
    pub(super) held: Vec<usize>,
    /// What people were told, if they were told anything.
    pub(super) told: Option<Told>,
    /// Weighted minutes of all that was told.
    pub(super) told_weight: i64,
    /// The rest rules in the form that is planned with.
    rules: IdVec<RuleSetId, ClosedRules>,
}

#[derive(Debug)]
pub(super) struct GroundPerson {
    /// Slots wholly inside ordinary hours.
    pub(super) ordinary: Bits,
    /// Slots inside working hours that are not wholly ordinary.
    pub(super) overtime: Bits,
    /// How many minutes before each slot lie outside ordinary hours.
    outside: Vec<i32>,
    /// Ordinary slots in which time on hand counts as unbooked: not those of recorded work that reaches past the start.
    pub(super) counted: Bits,
    pub(super) aboard: Bits,
    /// Stretch of each slot, or [`NO_STRETCH`].
    pub(super) stretch: Vec<u32>,
    /// Break calendar, if the person has named breaks.
    pub(super) calendar: Option<usize>,
    /// Most job minutes a ship's day.
    pub(super) cap: Option<i32>,
    /// Job minutes of the first day before planning begins.
    pub(super) worked_before: i32,
    /// Whether the first day is an evening of the person already, whatever is planned.
    pub(super) evening_before: bool,
    /// From the first ordinary minute of each working stretch to the last.
    pub(super) ordinary_hulls: Vec<Option<Span>>,
    /// The working stretches that reach into each day.
    pub(super) on_day: Vec<Vec<usize>>,
}

impl GroundPerson {
    /// Minutes of the slots `[from, to)` outside ordinary hours, which may begin and end between slots.
    pub(super) fn overtime_in(&self, from: usize, to: usize) -> i32 {
        self.outside[to] - self.outside[from]
    }
}

#[derive(Debug)]
pub(super) struct GroundTask {
    pub(super) needs: Vec<Need>,
    /// Length in slots.
    pub(super) length: usize,
    pub(super) shape: Shape,
    /// Whether named breaks pause a spell.
    pub(super) pauses: bool,
    /// Whether its team cannot be called during a spell.
    pub(super) locks: bool,
    pub(super) emergency: bool,
    /// Slots in which it may run: window of its own and fixed bans.
    pub(super) allowed: Bits,
    /// What it comes after, with the wait in slots.
    pub(super) after: Vec<(TaskId, usize)>,
    /// What comes after it, with the wait in slots.
    pub(super) before: Vec<(TaskId, usize)>,
    pub(super) tools: Vec<(ToolId, u16)>,
    /// Indices into the problem's holds which it begins or ends.
    pub(super) fills: Vec<usize>,
    pub(super) empties: Vec<usize>,
    pub(super) attended_by: Option<PostId>,
    /// The slot in which its first spell has to start, if that is decided.
    pub(super) start: Option<usize>,
    /// Who is at it when planning begins, if somebody is.
    pub(super) under_way: Option<Vec<PersonId>>,
    /// People barred from one of its positions by who works on another task.
    pub(super) apart: Vec<Apart>,
}

#[derive(Debug)]
pub(super) struct Need {
    pub(super) holders: Vec<PersonId>,
    /// One person through all spells.
    pub(super) same: bool,
}

impl Need {
    /// Whoever alone may fill it.
    pub(super) fn only(&self) -> Option<PersonId> {
        match self.holders[..] {
            [person] => Some(person),
            _ => None,
        }
    }
}

/// How the work of a task is cut.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Shape {
    /// Anywhere; spells but the last at least so many slots.
    Any(usize),
    /// These lengths, in order, each in one spell.
    Chunks(Vec<usize>),
}

/// A person in `other_needs` of `other` (empty: any) may not fill `need`.
#[derive(Debug)]
pub(super) struct Apart {
    pub(super) need: usize,
    pub(super) other: TaskId,
    pub(super) other_needs: Vec<usize>,
}

impl<'p> Ground<'p> {
    pub(super) fn new(problem: &'p Problem) -> Self {
        let grid = problem.grid;
        let first = grid.ceil(problem.start);
        let len = usize::try_from((grid.floor(problem.latest_end) - first).count()).unwrap_or(0);
        let slot = grid.slot().get();
        let moment = |i: usize| grid.moment(first + slots(i));
        let day_one = problem.clock.day_of(problem.start).number();
        let day: Vec<u32> = (0..len).map(|i| u32::try_from(problem.clock.day_of(moment(i)).number() - day_one).unwrap_or(0)).collect();
        let n_days = day.last().map_or(0, |d| *d as usize + 1);
        let mut day_starts: Vec<usize> = (0..len).filter(|i| *i == 0 || day[*i] != day[i - 1]).collect();
        day_starts.push(len);
        let mut ground = Self {
            problem,
            len,
            slot,
            first,
            day,
            n_days,
            day_starts,
            people: IdVec::new(),
            tasks: IdVec::new(),
            calendars: Vec::new(),
            tools: IdVec::new(),
            reserve: ReserveGround::none(len),
            keeps_reserve: true,
            told: None,
            night: Bits::none(len),
            modes: (0..len).map(|i| problem.mode_at(moment(i))).collect(),
            to_break: vec![u16::MAX; len],
            ancestors: IdVec::filled(Bits::none(problem.tasks.len()), problem.tasks.len()),
            told_weight: 0,
            anchored: Vec::new(),
            held: problem.holds.iter().enumerate().filter(|(_, h)| h.fill.is_none()).map(|(i, _)| i).collect(),
            rules: problem.rule_sets.iter().map(closed).collect(),
        };
        let people: Vec<GroundPerson> = problem.people.ids().map(|p| ground.person(p)).collect();
        ground.people = people.into();
        ground.tasks = problem.tasks.ids().map(|t| ground.task(t)).collect();
        ground.anchored = ground.tasks.pairs().filter(|(_, t)| t.start.is_some()).map(|(id, _)| id).collect();
        ground.anchored.sort_by_key(|id| (ground.tasks[*id].start, *id));
        ground.tools = problem.tools.ids().map(|t| ground.tool(t)).collect();
        ground.reserve = ground.reserve_of();
        ground.count_unbooked();
        let mut distance = u16::MAX;
        for slot in (0..len).rev() {
            distance = if ground.calendars.iter().any(|c| c.has(slot)) { 0 } else { distance.saturating_add(1) };
            ground.to_break[slot] = distance;
        }
        for task in problem.order() {
            for (before, _) in &ground.tasks[*task].after {
                let mut all = ground.ancestors[*before].clone();
                all.insert(crate::id::Id::index(*before));
                ground.ancestors[*task].unite(&all);
            }
        }
        for slot in 0..len {
            let minute = problem.clock.minute_of_day(ground.moment(slot)).get();
            if !(6 * 60..20 * 60).contains(&minute) {
                ground.night.insert(slot);
            }
        }
        ground.told = problem.told.as_ref().map(|plan| Told::new(&ground, plan));
        ground.told_weight = ground.told.as_ref().map_or(0, |told| told::all_weight(&ground, told));
        ground
    }

    /// Finds in which slots each person's time on hand counts as unbooked.
    pub(super) fn count_unbooked(&mut self) {
        let (problem, hours) = (self.problem, self.reserve.hours.clone());
        for (id, person) in problem.people.pairs() {
            let mut counted = self.people[id].ordinary.clone();
            counted.intersect(&hours);
            for (_, span) in person.recorded_after(problem.start) {
                let (from, to) = self.touching(span);
                counted.remove_range(from, to);
            }
            self.people[id].counted = counted;
        }
    }

    /// The same for plans that need not keep the reserve.
    pub(super) fn with_reserve_open(problem: &'p Problem) -> Self {
        Self { keeps_reserve: false, ..Self::new(problem) }
    }

    /// Which tool is held, and how many of it.
    pub(super) fn held(&self, hold: usize) -> (ToolId, u16) {
        let hold = &self.problem.holds[hold];
        (hold.tool, u16::try_from(hold.number).unwrap_or(u16::MAX))
    }

    /// Whether there is one of `tool` and no more.
    pub(super) fn is_single(&self, tool: ToolId) -> bool {
        self.problem.tools[tool].number == 1
    }

    /// Slots of a task, in the mean, rounded down.
    pub(super) fn mean_length(&self) -> u64 {
        let all: usize = self.tasks.iter().map(|t| t.length).sum();
        u64::try_from(all / self.tasks.len().max(1)).unwrap_or(u64::MAX)
    }

    /// Whether somebody in a team has a named break in a slot.
    pub(super) fn is_break_of(&self, team: &[PersonId], slot: usize) -> bool {
        team.iter().any(|person| self.people[*person].calendar.is_some_and(|c| self.calendars[c].has(slot)))
    }

    /// The most slots that named breaks may pause one spell for.
    pub(super) fn most_paused(&self) -> usize {
        usize::try_from(90 / self.slot).unwrap_or(0)
    }

    /// Slots in a day of 24 hours.
    pub(super) fn slots_a_day(&self) -> usize {
        usize::try_from(24 * 60 / self.slot).unwrap_or(1).max(1)
    }

    /// The ship's days on which the slots `[first, last)`, which are some, lie.
    pub(super) fn days_of(&self, first: usize, last: usize) -> std::ops::RangeInclusive<usize> {
        self.day[first] as usize..=self.day[last - 1] as usize
    }

    /// What of the slots `[from, to)` lies on a day; where nothing does, a range that is empty.
    pub(super) fn on_day(&self, day: usize, from: usize, to: usize) -> std::ops::Range<usize> {
        let from = from.max(self.day_starts[day]);
        from..to.min(self.day_starts[day + 1]).max(from)
    }

    /// So many slots in minutes.
    pub(super) fn minutes(&self, slots: usize) -> i32 {
        i32::try_from(slots).unwrap_or(i32::MAX).saturating_mul(self.slot)
    }

    /// The start of engine slot `i`.
    pub(super) fn moment(&self, i: usize) -> Moment {
        self.problem.grid.moment(self.first + slots(i))
    }

    /// The slots from `from` (in it) to `to` (not in it) as a span.
    pub(super) fn span(&self, from: usize, to: usize) -> Span {
        Span::new(self.moment(from), self.moment(to)).expect("a range of slots is not empty")
    }

    /// The first engine slot that starts at or after `moment`; 0 before the start.
    pub(super) fn slot_from(&self, moment: Moment) -> usize {
        usize::try_from((self.problem.grid.ceil(moment) - self.first).count()).unwrap_or(0).min(self.len)
    }

    /// The first engine slot boundary such that every earlier slot ends at or before `moment`.
    pub(super) fn slot_to(&self, moment: Moment) -> usize {
        usize::try_from((self.problem.grid.floor(moment) - self.first).count()).unwrap_or(0).min(self.len)
    }

    /// Slots wholly inside `span`.
    pub(super) fn inside(&self, span: Span) -> (usize, usize) {
        (self.slot_from(span.start()), self.slot_to(span.end()))
    }

    /// Slots that share a minute with `span`.
    pub(super) fn touching(&self, span: Span) -> (usize, usize) {
        (self.slot_to(span.start()), self.slot_from(span.end()))
    }

    /// The rest timeline of a person with recorded and fixed work, judged up to slot `end`.
    pub(super) fn line(&self, id: PersonId, recorded: &[Span], fixed: &[Span], end: usize) -> Line {
        let problem = self.problem;
        let person = &problem.people[id];
        Line::new(LineInput {
            rules: &self.rules[person.rest],
            recorded,
            fixed,
            breaks: &person.breaks,
            scope: self.span(0, end),
            clock: &problem.clock,
        })
    }

    fn person(&mut self, id: PersonId) -> GroundPerson {
        let person = &self.problem.people[id];
        let mut ordinary = Bits::none(self.len);
        let mut hours = Bits::none(self.len);
        let mut stretch = vec![NO_STRETCH; self.len];
        for (s, working) in person.stretches.iter().enumerate() {
            for piece in &working.ordinary {
                let (from, to) = self.inside(*piece);
                ordinary.insert_range(from, to);
            }
            for piece in working.hours() {
                let (from, to) = self.inside(piece);
                hours.insert_range(from, to);
                for of in stretch.iter_mut().take(to).skip(from) {
                    *of = u32::try_from(s).unwrap_or(NO_STRETCH);
                }
            }
        }
        let mut outside = vec![0; self.len + 1];
        let pieces = || person.stretches.iter().flat_map(|s| &s.ordinary);
        for slot in 0..self.len {
            let span = self.span(slot, slot + 1);
            let first = if ordinary.has(slot) { 0 } else { span.length().get() };
            let within: Minutes = pieces().filter(|_| first > 0).filter_map(|p| p.intersection(span)).map(Span::length).sum();
            outside[slot + 1] = outside[slot] + first - within.get();
        }
        let mut aboard = Bits::all(self.len);
        for away in &person.away {
            let (from, to) = self.touching(*away);
            aboard.remove_range(from, to);
        }
        let mut overtime = hours;
        overtime.subtract(&ordinary);
        let evening_before = person.before.overtime > Minutes::ZERO;
        // Who may use no evening has none; one that is open would count as used already.
        if person.evenings == Some(0) {
            let counted = if evening_before { self.day.partition_point(|day| *day == 0) } else { 0 };
            overtime.remove_range(counted, self.len);
        }
        let mut breaks = Bits::none(self.len);
        for pause in &person.breaks {
            let (from, to) = self.touching(*pause);
            breaks.insert_range(from, to);
        }
        let calendar = (!breaks.is_empty()).then(|| {
            self.calendars.iter().position(|c| *c == breaks).unwrap_or_else(|| {
                self.calendars.push(breaks);
                self.calendars.len() - 1
            })
        });
        let mut on_day: Vec<Vec<usize>> = vec![Vec::new(); self.n_days];
        for (slot, index) in stretch.iter().enumerate().filter(|(_, s)| **s != NO_STRETCH) {
            let list = &mut on_day[self.day[slot] as usize];
            if list.last() != Some(&(*index as usize)) {
                list.push(*index as usize);
            }
        }
        let ordinary_hulls = person.stretches.iter().map(|s| s.ordinary.iter().copied().reduce(Span::hull)).collect();
        GroundPerson {
            counted: ordinary.clone(),
            ordinary,
            overtime,
            outside,
            aboard,
            stretch,
            calendar,
            cap: person.job_cap.map(Minutes::get),
            worked_before: person.before.worked.get(),
            evening_before,
            ordinary_hulls,
            on_day,
        }
    }

    fn task(&self, id: TaskId) -> GroundTask {
        let problem = self.problem;
        let task = &problem.tasks[id];
        let shape = match task.stop {
            Stop::Any { min_spell } => Shape::Any(count(min_spell)),
            Stop::Parts(_) | Stop::Never => Shape::Chunks(task.part_lengths().into_iter().map(count).collect()),
        };
        let mut allowed = Bits::none(self.len);
        // A part under way goes on at once; a task that may stop anywhere need not.
        let goes_on = task.under_way.is_some() && !matches!(task.stop, Stop::Any { .. });
        let start = if goes_on { Some(0) } else { task.pinned.start.map(|m| self.slot_from(m)) };
        let from = task.not_before.map_or(0, |m| self.slot_from(m)).max(start.unwrap_or(0));
        let to = task.not_after.map_or(self.len, |m| self.slot_to(m));
        allowed.insert_range(from, to);
        for ban in problem.bans.iter().filter(|b| b.tags.iter().any(|t| task.tags.contains(t))) {
            let (from, to) = self.touching(ban.span);
            allowed.remove_range(from, to);
        }
        if let Some(post) = task.attended_by {
            let mut manned = Bits::none(self.len);
            for span in crate::time::union(problem.posts[post].manned.clone()) {
                let (from, to) = self.inside(span);
                manned.insert_range(from, to);
            }
            allowed.intersect(&manned);
        }
        let lag = |after: &crate::model::After| (after.task, count(problem.grid.ceil_length(after.lag)));
        let mut apart: Vec<Apart> =
            task.different.iter().map(|d| Apart { need: d.need, other: d.other, other_needs: d.other_needs.clone() }).collect();
        for (other_id, other) in problem.tasks.pairs() {
            for d in other.different.iter().filter(|d| d.other == id) {
                let mine = if d.other_needs.is_empty() { (0..task.needs.len()).collect() } else { d.other_needs.clone() };
                apart.extend(mine.into_iter().map(|need| Apart { need, other: other_id, other_needs: vec![d.need] }));
            }
        }
        let holds = |test: &dyn Fn(&crate::model::Hold) -> bool| {
            problem.holds.iter().enumerate().filter(|(_, h)| test(h)).map(|(i, _)| i).collect()
        };
        GroundTask {
            needs: task
                .needs
                .iter()
                .enumerate()
                .map(|(n, c)| Need {
                    holders: problem.holders(*c).iter().copied().filter(|p| task.lets(n, *p)).collect(),
                    same: task.same.contains(&n),
                })
                .collect(),
            length: count(task.length),
            shape,
            pauses: task.pauses,
            locks: !matches!(task.stop, Stop::Any { .. }),
            emergency: task.emergency,
            allowed,
            after: task.after.iter().map(lag).collect(),
            before: problem.successors(id).iter().map(lag).collect(),
            tools: task.tools.iter().map(|(t, n)| (*t, u16::try_from(*n).unwrap_or(u16::MAX))).collect(),
            fills: holds(&|h| h.fill == Some(id)),
            empties: holds(&|h| h.empty == id),
            attended_by: task.attended_by,
            start,
            under_way: task.under_way.as_ref().map(|w| w.team.clone()),
            apart,
        }
    }

    fn tool(&self, id: ToolId) -> Vec<u16> {
        let tool = &self.problem.tools[id];
        let mut free = vec![u16::try_from(tool.number).unwrap_or(u16::MAX); self.len];
        for away in &tool.away {
            let (from, to) = self.touching(*away);
            free[from..to].fill(0);
        }
        free
    }
}

/// Rules to plan with: closed ones (added work never cures a finding) that are at least as strict as the set.
fn closed(set: &RuleSet) -> ClosedRules {
    set.steering().expect("whoever plans asks first whether the rules can steer")
}

fn slots(i: usize) -> Slots {
    Slots::new(i32::try_from(i).expect("a horizon has fewer than 2^31 slots"))
}

fn count(slots: Slots) -> usize {
    usize::try_from(slots.count()).unwrap_or(0)
}
