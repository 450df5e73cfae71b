//! Spells whose time and team are known: what has to start at a slot, what is under way, what people were told, and
//! what comes out as it did before.

use super::ground::Shape;
use super::place::{Effort, Way};
use super::serial::Steer;
use super::spell::Wanted;
use super::state::{Chunk, State};
use crate::id::{PersonId, TaskId};

impl State<'_> {
    /// Places the first spell of a task that has to start at a slot: what is under way with its team, anything else
    /// with the cheapest. On failure the state must be thrown away.
    pub(super) fn begin_at(&mut self, task: TaskId, way: Way, steer: &Steer, effort: &mut Effort) -> bool {
        let Some(at) = self.ground.tasks[task].start else { return true };
        // Others that leave no choice of time may come before it or after it, and what goes on at once may be wanted later.
        let (from, to) = self.window(task, way);
        let decided = self.ground.problem.tasks[task].pinned.start;
        if at < from || decided.is_some_and(|start| self.ground.slot_from(start) != at) {
            return false;
        }
        let (length, min) = match &self.ground.tasks[task].shape {
            Shape::Chunks(lengths) => (lengths[0], lengths[0]),
            Shape::Any(min) => (self.ground.tasks[task].length, (*min).min(self.ground.tasks[task].length)),
        };
        let placed = if self.ground.tasks[task].needs.is_empty() {
            self.place_unmanned(task, at, at + length, way, effort)
        } else if let Some(team) = self.ground.tasks[task].under_way.clone().filter(|_| length == min) {
            self.go_on(task, length, to, &team, effort) == length
        } else {
            let free = self.blocked(task, at, (at + min).min(self.end), way).is_none() && self.reach(task, at) > 0;
            let wanted = Wanted { task, at, length: length.min(steer.longest.max(min)), to, costs: &steer.costs };
            let length = if free { self.longest(wanted, min, effort) } else { 0 };
            length > 0 && self.try_longest(Wanted { length, ..wanted }, effort).is_some()
        };
        let mut holds = self.ground.tasks[task].fills.iter().filter(|_| way == Way::Forward);
        placed && self.end_of(task).is_none_or(|end| end <= to) && holds.all(|index| self.hold(*index, at, self.end))
    }

    /// Places one more spell of a task exactly so, if that is legal after what is placed and inside `[from, to)`.
    pub(super) fn place_exactly(&mut self, task: TaskId, chunk: &Chunk, from: usize, to: usize, effort: &mut Effort) -> bool {
        let (ground, row) = (self.ground, &self.ground.tasks[task]);
        let placed = self.placed[task].len();
        let (start, end) = (chunk.start(), chunk.end());
        let length: usize = chunk.pieces.iter().map(|(a, b)| b - a).sum();
        let left = self.left_of(task);
        let (fits, may_pause) = match &row.shape {
            _ if row.needs.is_empty() => (length == left, false),
            Shape::Chunks(lengths) => (lengths.get(placed) == Some(&length), row.pauses),
            Shape::Any(min) => {
                let goes_on = start == 0 && row.under_way.as_ref() == Some(&chunk.team);
                ((length >= *min || goes_on || length == left) && length <= left, true)
            }
        };
        let after = self.end_of(task).unwrap_or(if row.start.is_none() { self.after_holds(task, from) } else { from });
        let filled = self.start_of(task).unwrap_or(start);
        let to = row.fills.iter().map(|hold| self.there_until(*hold, filled)).fold(to, usize::min);
        // What empties may have a start of its own.
        let emptied = row.fills.iter().filter_map(|hold| self.end_of(ground.problem.holds[*hold].empty)).max().unwrap_or(0);
        let in_place = start >= from.max(after) && end.max(emptied) <= to.min(self.end);
        let one = chunk.pieces.len() == 1;
        if !fits || !in_place || !(one || may_pause) || self.blocked(task, start, end, Way::Forward).is_some() {
            return false;
        }
        if row.needs.is_empty() {
            return self.commit(task, &chunk.pieces, &chunk.team, &mut effort.calls).is_ok();
        }
        let able = self.may_do(task, &chunk.team) && chunk.team.iter().all(|person| self.can_work(task, *person, &chunk.pieces));
        let has_breaks = chunk.team.iter().any(|p| ground.people[*p].calendar.is_some());
        able && chunk.paused() <= ground.most_paused()
            && (one || has_breaks)
            && self.pause_is_theirs(&chunk.team, &chunk.pieces)
            && self.commit(task, &chunk.pieces, &chunk.team, &mut effort.calls).is_ok()
    }

    /// Whether a team may do the next spell of a task, one for each need: as far as competence goes, what was decided, and who
    /// did what else.
    fn may_do(&self, task: TaskId, team: &[PersonId]) -> bool {
        team.iter().zip(&self.ground.tasks[task].needs).enumerate().all(|(n, (person, need))| {
            let first = self.placed[task].first().filter(|_| need.same).map(|c| c.team[n]);
            need.holders.contains(person)
                && first.is_none_or(|p| p == *person)
                && !team[..n].contains(person)
                && !self.kept_apart(task, n, *person)
        })
    }

    /// Places the spells of a task as they were placed going forward from the same base after the same tasks.
    pub(super) fn repeat(&mut self, task: TaskId, chunks: &[Chunk], effort: &mut Effort) {
        for chunk in &chunks[self.placed[task].len()..] {
            self.put(task, chunk.clone(), &mut effort.calls);
        }
        let held = self.start_holds(task, Way::Forward);
        debug_assert!(held, "what was free before is free again");
    }

    /// The first slot at which a spell under way goes on: where a named break of somebody in its team pauses it at the
    /// very start, the one after that.
    fn resumes(&self, task: TaskId, team: &[PersonId]) -> usize {
        let ground = self.ground;
        if matches!(ground.tasks[task].shape, Shape::Any(_)) || !ground.tasks[task].pauses {
            return 0;
        }
        (0..self.end).find(|slot| !ground.is_break_of(team, *slot)).unwrap_or(0)
    }

    /// Goes on from the first slot with the spell under way, for at most `most` slots by its own team; says for how
    /// many it can be done.
    pub(super) fn go_on(&mut self, task: TaskId, most: usize, to: usize, team: &[PersonId], effort: &mut Effort) -> usize {
        let may_stop = matches!(self.ground.tasks[task].shape, Shape::Any(_));
        let least = if may_stop { 1 } else { most };
        // What may not stop goes on whatever was decided.
        if may_stop && !self.may_do(task, team) {
            return 0;
        }
        let from = self.resumes(task, team);
        for length in (least..=most).rev() {
            for pieces in std::iter::once(vec![(from, from + length)]).chain(self.paused(task, from, length)) {
                let end = pieces[pieces.len() - 1].1;
                let fits = end <= to.min(self.end)
                    && self.blocked(task, from, end, Way::Forward).is_none()
                    && team.iter().all(|p| self.can_work(task, *p, &pieces))
                    && self.pause_is_theirs(team, &pieces);
                if fits && self.commit(task, &pieces, team, &mut effort.calls).is_ok() {
                    return length;
                }
            }
        }
        0
    }
}
