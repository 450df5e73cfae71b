//! Tasks with their spells, watches and duties.

use serde::{Deserialize, Serialize};

use crate::report::wire::Hours;

/// A task.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Task {
    /// Code.
    pub id: String,
    /// Its spells, by time.
    pub spells: Vec<Spell>,
    /// First start.
    pub start: String,
    /// Last end.
    pub end: String,
    /// Labour time over all people.
    pub labour_hours: Hours,
    /// How much later it could end; see `slack_by`.
    pub slack_hours: Hours,
}

/// A spell.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Spell {
    /// First minute.
    pub from: String,
    /// End of the last minute.
    pub to: String,
    /// Which part of the task, from 1; null where it is not done in parts.
    pub part: Option<u32>,
    /// Named breaks inside it.
    pub paused: Vec<Pause>,
    /// One entry for each position in the task's needs, in that order.
    pub team: Vec<Member>,
    /// Tools it blocks, each as often as it is blocked.
    pub tools: Vec<String>,
}

/// A pause of a spell.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Pause {
    /// First minute.
    pub from: String,
    /// End of the last minute.
    pub to: String,
}

/// A member of a team.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Member {
    /// The competence called for.
    pub need: String,
    /// Who brings it.
    pub person: String,
}

/// A task in the chain that holds the finish.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Link {
    /// The task.
    pub task: String,
    /// Wait asked for before it.
    pub wait_hours: Hours,
    /// What makes it follow, where that is not plain order.
    pub why: String,
}

/// A turn on a post.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Watch {
    /// The post.
    pub post: String,
    /// First minute.
    pub from: String,
    /// End of the last minute.
    pub to: String,
    /// Who stands it.
    pub person: String,
}

/// A duty.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Duty {
    /// Code, shared by its repeats.
    pub id: String,
    /// Which repeat, from 1.
    pub occurrence: u32,
    /// First minute.
    pub from: String,
    /// End of the last minute.
    pub to: String,
    /// Who attends, those on watch left out where they are excused.
    pub people: Vec<String>,
}
