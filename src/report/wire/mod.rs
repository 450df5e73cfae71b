//! Types of `plan.json`, version 1: a stable interface. Keys are only ever added.
//!
//! Instants are RFC 3339 with the ship's offset at that moment; hours are decimal. Keys are written in
//! the order of the fields.

mod people;
mod scalar;
mod sums;
mod work;

pub use people::{Finding, Kind, Person, Rest, Stretch};
pub use scalar::{Cut, Figure, Hours, Ordered, Proof};
pub use sums::{Aim, CompetenceRow, DayRow, MachineryRow, Milestone, ReserveRow, ShortOf, Shortfall};
pub use work::{Duty, Link, Member, Pause, Spell, Task, Watch};

use serde::{Deserialize, Serialize};

/// Value of `format` in a document of this version.
pub const FORMAT: &str = "turnto-plan/1";

/// Value of `made_by`.
pub const MADE_BY: &str = concat!("turnto ", env!("CARGO_PKG_VERSION"));

/// The whole document.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct PlanFile {
    /// Always [`FORMAT`].
    pub format: String,
    /// Program and version.
    pub made_by: String,
    /// Seed of the search.
    pub seed: u64,
    /// Fingerprint of the input files.
    pub input_sha256: String,
    /// Length of a slot.
    pub slot_minutes: i32,
    /// Name of the ship.
    pub ship: String,
    /// Title of the job.
    pub job: String,
    /// Start of the plan.
    pub start: String,
    /// End of the plan.
    pub end: String,
    /// End of the last task.
    pub finish: String,
    /// Before this no plan can finish.
    pub bound: String,
    /// The same with all overtime that is allowed; null where it was not asked.
    pub bound_with_overtime: Option<String>,
    /// Finish less bound.
    pub gap_hours: Hours,
    /// `proven` where the finish meets the bound, else `gap`.
    pub proof: Proof,
    /// What proves the bound, in words.
    pub proof_by: String,
    /// Whether a milestone is late.
    pub late: bool,
    /// What ended the search early.
    pub cut_by: Cut,
    /// Values of the aims, most important first.
    pub aims: Vec<Aim>,
    /// Number of the plan in its folder.
    pub plan_no: u32,
    /// Number of the plan it was made from.
    pub based_on: Option<u32>,
    /// How many entries of `log.toml` it takes in; left out where there is no log in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub log_entries: Option<u32>,
    /// Readings of the rest rules in use: by code of the rule set, then by number of the reading.
    pub readings: Ordered<Ordered<String>>,
    /// Before this, rest cannot be checked for want of a record.
    pub not_checkable_before: Option<String>,
    /// Where machinery or reserve falls short.
    pub shortfalls: Vec<Shortfall>,
    /// Milestones.
    pub milestones: Vec<Milestone>,
    /// The chain that holds the finish.
    pub held_by: Vec<Link>,
    /// The tasks through which this plan ends when it does, with what each waited for; proves nothing.
    #[serde(default)]
    pub waits: Vec<Link>,
    /// What each person does.
    pub people: Vec<Person>,
    /// Where `slack_hours` of the tasks comes from: `order and waits`, or `planning again`.
    pub slack_by: String,
    /// Tasks with their spells.
    pub tasks: Vec<Task>,
    /// Turns that begin before the end of the plan, whole.
    pub watches: Vec<Watch>,
    /// Turns after the end of the plan for which the plan chose who stands them.
    pub watches_after_end: Vec<Watch>,
    /// Duties that begin before the end of the plan, whole.
    pub duties: Vec<Duty>,
    /// Movable duties after the end of the plan.
    pub duties_after_end: Vec<Duty>,
    /// Sums by ship's day.
    pub days: Vec<DayRow>,
    /// Machines able and needed, by group, then time.
    pub machinery: Vec<MachineryRow>,
    /// Who can be called, by time, then kind.
    pub reserve: Vec<ReserveRow>,
    /// Hours by competence and day, beside the labour model.
    pub competences: Vec<CompetenceRow>,
    /// Findings of the rest rules in the record that the plan makes no worse.
    pub findings: Vec<Finding>,
    /// Anything else that should be read.
    pub notes: Vec<String>,
}
