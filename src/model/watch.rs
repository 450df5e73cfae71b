//! Posts and the turns people stand on them; duties that call people away.

use crate::id::{CompetenceId, ModeId, PersonId, PostId, TagId, UnitId};
use crate::time::{Minutes, Moment, Span};

/// A post that somebody mans without a gap while it is set.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Post {
    /// Short code, unique (`OOW`, `WR`).
    pub code: String,
    /// Name in full.
    pub name: String,
    /// The competence that lets somebody stand it.
    pub competence: CompetenceId,
    /// When it must be manned, laid out to the end of the layout; in time order, apart.
    pub manned: Vec<Span>,
    /// How many tasks without people (a running-in) its watch may attend at once.
    pub attends: u32,
    /// What makes it manned, where that goes by the modes of the ship.
    pub by_mode: Option<ByMode>,
}

/// In which modes a post is manned, and by whom at any time.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ByMode {
    /// The modes.
    pub modes: Vec<ModeId>,
    /// The turns as they would be if it were manned throughout; in time order, apart, with holes where the lines have
    /// none.
    pub turns: Vec<Turn>,
}

/// One turn of one person on one post: a whole watch, or the part of one that is split by a cover.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Turn {
    /// The post.
    pub post: PostId,
    /// From when to when.
    pub span: Span,
    /// Who stands it.
    pub stand: Stand,
    /// The line it belongs to, as people call it (`12-4`); for covers, the reason.
    pub line: String,
}

/// Who stands a turn.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Stand {
    /// This person.
    Fixed(PersonId),
    /// One of these, for the plan to decide; never empty, no repeats.
    Open(Vec<PersonId>),
}

impl Stand {
    /// Whether there is a choice.
    #[must_use]
    pub const fn is_open(&self) -> bool {
        match self {
            Self::Fixed(_) => false,
            Self::Open(people) => people.len() > 1,
        }
    }
}

/// One occurrence of a duty: a call on people that is neither a watch nor a task.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Duty {
    /// Code of the duty, shared by its repeats (`toolbox`).
    pub code: String,
    /// Name in full.
    pub name: String,
    /// Which repeat this is, from 1.
    pub occurrence: u32,
    /// Who attends, in id order, no repeats.
    pub who: Vec<PersonId>,
    /// When.
    pub when: When,
    /// Whether people may leave it when called.
    pub leavable: bool,
    /// How it meets the watch of one who attends.
    pub on_watch: OnWatch,
    /// Whether it counts as a drill.
    pub drill: bool,
    /// Whether it has all hands out and is its own reserve.
    pub all_hands: bool,
    /// Tags of tasks that may not run meanwhile.
    pub bans: Vec<TagId>,
    /// Units it takes out from its start; see [`Duty::borrows`].
    pub takes_out: Vec<UnitId>,
    /// Units it hands back at its end.
    pub hands_back: Vec<UnitId>,
}

impl Duty {
    /// Whether it has a machine out for its own time and no longer: out at its start and able again at its end, each time
    /// anew where it is repeated, whatever else takes the machine out or hands it back.
    #[must_use]
    pub fn borrows(&self, unit: UnitId) -> bool {
        self.takes_out.contains(&unit) && self.hands_back.contains(&unit)
    }

    /// Whether it takes a machine out for others to hand back.
    #[must_use]
    pub fn opens(&self, unit: UnitId) -> bool {
        self.takes_out.contains(&unit) && !self.hands_back.contains(&unit)
    }

    /// Whether it hands back a machine that others took out.
    #[must_use]
    pub fn closes(&self, unit: UnitId) -> bool {
        self.hands_back.contains(&unit) && !self.takes_out.contains(&unit)
    }
}

/// When a duty is done.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum When {
    /// At this time.
    Fixed(Span),
    /// At any time inside `window` that suits all who attend, in one piece of `length`, starting on the
    /// slot grid.
    Movable {
        /// Earliest start to latest end.
        window: Span,
        /// How long it takes.
        length: Minutes,
    },
}

impl When {
    /// By when it has begun, wherever it is put.
    #[must_use]
    pub fn latest_start(self) -> Moment {
        match self {
            Self::Fixed(span) => span.start(),
            Self::Movable { window, length } => window.end() - length,
        }
    }

    /// Before when it is not over, wherever it is put.
    #[must_use]
    pub fn earliest_end(self) -> Moment {
        match self {
            Self::Fixed(span) => span.end(),
            Self::Movable { window, length } => window.start() + length,
        }
    }

    /// Whether there is a choice.
    #[must_use]
    pub const fn is_open(self) -> bool {
        matches!(self, Self::Movable { .. })
    }
}

/// How a duty meets the watch of a person who attends it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum OnWatch {
    /// Those on watch are excused for the part that falls in their watch.
    Excused,
    /// One who has the watch then does it along with the watch.
    DoneOnWatch,
    /// Nobody who attends may be on watch then.
    Clash,
}

/// A window in which tasks with some tags may not run (heavy weather bans lifts).
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Ban {
    /// From when to when.
    pub span: Span,
    /// The tags.
    pub tags: Vec<TagId>,
    /// Why, in words.
    pub reason: String,
}

impl Ban {
    /// Why, to be put behind what is said of it: ` (swell)`, or nothing where no reason is given.
    #[must_use]
    pub fn because(&self) -> String {
        if self.reason.is_empty() { String::new() } else { format!(" ({})", self.reason) }
    }
}
