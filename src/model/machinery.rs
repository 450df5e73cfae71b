//! Machinery that must stay able, the modes of the ship, and the reserve of people.

use crate::id::{CompetenceId, GroupId, TaskId, UnitId};
use crate::time::{Minutes, Moment, Span};

/// A machine.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Unit {
    /// Short code, unique (`G2`).
    pub code: String,
    /// Name in full.
    pub name: String,
    /// State at the start, as written (`running`, `auto`, `overhaul`); printed only.
    pub state: String,
    /// Out for other reasons than tasks and duties (broken, an event); in time order, apart.
    pub out: Vec<Span>,
}

/// Machines that stand in for one another.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Group {
    /// Short code, unique (`GEN`).
    pub code: String,
    /// Name in full.
    pub name: String,
    /// Its units, no repeats.
    pub units: Vec<UnitId>,
    /// How long in a row it may be short, if at all (a service tank lasts so long).
    pub lasts: Option<Minutes>,
    /// How long it must be whole after having been short.
    pub recover: Minutes,
    /// The run of shortness that planning begins in, or after: from its beginning to when the group was last short,
    /// at most the start of planning. `None` where it was whole for long enough, or never short.
    pub short_before: Option<Span>,
}

/// Units that may not all be out together.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NeverTogether {
    /// The set.
    pub units: Vec<UnitId>,
    /// How many of them may be out at once.
    pub most_out: u32,
}

/// A mode of the ship.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Mode {
    /// Short code, unique (`anchor`).
    pub code: String,
    /// Name in full.
    pub name: String,
    /// How many able units it needs of each group.
    pub needs: Vec<(GroupId, u32)>,
    /// What a missing unit in one slot weighs.
    pub weight: u32,
    /// The reserve it asks for, if any.
    pub reserve: Option<Reserve>,
}

/// Rested, qualified people who can be called, and hours left unbooked.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Reserve {
    /// How many of which competence; all different people.
    pub kinds: Vec<ReserveKind>,
    /// How long a call lasts; positive where there are kinds.
    pub call: Minutes,
    /// Unbooked labour time on a full ship's day.
    pub unbooked: Minutes,
    /// The hours of the day (minutes from 00:00, end up to 1440) in which unbooked time counts.
    pub hours: (Minutes, Minutes),
}

/// So many callable people who hold one competence.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ReserveKind {
    /// Id in the job folder, printed in the reserve table.
    pub code: String,
    /// The competence.
    pub competence: CompetenceId,
    /// How many.
    pub number: u32,
}

/// A date that matters.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Milestone {
    /// Short code, unique.
    pub code: String,
    /// What must be ready.
    pub text: String,
    /// The tasks that must all have ended.
    pub tasks: Vec<TaskId>,
    /// By when.
    pub due: Moment,
    /// What an hour late weighs against an hour of another milestone.
    pub weight: u32,
}

/// What a plan is judged by, most important first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Aim {
    /// Missing units, then missing reserve.
    Shortfall,
    /// Weighted hours late at the milestones.
    Lateness,
    /// Night work and overtime.
    NightAndOvertime,
    /// Changes to what people were told.
    Told,
    /// The end of the last task.
    Finish,
    /// Fair shares of overtime and nights.
    Fairness,
    /// Few spells and hand-overs, steady lines.
    Steady,
}

impl Aim {
    /// The default order.
    pub const DEFAULT: [Self; 7] =
        [Self::Shortfall, Self::Lateness, Self::NightAndOvertime, Self::Told, Self::Finish, Self::Fairness, Self::Steady];
}
