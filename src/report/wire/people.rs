//! What people do, and their rest.

use serde::{Deserialize, Serialize};

use crate::report::wire::Hours;

/// What a person does.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Person {
    /// Code.
    pub id: String,
    /// Name.
    pub name: String,
    /// From start to end of the plan without gap or overlap.
    pub stretches: Vec<Stretch>,
    /// Task time.
    pub labour_hours: Hours,
    /// Task time outside ordinary hours.
    pub overtime_hours: Hours,
    /// Ship's days with overtime.
    pub evenings: u32,
    /// Watch time.
    pub watch_hours: Hours,
    /// Duty time off watch.
    pub duty_hours: Hours,
    /// Task time between 20:00 and 06:00.
    pub night_hours: Hours,
    /// Least rest.
    pub rest: Rest,
}

/// One thing a person does.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Stretch {
    /// First minute.
    pub from: String,
    /// End of the last minute.
    pub to: String,
    /// What kind of thing.
    pub kind: Kind,
    /// Task, post or duty; null for the other kinds.
    #[serde(rename = "ref")]
    pub reference: Option<String>,
    /// For a `break`: whether it lies between turning to and knocking off, as time on hand or a named
    /// break; a gap too short to be rest does not. The other kinds have no such key.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_hand: Option<bool>,
}

/// What kind of thing a person does.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// A spell of a task.
    Task,
    /// A turn on a post.
    Watch,
    /// A duty.
    Duty,
    /// A recorded call-out.
    Call,
    /// Neither work nor rest.
    Break,
    /// Rest.
    Rest,
    /// Not aboard.
    Away,
}

/// Least rest over all windows that touch the plan.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Rest {
    /// Code of the rule set.
    pub rule_set: String,
    /// Least rest in any 24 h.
    pub least_24h: Hours,
    /// Start of that window; null where there is none.
    pub least_24h_from: Option<String>,
    /// Least sum of the two longest rests.
    pub best_two_24h: Hours,
    /// Least longest rest.
    pub longest_24h: Hours,
    /// Least rest in any 168 h.
    pub least_7d: Hours,
    /// Start of that window; null where there is none.
    pub least_7d_from: Option<String>,
    /// Before this, rest cannot be checked.
    pub not_checkable_before: Option<String>,
    /// The person's findings.
    pub findings: Vec<Finding>,
}

/// A breach of a rest rule.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Finding {
    /// Who.
    pub person: String,
    /// The rule, in words.
    pub rule: String,
    /// Start of the window.
    pub from: String,
    /// End of the window.
    pub to: String,
    /// What was found.
    pub found_hours: Hours,
    /// What the rule asks for.
    pub required_hours: Hours,
    /// Whether it lies in the record, so that the plan neither made nor can cure it.
    pub recorded: bool,
}
