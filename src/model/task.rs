//! Tasks of the overhaul and the tools they block.

use crate::id::{CompetenceId, PersonId, PhaseId, PostId, TagId, TaskId, ToolId, UnitId};
use crate::time::{Minutes, Moment, Slots, Span};

/// A piece of the overhaul.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Task {
    /// Short code, unique (`A12`).
    pub code: String,
    /// What is done.
    pub text: String,
    /// The phase it belongs to.
    pub phase: PhaseId,
    /// One entry a person: the competence each brings. All different people, present together from start
    /// to end of every spell. Empty: nobody works on it, it runs by itself.
    pub needs: Vec<CompetenceId>,
    /// Estimated hours as given: least, typical, most.
    pub hours: Estimate,
    /// Length in slots: the hours planned with, rounded up once. At least one.
    pub length: Slots,
    /// Where it may stop.
    pub stop: Stop,
    /// Whether a named break pauses a part or a `never` spell; if not, a part or a `never` spell does not
    /// run over a named break of anybody in its team.
    pub pauses: bool,
    /// What it comes after.
    pub after: Vec<After>,
    /// Tools held during its spells, with how many of each; no repeats.
    pub tools: Vec<(ToolId, u32)>,
    /// Not before this moment (hard).
    pub not_before: Option<Moment>,
    /// All done by this moment (hard).
    pub not_after: Option<Moment>,
    /// Cautions and bans refer to these; sorted.
    pub tags: Vec<TagId>,
    /// Units out from its first start.
    pub takes_out: Vec<UnitId>,
    /// Units handed back at its last end.
    pub hands_back: Vec<UnitId>,
    /// Positions in `needs` that one person fills through all spells; sorted.
    pub same: Vec<usize>,
    /// People barred from a position.
    pub different: Vec<Different>,
    /// May be done outside ordinary hours and overtime; flagged where it is.
    pub emergency: bool,
    /// The post whose watch attends it, for a task without people.
    pub attended_by: Option<PostId>,
    /// Whether it has to be done where the job is closed up early.
    pub close_up: CloseUp,
    /// What has been decided about it beforehand.
    pub pinned: Pinned,
    /// The spell in which it is when planning begins, if it is in one.
    pub under_way: Option<UnderWay>,
}

/// Whether a task has to be done where what was opened is closed up and handed back before the job is done.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub enum CloseUp {
    /// It has to be done in any case.
    #[default]
    Needed,
    /// It is left out where it was not begun. In parts, parts that were not begun are left out.
    LeftOut,
    /// It puts back what these opened: it is left out where neither it nor any of them was begun. Where it has as many
    /// parts as they have together, it needs as many of them as they have begun.
    PutsBack(Vec<TaskId>),
}

/// What the officer in charge has decided about a task himself; hard for the planner.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Pinned {
    /// Its first spell starts exactly then; on the grid.
    pub start: Option<Moment>,
    /// Who fills a position through all spells; sorted, a position at most once.
    pub team: Vec<(usize, PersonId)>,
    /// Who does not fill a position; sorted.
    pub off: Vec<(usize, PersonId)>,
    /// Those of `team` who were put on the task without a word of the position; sorted. Where a position is theirs in what
    /// people were told, planning again gives them that one.
    pub anywhere: Vec<PersonId>,
}

impl Pinned {
    /// Whether it lets `person` fill position `need`; competence is not asked.
    #[must_use]
    pub fn lets(&self, need: usize, person: PersonId) -> bool {
        let put = self.team.iter().find(|(n, _)| *n == need);
        put.is_none_or(|(_, p)| *p == person) && !self.off.contains(&(need, person))
    }

    /// Gives those who may have any position the one they have in `told`, if they can all have it beside the others.
    pub fn seat_as(&mut self, told: &[PersonId]) {
        let seat = |(need, person): &(usize, PersonId)| {
            let place = told.iter().position(|p| p == person).filter(|_| self.anywhere.contains(person));
            (place.unwrap_or(*need), *person)
        };
        let mut team: Vec<(usize, PersonId)> = self.team.iter().map(seat).collect();
        team.sort_unstable();
        let apart = team.windows(2).all(|pair| pair[0].0 != pair[1].0);
        if apart && team.iter().all(|place| !self.off.contains(place)) {
            self.team = team;
        }
    }

    /// Gives those who may have any position, and are kept off theirs, the first of `needs` positions that is free and that
    /// `holds` says they can fill. Where there is none they stay where they are.
    pub fn seat_beside(&mut self, needs: usize, holds: impl Fn(usize, PersonId) -> bool) {
        for at in 0..self.team.len() {
            let (need, person) = self.team[at];
            if !self.off.contains(&(need, person)) || !self.anywhere.contains(&person) {
                continue;
            }
            let taken = |n: usize| self.team.iter().any(|(other, _)| *other == n);
            let free = (0..needs).find(|n| !taken(*n) && !self.off.contains(&(*n, person)) && holds(*n, person));
            self.team[at].0 = free.unwrap_or(need);
        }
        self.team.sort_unstable();
    }
}

/// A spell that was begun before planning begins and goes on at its start.
///
/// A part or a `never` spell has to be brought to its end: its first spell starts at the problem's start,
/// has this team and is `left` slots long (pauses not counted), and is the first part of those that are
/// left. A task that may stop anywhere need not go on; if it does, by this team from the problem's start, the
/// shortest spell does not bind that spell.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct UnderWay {
    /// Who is at it: one person for each position in `needs`.
    pub team: Vec<PersonId>,
    /// What is left of the spell. At least one slot and at most the task's length.
    pub left: Slots,
}

/// Hours as given in the job folder, in minutes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Estimate {
    /// Least.
    pub least: Minutes,
    /// Typical; what is planned with.
    pub typical: Minutes,
    /// Most.
    pub most: Minutes,
}

/// Where a task may stop.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Stop {
    /// At any slot; each spell but the last is at least `min_spell` long.
    Any {
        /// Shortest spell but the last.
        min_spell: Slots,
    },
    /// Only between its `parts` parts, which differ by at most one slot, longer first; each part is one
    /// spell. At least one and at most as many as the task has slots.
    Parts(u32),
    /// Nowhere: one spell inside one working stretch.
    Never,
}

impl Task {
    /// Lengths of the parts of a task in order, longer first; a `Never` task is one part, an `Any` task
    /// has none. What is left of a part under way comes first.
    #[must_use]
    pub fn part_lengths(&self) -> Vec<Slots> {
        match (self.stop, &self.under_way) {
            (Stop::Any { .. }, _) => Vec::new(),
            (Stop::Never, _) => vec![self.length],
            (Stop::Parts(parts), None) => even(self.length.count(), parts),
            (Stop::Parts(parts), Some(first)) => {
                let rest = even(self.length.count() - first.left.count(), parts.saturating_sub(1));
                std::iter::once(first.left).chain(rest).collect()
            }
        }
    }

    /// Has it come after `task`, at once, unless it does so already.
    pub fn come_after(&mut self, task: TaskId) {
        if self.after.iter().all(|after| after.task != task) {
            self.after.push(After { task, lag: Minutes::ZERO });
        }
    }

    /// Whether what was decided beforehand lets `person` fill position `need`; competence is not asked.
    #[must_use]
    pub fn lets(&self, need: usize, person: PersonId) -> bool {
        self.pinned.lets(need, person)
    }

    /// Whether nobody works on it: it runs round the clock in one spell.
    #[must_use]
    pub const fn unmanned(&self) -> bool {
        self.needs.is_empty()
    }
}

/// `length` slots in `parts` parts that differ by at most one, longer first.
fn even(length: i32, parts: u32) -> Vec<Slots> {
    let parts = i32::try_from(parts).unwrap_or(i32::MAX);
    (0..parts).map(|i| Slots::new(length / parts + i32::from(i < length % parts))).collect()
}

/// Finish-to-start with a wait.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct After {
    /// The task that must have ended.
    pub task: TaskId,
    /// Elapsed time between its end and the start; rounded up to the next slot boundary.
    pub lag: Minutes,
}

/// Who may not fill a position: nobody who filled any of some positions of another task.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Different {
    /// Position in `needs` of this task.
    pub need: usize,
    /// The other task.
    pub other: TaskId,
    /// Positions of the other task; empty means every one.
    pub other_needs: Vec<usize>,
}

/// A countable thing tasks block.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Tool {
    /// Short code, unique (`CRANE`).
    pub code: String,
    /// Name in full.
    pub name: String,
    /// How many there are.
    pub number: u32,
    /// When it cannot be had (lent, broken, not yet aboard); in time order, apart. A held tool may not
    /// be away either.
    pub away: Vec<Span>,
    /// Calibrated until, if that is said; as written.
    pub calibrated_until: Option<String>,
}

/// A tool held through waits: from the first start of one task (or from the start of planning) to the end of
/// another, nights included.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Hold {
    /// The tool.
    pub tool: ToolId,
    /// How many of it.
    pub number: u32,
    /// The task that fills it; `None` where it was filled before planning begins.
    pub fill: Option<TaskId>,
    /// The task that began to fill it before planning began and is still at it.
    pub filling: Option<TaskId>,
    /// The task that empties it; comes after `fill`, through others or at once, or is `fill` itself.
    pub empty: TaskId,
}
