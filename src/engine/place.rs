//! Finding the earliest or the latest time at which a spell fits.

use super::calls::Calls;
use super::ground::Shape;
use super::serial::Steer;
use super::spell::{Offer, Wanted};
use super::state::State;
use super::team::{Costs, Room};
use crate::id::TaskId;

/// Which way time is searched.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Way {
    /// As early as can be.
    Forward,
    /// As late as can be.
    Backward,
}

/// How many team searches have been made, the measure of work; and room for them.
#[derive(Clone, Debug, Default)]
pub(super) struct Effort {
    pub(super) attempts: u64,
    pub(super) room: Room,
    pub(super) calls: Calls,
    pub(super) offer: Offer,
}

impl State<'_> {
    /// Places the whole of a task inside `[from, to)`, as early or as late as it goes. On failure the
    /// state is left half changed and must be thrown away.
    pub(super) fn place(&mut self, task: TaskId, from: usize, to: usize, way: Way, steer: &Steer, effort: &mut Effort) -> bool {
        let to = to.min(self.end);
        // First spells whose time leaves no choice are there already; what is left comes after them.
        let begun = self.placed[task].len();
        let mut from = from;
        let placed = match way {
            _ if begun > 0 => self.lay(task, from.max(self.end_of(task).unwrap_or(0)), to, way, steer, effort),
            Way::Backward => self.lay(task, from, self.before_holds(task, to), way, steer, effort),
            Way::Forward => loop {
                let (there, until) = self.room_to_hold(task, from, to);
                if until == to {
                    break self.lay(task, there, to, way, steer, effort);
                }
                // What does not fit before a tool that it holds goes away may fit when that is back.
                let before = self.clone();
                if self.lay(task, there, until, way, steer, effort) {
                    break true;
                }
                *self = before;
                from = until;
            },
        };
        if placed {
            self.placed[task].sort_unstable();
        }
        placed && self.start_holds(task, way)
    }

    /// Places the spells of a task that are not placed yet; holds not asked.
    fn lay(&mut self, task: TaskId, from: usize, to: usize, way: Way, steer: &Steer, effort: &mut Effort) -> bool {
        let costs = &steer.costs;
        let shape = &self.ground.tasks[task].shape;
        let begun = self.placed[task].len();
        match (shape, way) {
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
        }
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
        self.commit(task, &[(at, at + length)], &[], &mut effort.calls).is_ok()
    }

    /// A slot of `[from, to)` at which window, bans, tools or the attending watch stop the task: the last
    /// such slot going forward, the first going backward, so that the search can jump over it.
    pub(super) fn blocked(&self, task: TaskId, from: usize, to: usize, way: Way) -> Option<usize> {
        if from >= to {
            return None;
        }
        let ground = &self.ground.tasks[task];
        let found = |free: &[u16], wanted: u16| match way {
            Way::Forward => free.iter().rposition(|f| *f < wanted),
            Way::Backward => free.iter().position(|f| *f < wanted),
        };
        let further = |one: Option<usize>, other: Option<usize>| match (one, other, way) {
            (Some(one), Some(other), Way::Forward) => Some(one.max(other)),
            (Some(one), Some(other), Way::Backward) => Some(one.min(other)),
            (one, other, _) => one.or(other),
        };
        let mut stop = match way {
            Way::Forward => self.allowed[task].last_gap(from, to),
            Way::Backward => self.allowed[task].first_gap(from, to),
        };
        for (tool, number) in &ground.tools {
            stop = further(stop, found(&self.tools[*tool][from..to], *number).map(|at| from + at));
        }
        if let Some(post) = ground.attended_by {
            stop = further(stop, found(&self.attention[post][from..to], 1).map(|at| from + at));
        }
        stop
    }

    fn chunk_forward(&mut self, task: TaskId, length: usize, from: usize, to: usize, costs: &Costs, effort: &mut Effort) -> Option<usize> {
        let mut at = from;
        while at + length <= to {
            if let Some(slot) = self.blocked(task, at, at + length, Way::Forward) {
                at = slot + 1;
                continue;
            }
            if self.could_begin(task, at, length)
                && let Some(chunk) = self.try_at(Wanted { task, at, length, to, costs }, effort)
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
            if self.could_begin(task, at, length) && self.try_at(Wanted { task, at, length, to, costs }, effort).is_some() {
                return Some(at);
            }
            at = at.checked_sub(1)?;
        }
    }

    /// Whether for every need somebody could be at work from `slot` for `length` slots, or up to the next named break;
    /// quick, and never wrongly no.
    fn could_begin(&self, task: TaskId, slot: usize, length: usize) -> bool {
        let ground = &self.ground.tasks[task];
        let least = length.min(usize::from(self.ground.to_break[slot])).max(1);
        ground.emergency || ground.needs.iter().all(|n| n.holders.iter().any(|p| usize::from(self.people[*p].run[slot]) >= least))
    }

    fn any_forward(&mut self, task: TaskId, min: usize, from: usize, to: usize, steer: &Steer, effort: &mut Effort) -> bool {
        let mut left = self.left_of(task);
        let mut at = from;
        if at == 0
            && let Some(team) = self.ground.tasks[task].under_way.clone()
        {
            left -= self.go_on(task, left, to, &team, effort);
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
            let wanted = Wanted { task, at, length: left.min(steer.longest.max(least)), to, costs: &steer.costs };
            let length = if self.could_begin(task, at, least) { self.longest(wanted, least, effort) } else { 0 };
            if length > 0
                && let Some(end) = self.try_longest(Wanted { length, ..wanted }, effort)
            {
                left -= length;
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
                if self.blocked(task, at, longest_end, Way::Backward).is_some() || self.reach(task, at) < length {
                    continue;
                }
                if self.try_pattern(task, &[(at, longest_end)], costs, false, effort) {
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

    /// What of `[from, to)` is left for a task that fills what it holds: from where on its tools stay free for as long as they
    /// are there, and are there for long enough to be filled and emptied; up to when they are there.
    fn room_to_hold(&self, task: TaskId, from: usize, to: usize) -> (usize, usize) {
        let ground = self.ground;
        let (mut from, mut to) = (self.after_holds(task, from), to);
        for index in &ground.tasks[task].fills {
            let ((tool, number), empty) = (ground.held(*index), ground.problem.holds[*index].empty);
            let there = &ground.tools[tool][..self.end];
            let wait = ground.tasks[task].before.iter().find(|(next, _)| *next == empty).map_or(0, |(_, wait)| *wait);
            let emptying = if empty == task { 0 } else { ground.tasks[empty].length };
            let least = ground.tasks[task].length + wait + emptying;
            let emptied = self.end_of(empty).unwrap_or(0);
            while from < to {
                let gone = self.there_until(*index, from);
                if gone == self.end {
                    break;
                }
                if gone >= emptied.max(from + least) {
                    to = to.min(gone);
                    break;
                }
                from = there[gone..].iter().position(|there| *there >= number).map_or(self.end, |back| gone + back);
            }
        }
        (from, to)
    }

    /// The first slot from which the tools that a filling task holds stay free for as long as they are there.
    pub(super) fn after_holds(&self, task: TaskId, from: usize) -> usize {
        let mut from = from;
        for index in &self.ground.tasks[task].fills {
            let (tool, number) = self.ground.held(*index);
            let mut both = self.tools[tool][..self.end].iter().zip(&self.ground.tools[tool][..self.end]);
            let taken = both.rposition(|(free, there)| *free < number && *there >= number);
            from = from.max(taken.map_or(0, |slot| slot + 1));
        }
        from
    }

    /// The first slot from `from` on in which a tool that is held is not there; the end of the plan where it is there up to then.
    pub(super) fn there_until(&self, hold: usize, from: usize) -> usize {
        let (tool, number) = self.ground.held(hold);
        let there = &self.ground.tools[tool][..self.end];
        there[from.min(self.end)..].iter().position(|there| *there < number).map_or(self.end, |gone| from + gone)
    }

    /// The last slot boundary up to which the tools that an emptying task gives back are free from the start.
    fn before_holds(&self, task: TaskId, to: usize) -> usize {
        let mut to = to;
        for index in &self.ground.tasks[task].empties {
            let (tool, number) = self.ground.held(*index);
            let mut both = self.tools[tool][..self.end].iter().zip(&self.ground.tools[tool][..self.end]);
            to = to.min(both.position(|(free, there)| *free < number && *there >= number).unwrap_or(self.end));
        }
        to
    }

    /// Books what the task holds, open-ended until its other end is placed, then exact. Whether it is free.
    pub(super) fn start_holds(&mut self, task: TaskId, way: Way) -> bool {
        let (Some(start), Some(end)) = (self.start_of(task), self.end_of(task)) else { return true };
        let ground = self.ground;
        let (begin, finish) = match way {
            Way::Forward => (&ground.tasks[task].fills, &ground.tasks[task].empties),
            Way::Backward => (&ground.tasks[task].empties, &ground.tasks[task].fills),
        };
        // Going forward, a task with a start of its own has its holds since then.
        let open = way == Way::Backward || ground.tasks[task].start.is_none();
        for index in begin.iter().filter(|_| open) {
            let (from, to) = if way == Way::Forward { (start, self.end) } else { (0, end) };
            if !self.hold(*index, from, to) {
                return false;
            }
        }
        for index in finish {
            let (from, to) = if way == Way::Forward { (end, self.end) } else { (0, start) };
            self.release(*index, from, to);
        }
        true
    }
}
