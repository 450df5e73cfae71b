//! What the plan is judged by, and sums.

use serde::{Deserialize, Serialize};

use crate::report::wire::{Figure, Hours, Ordered, Proof};

/// Value of an aim.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Aim {
    /// Name of the aim.
    pub aim: String,
    /// What the plan reaches.
    pub value: Figure,
    /// What no plan can beat; null where nothing is proven.
    pub bound: Option<Figure>,
    /// Unit of both: `h`, or what is counted.
    pub unit: String,
    /// `proven` where the value meets the bound, else `gap`.
    pub proof: Proof,
}

/// A milestone.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Milestone {
    /// Its code.
    pub id: String,
    /// What must be ready.
    pub text: String,
    /// By when.
    pub due: String,
    /// When it is.
    pub met_at: String,
    /// How late that is.
    pub late_hours: Hours,
    /// Before this moment no plan meets it; empty in plans written before there was such a thing.
    #[serde(default)]
    pub bound: String,
    /// What proves the bound.
    #[serde(default)]
    pub proof_by: String,
}

/// A stretch in which machinery or reserve falls short.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Shortfall {
    /// First minute.
    pub from: String,
    /// End of the last minute.
    pub to: String,
    /// What is missing.
    #[serde(flatten)]
    pub of: ShortOf,
}

/// What is missing.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum ShortOf {
    /// Units of a group.
    Units {
        /// The group.
        group: String,
        /// Able.
        able: u32,
        /// Needed.
        needed: u32,
    },
    /// More units of a set are out at once than may be.
    Together {
        /// The units of the set.
        units: Vec<String>,
        /// How many are out.
        out: u32,
        /// How many may be.
        most_out: u32,
    },
    /// Callable people.
    Callable {
        /// How many.
        missing: u32,
    },
    /// Unbooked time of a day.
    Unbooked {
        /// How much.
        missing_hours: Hours,
    },
}

/// Sums of a ship's day.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct DayRow {
    /// Date by ship's clock.
    pub date: String,
    /// Number of the day.
    pub day: i32,
    /// Task time.
    pub labour_hours: Hours,
    /// Task time outside ordinary hours.
    pub overtime_hours: Hours,
    /// Unbooked time as the reserve counts it.
    pub unbooked_hours: Hours,
    /// Unbooked time asked for.
    pub unbooked_needed_hours: Hours,
    /// Task time by person.
    pub by_person: Ordered<Hours>,
}

/// State of a group of machines.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct MachineryRow {
    /// The group.
    pub group: String,
    /// First minute.
    pub from: String,
    /// End of the last minute.
    pub to: String,
    /// Units able.
    pub able: u32,
    /// Units needed.
    pub needed: u32,
    /// Units out.
    pub out: Vec<String>,
}

/// Who can be called as one kind.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct ReserveRow {
    /// First minute.
    pub from: String,
    /// End of the last minute.
    pub to: String,
    /// The kind.
    pub kind: String,
    /// Everybody who is callable at every slot of the row.
    pub callable: Vec<String>,
    /// How many are asked for.
    pub needed: u32,
    /// Whether all kinds together can be filled by different people.
    pub met: bool,
}

/// Hours called for in one competence on one day.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct CompetenceRow {
    /// The competence.
    pub competence: String,
    /// Date by ship's clock.
    pub date: String,
    /// Hours in the plan.
    pub planned_hours: Hours,
    /// Hours in the labour model; null where there is none.
    pub model_hours: Option<Hours>,
}
