//! Finding the earliest or the latest time at which a spell fits.

use super::calls::Calls;
use super::ground::Shape;
use super::serial::Steer;
use super::state::{Chunk, Refused, State};
use super::team::{Costs, Room};
use crate::id::{PersonId, TaskId};

/// How many teams are tried at one time when the reserve refuses them.
const TEAMS_TRIED: usize = 4;

/// Which way time is searched.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Way {
    /// As early as can be.
    Forward,
    /// As late as can be.
    Backward,
}

/// How many team searches have been made; the measure of work by which searches are bounded.
#[derive(Clone, Debug, Default)]
pub(super) struct Effort {
    pub(super) attempts: u64,
    pub(super) room: Room,
    pub(super) calls: Calls,
}

/// A spell tried at one time: its slots, and the break calendar that pauses it.
pub(super) struct Pattern {
    pub(super) pieces: Vec<(usize, usize)>,
    pub(super) calendar: Option<usize>,
}

impl Pattern {
    /// Without a pause.
    pub(super) fn whole(slot: usize, length: usize) -> Self {
        Self { pieces: vec![(slot, slot + length)], calendar: None }
    }

    pub(super) fn end(&self) -> usize {
        self.pieces[self.pieces.len() - 1].1
    }
}

impl State<'_> {
    /// Places the whole of a task inside `[from, to)`, as early or as late as it goes. On failure the
    /// state is left half changed and must be thrown away.
    pub(super) fn place(&mut self, task: TaskId, from: usize, to: usize, way: Way, steer: &Steer, effort: &mut Effort) -> bool {
        let costs = &steer.costs;
        let to = to.min(self.end);
        let shape = self.ground.tasks[task].shape.clone();
        // First spells whose time leaves no choice are there already; what is left comes after them.
        let begun = self.placed[task].len();
        let (from, to) = match way {
            _ if begun > 0 => (from.max(self.end_of(task).unwrap_or(0)), to),
            Way::Forward => (self.after_holds(task, from), to),
            Way::Backward => (from, self.before_holds(task, to)),
        };
        let whole = match (&shape, way) {
            _ if self.ground.tasks[task].needs.is_empty() => begun > 0 || self.place_unmanned(task, from, to, way, effort),
            (Shape::Chunks(lengths), Way::Forward) => {
                let mut at = from;
                lengths[begun..].iter().all(|length| self.chunk_forward(task, *length, at, to, costs, effort).map(|end| at = end).is_some())
            }
            (Shape::Chunks(lengths), Way::Backward) => {
                let mut at = to;
                lengths[begun..]
                    .iter()
                    .rev()
                    .all(|length| self.chunk_backward(task, *length, from, at, costs, effort).map(|start| at = start).is_some())
            }
            (Shape::Any(min), Way::Forward) => self.any_forward(task, *min, from, to, steer, effort),
            (Shape::Any(min), Way::Backward) => self.any_backward(task, *min, from, to, costs, effort),
        };
        if whole {
            self.placed[task].sort_unstable();
            self.start_holds(task, way);
        }
        whole
    }

    pub(super) fn place_unmanned(&mut self, task: TaskId, from: usize, to: usize, way: Way, effort: &mut Effort) -> bool {
        let length = self.ground.tasks[task].length;
        let mut at = match way {
            Way::Forward => from,
            Way::Backward => match to.checked_sub(length) {
                Some(at) => at,
                None => return false,
            },
        };
        loop {
            if at < from || at + length > to {
                return false;
            }
            match self.blocked(task, at, at + length, way) {
                None => break,
                Some(slot) => match way {
                    Way::Forward => at = slot + 1,
                    Way::Backward => match slot.checked_sub(length) {
                        Some(earlier) => at = earlier,
                        None => return false,
                    },
                },
            }
        }
        self.commit(task, Chunk { pieces: vec![(at, at + length)], team: Vec::new() }, &mut effort.calls).is_ok()
    }

    /// A slot of `[from, to)` at which window, bans, tools or the attending watch stop the task: the last
    /// such slot going forward, the first going backward, so that the search can jump over it.
    pub(super) fn blocked(&self, task: TaskId, from: usize, to: usize, way: Way) -> Option<usize> {
        let ground = &self.ground.tasks[task];
        let stop = |s: usize| {
            !self.allowed[task].has(s)
                || ground.tools.iter().any(|(tool, number)| self.tools[*tool][s] < *number)
                || ground.attended_by.is_some_and(|post| u32::from(self.attended[post][s]) >= self.ground.problem.posts[post].attends)
        };
        match way {
            Way::Forward => (from..to).rev().find(|s| stop(*s)),
            Way::Backward => (from..to).find(|s| stop(*s)),
        }
    }

    fn chunk_forward(&mut self, task: TaskId, length: usize, from: usize, to: usize, costs: &Costs, effort: &mut Effort) -> Option<usize> {
        let mut at = from;
        while at + length <= to {
            if let Some(slot) = self.blocked(task, at, at + length, Way::Forward) {
                at = slot + 1;
                continue;
            }
            if self.could_begin(task, at, length)
                && let Some(chunk) = self.try_at(task, at, length, to, costs, effort)
            {
                return Some(chunk);
            }
            at += 1;
        }
        None
    }

    fn chunk_backward(&mut self, task: TaskId, length: usize, from: usize, to: usize, costs: &Costs, effort: &mut Effort) -> Option<usize> {
        let mut at = to.checked_sub(length)?;
        loop {
            if at < from {
                return None;
            }
            if let Some(slot) = self.blocked(task, at, at + length, Way::Backward) {
                at = slot.checked_sub(length)?;
                continue;
            }
            if self.could_begin(task, at, length) && self.try_at(task, at, length, to, costs, effort).is_some() {
                return Some(at);
            }
            at = at.checked_sub(1)?;
        }
    }

    /// Whether for every need somebody could start to work at `slot`; quick, and never wrongly no.
    pub(super) fn somebody(&self, task: TaskId, slot: usize) -> bool {
        let ground = &self.ground.tasks[task];
        ground.emergency || ground.needs.iter().all(|n| n.holders.iter().any(|p| self.people[*p].run[slot] > 0))
    }

    /// Whether for every need somebody could be at work from `slot` for `length` slots, or up to the next named break;
    /// quick, and never wrongly no.
    fn could_begin(&self, task: TaskId, slot: usize, length: usize) -> bool {
        let ground = &self.ground.tasks[task];
        let least = length.min(usize::from(self.ground.to_break[slot])).max(1);
        ground.emergency || ground.needs.iter().all(|n| n.holders.iter().any(|p| usize::from(self.people[*p].run[slot]) >= least))
    }

    /// Tries a spell of `length` at `slot`, without a pause, then paused by each break calendar; says where it ends.
    pub(super) fn try_at(
        &mut self,
        task: TaskId,
        slot: usize,
        length: usize,
        to: usize,
        costs: &Costs,
        effort: &mut Effort,
    ) -> Option<usize> {
        let whole = Pattern::whole(slot, length);
        if let Some(end) = self.try_one(task, &whole, to, costs, effort) {
            return Some(end);
        }
        self.paused(task, slot, length).iter().find_map(|pattern| self.try_one(task, pattern, to, costs, effort))
    }

    fn try_one(&mut self, task: TaskId, pattern: &Pattern, to: usize, costs: &Costs, effort: &mut Effort) -> Option<usize> {
        let (start, end) = (pattern.pieces[0].0, pattern.end());
        let free = end <= to && self.blocked(task, start, end, Way::Forward).is_none();
        (free && self.try_pattern(task, pattern, costs, effort)).then_some(end)
    }

    /// The ways in which break calendars cut a spell of `length` that starts at `slot`.
    pub(super) fn paused(&self, task: TaskId, slot: usize, length: usize) -> Vec<Pattern> {
        let ground = self.ground;
        let mut patterns: Vec<Pattern> = Vec::new();
        let any = matches!(ground.tasks[task].shape, Shape::Any(_));
        if !ground.tasks[task].pauses && !any {
            return patterns;
        }
        for (index, calendar) in ground.calendars.iter().enumerate() {
            let Some(pieces) = cut(calendar, slot, length, self.end, 90 / usize::try_from(ground.slot).unwrap_or(30)) else { continue };
            if pieces.len() > 1 && patterns.iter().all(|p| p.pieces != pieces) {
                patterns.push(Pattern { pieces, calendar: Some(index) });
            }
        }
        patterns
    }

    fn try_pattern(&mut self, task: TaskId, pattern: &Pattern, costs: &Costs, effort: &mut Effort) -> bool {
        let mut shut: Vec<PersonId> = Vec::new();
        for _ in 0..TEAMS_TRIED {
            effort.attempts += 1;
            let Some(team) = self.team(task, &pattern.pieces, costs, &shut, &mut effort.room) else { return false };
            if !self.pause_is_theirs(&team, pattern) {
                return false;
            }
            match self.commit(task, Chunk { pieces: pattern.pieces.clone(), team: team.clone() }, &mut effort.calls) {
                Ok(()) => return true,
                Err(Refused::Unbooked) => return false,
                Err(Refused::Reserve(slot)) => match self.blame(&team, slot) {
                    Some(person) => shut.push(person),
                    None => return false,
                },
            }
        }
        false
    }

    /// Whether the pauses of a pattern are exactly the named breaks of its team.
    pub(super) fn pause_is_theirs(&self, team: &[PersonId], pattern: &Pattern) -> bool {
        let ground = self.ground;
        let (first, last) = (pattern.pieces[0].0, pattern.pieces[pattern.pieces.len() - 1].1);
        let breaks = |s: usize| team.iter().any(|p| ground.people[*p].calendar.is_some_and(|c| ground.calendars[c].has(s)));
        let worked = |s: usize| pattern.pieces.iter().any(|(a, b)| (*a..*b).contains(&s));
        debug_assert!(pattern.calendar.is_some() || pattern.pieces.len() == 1, "only a calendar pauses a spell");
        (first..last).all(|s| breaks(s) != worked(s))
    }

    /// Who of a team was the reserve at `slot` that it no longer is: the one least wanted elsewhere who
    /// holds what the reserve needs there.
    fn blame(&self, team: &[PersonId], slot: usize) -> Option<PersonId> {
        let ground = self.ground;
        let kinds = &ground.reserve.kinds[usize::from(ground.reserve.at[slot]?)].0;
        team.iter().copied().filter(|p| self.people[*p].fixed.callable.has(slot)).max_by_key(|p| {
            (kinds.iter().filter(|k| ground.problem.people[*p].holds(**k)).count(), std::cmp::Reverse(crate::id::Id::index(*p)))
        })
    }

    fn any_forward(&mut self, task: TaskId, min: usize, from: usize, to: usize, steer: &Steer, effort: &mut Effort) -> bool {
        let mut left = self.left_of(task);
        let mut at = from;
        if at == 0
            && let Some(team) = self.ground.tasks[task].under_way.clone()
        {
            left -= self.go_on(task, left, &team, effort);
            at = self.end_of(task).unwrap_or(0);
        }
        while left > 0 {
            if at >= to {
                return false;
            }
            let least = min.min(left);
            if let Some(slot) = self.blocked(task, at, (at + least).min(to), Way::Forward) {
                at = slot + 1;
                continue;
            }
            let most = left.min(steer.longest.max(least));
            let most = if self.could_begin(task, at, least) {
                self.longest(task, at, least, most, to, Way::Forward, &steer.costs, effort)
            } else {
                0
            };
            if most > 0
                && let Some(end) = self.try_at(task, at, most, to, &steer.costs, effort)
            {
                left -= most;
                at = end;
                continue;
            }
            at += 1;
        }
        true
    }

    fn any_backward(&mut self, task: TaskId, min: usize, from: usize, to: usize, costs: &Costs, effort: &mut Effort) -> bool {
        let mut left = self.left_of(task);
        let mut before = to;
        let mut first_tried = true;
        while left > 0 {
            if before <= from {
                return false;
            }
            // The last spell in time may be short, and only that one; what stays for earlier spells must
            // be nothing or a whole spell.
            let least = if first_tried { 1 } else { min.min(left) };
            let mut placed = None;
            let longest_end = before;
            for length in (least..=left).rev() {
                let rest = left - length;
                if rest > 0 && rest < min {
                    continue;
                }
                let Some(at) = longest_end.checked_sub(length).filter(|at| *at >= from) else { continue };
                if self.blocked(task, at, longest_end, Way::Backward).is_some() || !self.somebody(task, at) {
                    continue;
                }
                let pattern = Pattern { pieces: vec![(at, longest_end)], calendar: None };
                if self.try_pattern(task, &pattern, costs, effort) {
                    placed = Some((at, length));
                    break;
                }
            }
            if let Some((at, length)) = placed {
                left -= length;
                before = at;
                first_tried = false;
            } else {
                before -= 1;
            }
        }
        true
    }

    /// Slots of a task not placed yet.
    pub(super) fn left_of(&self, task: TaskId) -> usize {
        let placed: usize = self.placed[task].iter().flat_map(|c| &c.pieces).map(|(a, b)| b - a).sum();
        self.ground.tasks[task].length - placed
    }

    /// The most slots, between `least` and `most`, of one spell at `at` for which a team exists (fewer
    /// slots never lose a team); 0 where there is none.
    #[expect(clippy::too_many_arguments, reason = "one step of placing a task, called from one place")]
    pub(super) fn longest(
        &mut self,
        task: TaskId,
        at: usize,
        least: usize,
        most: usize,
        to: usize,
        way: Way,
        costs: &Costs,
        effort: &mut Effort,
    ) -> usize {
        let mut fits = |length: usize| {
            let mut can = |pattern: &Pattern| {
                let end = pattern.end();
                effort.attempts += 1;
                end <= to && self.blocked(task, at, end, way).is_none() && {
                    let team = self.team(task, &pattern.pieces, costs, &[], &mut effort.room);
                    team.is_some_and(|t| self.pause_is_theirs(&t, pattern))
                }
            };
            can(&Pattern::whole(at, length)) || self.paused(task, at, length).iter().any(can)
        };
        if fits(most) {
            return most;
        }
        if least == most || !fits(least) {
            return 0;
        }
        let (mut low, mut high) = (least, most - 1);
        while low < high {
            let middle = (low + high).div_ceil(2);
            if fits(middle) { low = middle } else { high = middle - 1 }
        }
        low
    }

    /// The first slot from which the tools that a filling task holds stay free for good.
    pub(super) fn after_holds(&self, task: TaskId, from: usize) -> usize {
        let mut from = from;
        for index in &self.ground.tasks[task].fills {
            let hold = &self.ground.problem.holds[*index];
            let number = u16::try_from(hold.number).unwrap_or(u16::MAX);
            let free = &self.tools[hold.tool][..self.end];
            from = from.max(free.iter().rposition(|f| *f < number).map_or(0, |s| s + 1));
        }
        from
    }

    /// The last slot boundary up to which the tools that an emptying task gives back are free from the start.
    fn before_holds(&self, task: TaskId, to: usize) -> usize {
        let mut to = to;
        for index in &self.ground.tasks[task].empties {
            let hold = &self.ground.problem.holds[*index];
            let number = u16::try_from(hold.number).unwrap_or(u16::MAX);
            let free = &self.tools[hold.tool][..self.end];
            to = to.min(free.iter().position(|f| *f < number).unwrap_or(self.end));
        }
        to
    }

    /// Books what the task holds, open-ended until its other end is placed, then exact.
    pub(super) fn start_holds(&mut self, task: TaskId, way: Way) {
        let (Some(start), Some(end)) = (self.start_of(task), self.end_of(task)) else { return };
        let ground = self.ground;
        let (begin, finish) = match way {
            Way::Forward => (&ground.tasks[task].fills, &ground.tasks[task].empties),
            Way::Backward => (&ground.tasks[task].empties, &ground.tasks[task].fills),
        };
        // Going forward, a task with a start of its own has its holds since then.
        let open = way == Way::Backward || ground.tasks[task].start.is_none();
        for index in begin.iter().filter(|_| open) {
            let (from, to) = if way == Way::Forward { (start, self.end) } else { (0, end) };
            self.hold(*index, from, to);
        }
        for index in finish {
            let (from, to) = if way == Way::Forward { (end, self.end) } else { (0, start) };
            self.release(*index, from, to);
        }
    }
}

/// Cuts `length` slots of work that start at `slot` around the slots of a break calendar. `None` where the
/// start is a break, the end is passed, or the pauses are longer than `most_paused` in all.
fn cut(calendar: &crate::bits::Bits, slot: usize, length: usize, end: usize, most_paused: usize) -> Option<Vec<(usize, usize)>> {
    if calendar.has(slot) {
        return None;
    }
    let mut pieces = Vec::new();
    let (mut at, mut left, mut paused) = (slot, length, 0);
    while left > 0 {
        let gap = calendar.next(at).unwrap_or(end);
        let work = left.min(gap.saturating_sub(at));
        pieces.push((at, at + work));
        left -= work;
        at += work;
        if left > 0 {
            let goes_on = calendar.next_gap(at)?;
            paused += goes_on - at;
            at = goes_on;
        }
        // At the end with work left, the loop would go on for ever.
        if at > end || (left > 0 && at == end) || paused > most_paused {
            return None;
        }
    }
    Some(pieces)
}
