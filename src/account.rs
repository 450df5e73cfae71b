//! What a plan comes to: every figure the outputs show, recomputed from the plan alone.
//!
//! Plain data, filled by [`crate::verify`]. Rows cover the plan from the problem's start to `end`.

use crate::clock::Day;
use crate::id::{DutyId, GroupId, IdVec, MilestoneId, PersonId, TaskId, TurnId, UnitId};
use crate::rest::Finding;
use crate::time::{Minutes, Moment, Span};

/// Everything a plan comes to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Account {
    /// End of the plan: the first planning end, grown by whole days until it holds all tasks.
    pub end: Moment,
    /// End of the last task; the start of the plan where there is no task.
    pub finish: Moment,
    /// Per person.
    pub people: IdVec<PersonId, PersonAccount>,
    /// Per task.
    pub tasks: IdVec<TaskId, TaskAccount>,
    /// When each duty is done by whom, those on watch left out where they are excused.
    pub duties: IdVec<DutyId, Vec<Attendance>>,
    /// Per ship's day, in order.
    pub days: Vec<DayAccount>,
    /// Per group, then time: rows of equal state.
    pub machinery: Vec<MachineryRow>,
    /// Per time, then kind: rows of equal callable people.
    pub reserve: Vec<ReserveRow>,
    /// When each milestone is met; in milestone order.
    pub milestones: IdVec<MilestoneId, MilestoneAccount>,
    /// Where machinery or reserve falls short, worst kind first, then time.
    pub shortfalls: Vec<Shortfall>,
    /// Values of the aims the shortfall counts in: missing units × slots × mode weight.
    pub machinery_shortfall: i64,
    /// Missing callable people × slots, plus missing unbooked time in slots (rounded up per day).
    pub reserve_shortfall: i64,
    /// Told work that people do not do as told; a minute within 24 hours of the start counts four times, within 72
    /// hours twice, later once.
    pub told_changed: Minutes,
}

/// What a person does.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PersonAccount {
    /// From start to end of the plan without gap or overlap.
    pub stretches: Vec<Doing>,
    /// Task time.
    pub labour: Minutes,
    /// Task time outside ordinary hours.
    pub overtime: Minutes,
    /// Ship's days with any overtime.
    pub evenings: u32,
    /// Watch time.
    pub watch: Minutes,
    /// Duty time that is not also watch time.
    pub duty: Minutes,
    /// Task time between 20:00 and 06:00 by ship's clock.
    pub night: Minutes,
    /// Rest figures over all windows that touch the plan.
    pub rest: RestFigures,
}

/// One thing a person does from–to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Doing {
    /// From when to when.
    pub span: Span,
    /// What.
    pub what: What,
}

/// What a person does in a stretch.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum What {
    /// A spell of a task (named breaks inside it are `Break`).
    Task(TaskId),
    /// A turn on a post.
    Watch(TurnId),
    /// A duty.
    Duty(DutyId),
    /// A recorded call-out that reaches into the plan.
    Call,
    /// On hand, a named break, or a gap too short to be rest.
    Break,
    /// Rest.
    Rest,
    /// Not aboard.
    Away,
}

/// Least margins of rest, over all windows the rules look at that touch the plan.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct RestFigures {
    /// Least rest in any 24 h.
    pub least_24h: Minutes,
    /// Start of that window.
    pub least_24h_from: Option<Moment>,
    /// Least sum of the two longest rests of a 24 h window (split test).
    pub best_two_24h: Minutes,
    /// Least longest rest of a 24 h window.
    pub longest_24h: Minutes,
    /// Least rest in any 168 h.
    pub least_7d: Minutes,
    /// Start of that window.
    pub least_7d_from: Option<Moment>,
    /// Findings that were in the record before the plan and are no worse with it.
    pub recorded_findings: Vec<Finding>,
    /// Up to when windows reach into unknown time and break a rule if it was work: not checkable before.
    pub not_checkable_before: Option<Moment>,
}

/// One person's attendance at one duty.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Attendance {
    /// Who.
    pub person: PersonId,
    /// From when to when; a duty cut by a watch has several rows.
    pub span: Span,
    /// Whether the person has the watch and does it along with it.
    pub on_watch: bool,
}

/// What a task comes to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct TaskAccount {
    /// Its first start.
    pub start: Moment,
    /// Its last end.
    pub end: Moment,
    /// Labour time over all people.
    pub labour: Minutes,
}

/// What a ship's day comes to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct DayAccount {
    /// The day.
    pub day: Day,
    /// Task time.
    pub labour: Minutes,
    /// Task time outside ordinary hours.
    pub overtime: Minutes,
    /// Unbooked time as the reserve counts it.
    pub unbooked: Minutes,
    /// Unbooked time the reserve asks for on this day (in proportion on part days, rounded up).
    pub unbooked_needed: Minutes,
    /// Task time by person.
    pub by_person: IdVec<PersonId, Minutes>,
}

/// State of a group of machines over a stretch of time.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct MachineryRow {
    /// The group.
    pub group: GroupId,
    /// From when to when.
    pub span: Span,
    /// Able units.
    pub able: u32,
    /// Units the mode needs.
    pub needed: u32,
    /// Units out.
    pub out: Vec<UnitId>,
}

/// Who can be called as one kind of the reserve over a stretch of time.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ReserveRow {
    /// From when to when.
    pub span: Span,
    /// Code of the kind.
    pub kind: String,
    /// Everybody of that kind who is callable at every slot of the row.
    pub callable: Vec<PersonId>,
    /// How many the mode asks for.
    pub needed: u32,
    /// Whether the numbers of all kinds can be filled by different people at every slot of the row.
    pub met: bool,
}

/// How a milestone fares.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct MilestoneAccount {
    /// When the last of its tasks ends.
    pub met_at: Moment,
    /// How late that is; zero when in time.
    pub late: Minutes,
}

/// One stretch in which machinery or reserve falls short.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Shortfall {
    /// From when to when.
    pub span: Span,
    /// What is missing.
    pub of: ShortOf,
}

/// What is missing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum ShortOf {
    /// So many units of a group.
    Units {
        /// The group.
        group: GroupId,
        /// Able.
        able: u32,
        /// Needed.
        needed: u32,
    },
    /// More units of a set are out at once than may be. Counts like one missing unit of weight 1.
    Together {
        /// Position of the set in [`crate::model::Parts::never_together`].
        set: usize,
        /// How many are out.
        out: u32,
        /// How many may be.
        most_out: u32,
    },
    /// So many people of the reserve cannot be filled by different callable people.
    Callable {
        /// How many are missing.
        missing: u32,
    },
    /// Unbooked time of a day.
    Unbooked {
        /// How much is missing.
        missing: Minutes,
    },
}
