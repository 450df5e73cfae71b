//! A partial plan: who is taken when, with everything needed to say at once whether a piece of work fits.

use std::sync::Arc;

use super::calls::Calls;
use super::context::Context;
use super::ground::{Ground, NO_STRETCH};
use super::reserve::AtBest;
use crate::bits::Bits;
use crate::id::{IdVec, PersonId, TaskId};
use crate::rest::{Line, Mark};
use crate::time::{Minutes, Moment, Span};

/// Work of one team in one spell: pieces of slots, with pauses between them.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Chunk {
    /// Slot ranges at work, in time order; never empty.
    pub(super) pieces: Vec<(usize, usize)>,
    /// One person for each need, in order.
    pub(super) team: Vec<PersonId>,
}

impl Chunk {
    pub(super) fn start(&self) -> usize {
        self.pieces[0].0
    }
    pub(super) fn end(&self) -> usize {
        self.pieces[self.pieces.len() - 1].1
    }
    /// Slots between the first and the last that are not at work.
    pub(super) fn paused(&self) -> usize {
        self.pieces.windows(2).map(|pair| pair[1].0 - pair[0].1).sum()
    }
}

/// What does not change for a person while tasks are placed.
#[derive(Debug)]
pub(super) struct Fixed {
    /// Slots in which a call could start as far as watches, unleavable duties and absence go.
    pub(super) callable: Bits,
    /// Own turns and unleavable duties, by start: what stays after a call.
    pub(super) tail: Vec<Span>,
    /// Turns and duty attendance.
    pub(super) pieces: Vec<Span>,
    /// Whether all that is legal by itself.
    pub(super) legal: bool,
    /// A number that stands for the turns and duties.
    pub(super) print: u64,
}

/// A person in a partial plan.
#[derive(Clone, Debug)]
pub(super) struct PersonState {
    pub(super) fixed: Arc<Fixed>,
    /// How many slots from here on, without a break, can be worked in one working stretch.
    pub(super) run: Vec<u16>,
    /// Slots taken by a turn, a duty, a spell or its pause, or by absence.
    pub(super) busy: Bits,
    /// Slots in spells that cannot be left.
    pub(super) locked: Bits,
    pub(super) line: Line,
    /// Where rest allows work in all hours that are open, so that all but emergency work fits: slots in which the
    /// person could be called even then, as words of 64.
    pub(super) ample: Option<Arc<[u64]>>,
    /// Slots in which the person can be called, as words of 64.
    pub(super) on_call: Vec<u64>,
    /// Per working stretch, from the first minute of work or time on hand to the last.
    pub(super) hulls: Vec<Option<Span>>,
    /// Job minutes per ship's day.
    pub(super) worked: Vec<i32>,
    /// Job minutes outside ordinary hours, per ship's day.
    pub(super) overtime: Vec<i32>,
    /// Minutes per day that could be on hand: ordinary, free, in the hours that count.
    pub(super) spare: Vec<i32>,
}

/// A partial plan.
#[derive(Clone, Debug)]
pub(super) struct State<'g> {
    pub(super) ground: &'g Ground<'g>,
    /// Slots up to the end of the plan.
    pub(super) end: usize,
    pub(super) context: Arc<Context>,
    /// Slots in which each task may run, bans by movable duties taken out.
    pub(super) allowed: Arc<IdVec<TaskId, Bits>>,
    pub(super) people: IdVec<PersonId, PersonState>,
    /// Tools left per slot.
    pub(super) tools: IdVec<crate::id::ToolId, Vec<u16>>,
    /// How many more tasks without people each post can attend, per slot.
    pub(super) attention: IdVec<crate::id::PostId, Vec<u16>>,
    /// Spells placed so far; empty for a task not placed.
    pub(super) placed: IdVec<TaskId, Vec<Chunk>>,
    /// What the reserve comes to with no task placed.
    pub(super) at_best: Arc<AtBest>,
    /// Per day, minutes that could stay unbooked, caps respected.
    pub(super) unbooked: Vec<i32>,
}

/// Somebody in a team whose spell was entered.
#[derive(Debug)]
pub(super) struct Member {
    pub(super) person: PersonId,
    /// From the first minute at work or on hand to the last, with the spell.
    pub(super) hull: Span,
    /// Whether the person is longer at work or on hand than without it.
    pub(super) longer: bool,
    /// How long before a call the person's work can matter to it, with the spell.
    pub(super) reach: Minutes,
    /// The timeline before it was entered.
    pub(super) mark: Mark,
    /// What was taken from a person at an emergency, to be given back: when rest was ample.
    pub(super) ample: Option<Arc<[u64]>>,
}

/// Why a piece of work does not fit, as far as it matters to what is tried next.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Refused {
    /// Nobody would be callable at this slot.
    Reserve(usize),
    /// Too few hours of a day would stay unbooked.
    Unbooked,
}

impl State<'_> {
    /// First start of a placed task.
    pub(super) fn start_of(&self, task: TaskId) -> Option<usize> {
        self.placed[task].iter().map(Chunk::start).min()
    }

    /// Last end of a placed task.
    pub(super) fn end_of(&self, task: TaskId) -> Option<usize> {
        self.placed[task].iter().map(Chunk::end).max()
    }

    /// Whether a person can work on every piece, resting enough; reserve not asked.
    pub(super) fn can_work(&self, task: TaskId, person: PersonId, pieces: &[(usize, usize)]) -> bool {
        let ground = self.ground;
        let (state, fixed) = (&self.people[person], &ground.people[person]);
        let (first, last) = (pieces[0].0, pieces[pieces.len() - 1].1);
        if ground.tasks[task].emergency {
            let breaks = fixed.calendar.map(|c| &ground.calendars[c]);
            let over_break = breaks.is_some_and(|breaks| pieces.iter().any(|(a, b)| breaks.meets_range(*a, *b)));
            if over_break || !(first..last).all(|s| !state.busy.has(s)) || !self.evening_left(person, pieces) {
                return false;
            }
        } else {
            if pieces.iter().any(|(a, b)| usize::from(state.run[*a]) < b - a) {
                return false;
            }
            if pieces.len() > 1 && (fixed.stretch[first] != fixed.stretch[last - 1] || state.busy.meets_range(first, last)) {
                return false;
            }
        }
        if let Some(cap) = fixed.cap
            && !self.under_cap(person, pieces, cap)
        {
            return false;
        }
        (state.ample.is_some() && !ground.tasks[task].emergency) || state.line.fits_on_hand(self.hull_with(person, first, last))
    }

    fn under_cap(&self, person: PersonId, pieces: &[(usize, usize)], cap: i32) -> bool {
        let ground = self.ground;
        let worked = &self.people[person].worked;
        let (first, last) = (pieces[0].0, pieces[pieces.len() - 1].1);
        ground.days_of(first, last).all(|day| {
            let more = pieces.iter().map(|(a, b)| ground.on_day(day, *a, *b).len()).sum();
            worked[day] + ground.minutes(more) <= cap
        })
    }

    /// Whether overtime on the days of `pieces` keeps to the number of evenings (used for emergency work).
    fn evening_left(&self, person: PersonId, pieces: &[(usize, usize)]) -> bool {
        let Some(most) = self.ground.problem.people[person].evenings else { return true };
        let ground = self.ground;
        let outside = |s: &usize| !ground.people[person].ordinary.has(*s);
        let mut days: Vec<u32> = pieces.iter().flat_map(|(a, b)| (*a..*b).filter(outside)).map(|s| ground.day[s]).collect();
        days.dedup();
        let open = &self.context.overtime[person];
        let used = &self.people[person].overtime;
        let free = |day: usize| day == 0 && ground.people[person].evening_before;
        let counted = (0..ground.n_days).filter(|d| !free(*d) && (open[*d] > 0 || used[*d] > 0)).count();
        let more = days.iter().map(|d| *d as usize).filter(|d| !free(*d) && open[*d] == 0 && used[*d] == 0).count();
        more == 0 || counted + more <= most as usize
    }

    /// The working stretches that work in slots `[first, last)` lies in: one, but for emergency work, which may lie
    /// outside, or reach from one into another.
    fn stretches(&self, person: PersonId, first: usize, last: usize) -> impl Iterator<Item = usize> + use<> {
        let ground = &self.ground.people[person];
        let one = ground.stretch[first];
        let (one, several) = if one != NO_STRETCH && one == ground.stretch[last - 1] {
            (Some(one as usize), Vec::new())
        } else {
            let span = self.ground.span(first, last);
            let stretches = self.ground.problem.people[person].stretches.iter().enumerate();
            (None, stretches.filter(|(_, s)| s.hours().iter().any(|h| h.overlaps(span))).map(|(i, _)| i).collect())
        };
        one.into_iter().chain(several)
    }

    /// From the first minute at work or on hand to the last, in the stretches that work in slots `[first, last)` lies
    /// in, once it is done; the work alone outside stretches.
    pub(super) fn hull_with(&self, person: PersonId, first: usize, last: usize) -> Span {
        let span = self.ground.span(first, last);
        self.stretches(person, first, last).fold(span, |hull, stretch| {
            let hull = self.people[person].hulls[stretch].map_or(hull, |h| h.hull(hull));
            self.with_overtime(person, stretch, span, hull)
        })
    }

    /// What `hull` becomes by work in `span`: overtime in use joins the stretch, and with it whatever duty or watch lies
    /// there.
    pub(super) fn with_overtime(&self, person: PersonId, stretch: usize, span: Span, hull: Span) -> Span {
        let overtime = self.ground.problem.people[person].stretches[stretch].overtime.iter().filter(|o| o.overlaps(span));
        let fixed = &self.people[person].fixed.pieces;
        overtime.flat_map(|o| fixed.iter().filter_map(|piece| piece.intersection(*o))).fold(hull, Span::hull)
    }

    /// Keeps a hull that [`State::hull_with`] gave.
    pub(super) fn keep_hull(&mut self, person: PersonId, first: usize, last: usize, hull: Span) {
        for stretch in self.stretches(person, first, last) {
            self.people[person].hulls[stretch] = Some(hull);
        }
    }

    /// Places one spell if reserve and unbooked hours allow it. Team, tools and order have been checked.
    pub(super) fn commit(&mut self, task: TaskId, pieces: &[(usize, usize)], team: &[PersonId], calls: &mut Calls) -> Result<(), Refused> {
        let (first, last) = (pieces[0].0, pieces[pieces.len() - 1].1);
        if !self.unbooked_allows(pieces, team) {
            return Err(Refused::Unbooked);
        }
        let members = self.insert(task, team, first, last);
        if let Err(slot) = self.reserve_holds(&members, first, last, calls) {
            let row = &self.ground.tasks[task];
            for member in members {
                let state = &mut self.people[member.person];
                state.line.undo(member.mark);
                if row.emergency {
                    state.ample = member.ample;
                }
                if row.locks {
                    // A person has one spell at a time, so nothing else locked these slots.
                    state.locked.remove_range(first, last);
                }
            }
            return Err(Refused::Reserve(slot));
        }
        self.book(task, Chunk { pieces: pieces.to_vec(), team: team.to_vec() }, &members);
        Ok(())
    }

    /// Places one spell that is known to be allowed.
    pub(super) fn put(&mut self, task: TaskId, chunk: Chunk, calls: &mut Calls) {
        let (first, last) = (chunk.start(), chunk.end());
        let members = self.insert(task, &chunk.team, first, last);
        self.find_calls_after(&members, first, last, calls);
        self.book(task, chunk, &members);
    }

    /// Enters a spell in slots `[first, last)`, which its team has been found able to work, on the timelines of its team.
    /// Work at an emergency is not among what their rest was found ample for.
    fn insert(&mut self, task: TaskId, team: &[PersonId], first: usize, last: usize) -> Vec<Member> {
        let row = &self.ground.tasks[task];
        let enter = |person: &PersonId| {
            let state = &mut self.people[*person];
            if row.locks {
                state.locked.insert_range(first, last);
            }
            let ample = if row.emergency { state.ample.take() } else { None };
            Member { ample, ..self.lengthen(*person, self.hull_with(*person, first, last)) }
        };
        team.iter().map(enter).collect()
    }

    /// Enters time at work or on hand, which has been found to fit, on the timeline of a person.
    pub(super) fn lengthen(&mut self, person: PersonId, hull: Span) -> Member {
        let line = &mut self.people[person].line;
        let mark = line.mark();
        let longer = line.insert_fitting_on_hand(hull);
        Member { person, hull, longer, reach: self.call_reach(person), mark, ample: None }
    }

    /// Takes people, tools and attention for a spell that was entered. It is not taken back any more.
    fn book(&mut self, task: TaskId, chunk: Chunk, members: &[Member]) {
        let ground = self.ground;
        let (first, last) = (chunk.start(), chunk.end());
        for member in members {
            self.take(member, &chunk);
        }
        for (tool, number) in &ground.tasks[task].tools {
            self.tools[*tool][first..last].iter_mut().for_each(|free| *free -= number);
        }
        if let Some(post) = ground.tasks[task].attended_by {
            self.attention[post][first..last].iter_mut().for_each(|free| *free -= 1);
        }
        self.placed[task].push(chunk);
    }

    fn take(&mut self, member: &Member, chunk: &Chunk) {
        let ground = self.ground;
        let person = member.person;
        let (first, last) = (chunk.start(), chunk.end());
        self.keep_hull(person, first, last, member.hull);
        let days = ground.days_of(first, last);
        for day in days.clone() {
            self.unbooked[day] -= self.left(person, day);
        }
        let fixed = &ground.people[person];
        let state = &mut self.people[person];
        state.line.settle();
        state.busy.insert_range(first, last);
        close_run(&mut state.run, first, last);
        for day in days.clone() {
            for piece in chunk.pieces.iter().map(|(a, b)| ground.on_day(day, *a, *b)) {
                state.worked[day] += ground.minutes(piece.len());
                state.overtime[day] += fixed.overtime_in(piece.start, piece.end);
            }
            let taken = ground.on_day(day, first, last);
            state.spare[day] -= ground.minutes(fixed.counted.count_range(taken.start, taken.end));
        }
        for day in days {
            self.unbooked[day] += self.left(person, day);
        }
    }

    fn left(&self, person: PersonId, day: usize) -> i32 {
        let state = &self.people[person];
        self.ground.people[person].cap.map_or(state.spare[day], |cap| state.spare[day].min(cap - state.worked[day]).max(0))
    }

    /// Whether enough hours could still stay unbooked on the days a spell touches.
    fn unbooked_allows(&self, pieces: &[(usize, usize)], team: &[PersonId]) -> bool {
        let ground = self.ground;
        let (first, last) = (pieces[0].0, pieces[pieces.len() - 1].1);
        ground.days_of(first, last).all(|day| {
            let needed = ground.reserve.unbooked[day];
            if needed == 0 {
                return true;
            }
            let work = ground.minutes(pieces.iter().map(|(a, b)| ground.on_day(day, *a, *b).len()).sum());
            let taken = ground.on_day(day, first, last);
            let mut total = self.unbooked[day];
            for person in team {
                let fixed = &ground.people[*person];
                let state = &self.people[*person];
                let spare = state.spare[day] - ground.minutes(fixed.counted.count_range(taken.start, taken.end));
                let after = fixed.cap.map_or(spare, |cap| spare.min(cap - state.worked[day] - work).max(0));
                total += after - self.left(*person, day);
            }
            // What base shortage there is cannot be mended; it must not grow.
            total >= needed.min(self.at_best.unbooked[day])
        })
    }

    /// Marks `[from, to)` as held by nobody but a hold on `tool`, but for slots in which the tool cannot be had at all: an
    /// open-ended hold is over before these. Whether the tool was free; if not, nothing is marked.
    #[must_use]
    pub(super) fn hold(&mut self, hold: usize, from: usize, to: usize) -> bool {
        let (tool, number) = self.ground.held(hold);
        let mut both = self.tools[tool][from..to].iter().zip(&self.ground.tools[tool][from..to]);
        let free = both.all(|(free, there)| *free >= number || *there < number);
        if free {
            self.held(hold, from, to, |free, number| *free -= number);
        }
        free
    }

    /// Gives `[from, to)` of a hold back.
    pub(super) fn release(&mut self, hold: usize, from: usize, to: usize) {
        self.held(hold, from, to, |free, number| *free += number);
    }

    fn held(&mut self, hold: usize, from: usize, to: usize, change: fn(&mut u16, u16)) {
        let ground = self.ground;
        let (tool, number) = ground.held(hold);
        let there = &ground.tools[tool][from..to];
        for (free, _) in self.tools[tool][from..to].iter_mut().zip(there).filter(|(_, there)| **there >= number) {
            change(free, number);
        }
    }

    /// The start of slot `i` of the ground.
    pub(super) fn moment(&self, i: usize) -> Moment {
        self.ground.moment(i)
    }
}

/// Takes `[from, to)` out of a table of run lengths.
pub(super) fn close_run(run: &mut [u16], from: usize, to: usize) {
    run[from..to].fill(0);
    for s in (0..from).rev() {
        let left = u16::try_from(from - s).unwrap_or(u16::MAX);
        if run[s] <= left {
            break;
        }
        run[s] = left;
    }
}
