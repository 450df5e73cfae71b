//! Types of `plan.json`, version 1: a stable interface. Keys are only ever added.
//!
//! Instants are RFC 3339 with the ship's offset at that moment; hours are decimal. Keys are written in
//! the order of the fields.

use std::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use serde::ser::{Serialize, Serializer};

use crate::time::Minutes;

/// Value of `format` in a document of this version.
pub const FORMAT: &str = "turnto-plan/1";

/// Value of `made_by`.
pub const MADE_BY: &str = concat!("turnto ", env!("CARGO_PKG_VERSION"));

/// A length of time in decimal hours, to the fourth decimal.
#[derive(Clone, Copy, PartialEq, Debug, serde::Serialize, serde::Deserialize)]
#[serde(transparent)]
pub struct Hours(f64);

impl From<Minutes> for Hours {
    fn from(length: Minutes) -> Self {
        Self((length.as_hours() * 10_000.0).round() / 10_000.0)
    }
}

impl Hours {
    /// The number that is written.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

/// Value of an aim: a count, or hours.
#[derive(Clone, Copy, PartialEq, Debug, serde::Serialize, serde::Deserialize)]
#[serde(untagged)]
pub enum Figure {
    /// A number of things.
    Count(i64),
    /// A length of time.
    Hours(Hours),
}

/// An object whose keys keep the order they are given in.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Ordered<T>(pub Vec<(String, T)>);

impl<T: Serialize> Serialize for Ordered<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Ordered<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Pairs<T>(std::marker::PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Pairs<T> {
            type Value = Ordered<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut pairs = Vec::new();
                while let Some(pair) = map.next_entry()? {
                    pairs.push(pair);
                }
                Ok(Ordered(pairs))
            }
        }
        deserializer.deserialize_map(Pairs(std::marker::PhantomData))
    }
}

macro_rules! objects {
    ($($(#[$doc:meta])* $name:ident { $($(#[$field_doc:meta])* $field:ident: $kind:ty,)+ })+) => {$(
        $(#[$doc])*
        #[derive(Clone, PartialEq, Debug, serde::Serialize, serde::Deserialize)]
        pub struct $name {
            $($(#[$field_doc])* pub $field: $kind,)+
        }
    )+};
}

objects! {
    /// The whole document.
    PlanFile {
        /// Always [`FORMAT`].
        format: String,
        /// Program and version.
        made_by: String,
        /// Seed of the search.
        seed: u64,
        /// Fingerprint of the input files.
        input_sha256: String,
        /// Length of a slot.
        slot_minutes: i32,
        /// Name of the ship.
        ship: String,
        /// Title of the job.
        job: String,
        /// Start of the plan.
        start: String,
        /// End of the plan.
        end: String,
        /// End of the last task.
        finish: String,
        /// Before this no plan can finish.
        bound: String,
        /// The same with all overtime that is allowed; null where it was not asked.
        bound_with_overtime: Option<String>,
        /// Finish less bound.
        gap_hours: Hours,
        /// `proven` where the finish meets the bound, else `gap`.
        proof: Proof,
        /// What proves the bound, in words.
        proof_by: String,
        /// Whether a milestone is late.
        late: bool,
        /// What ended the search early.
        cut_by: Cut,
        /// Values of the aims, most important first.
        aims: Vec<Aim>,
        /// Number of the plan in its folder.
        plan_no: u32,
        /// Number of the plan it was made from.
        based_on: Option<u32>,
        /// Readings of the rest rules in use: by code of the rule set, then by number of the reading.
        readings: Ordered<Ordered<String>>,
        /// Before this, rest cannot be checked for want of a record.
        not_checkable_before: Option<String>,
        /// Where machinery or reserve falls short.
        shortfalls: Vec<Shortfall>,
        /// Milestones.
        milestones: Vec<Milestone>,
        /// The chain that holds the finish.
        held_by: Vec<Link>,
        /// What each person does.
        people: Vec<Person>,
        /// Where `slack_hours` of the tasks comes from: `order and waits`, or `planning again`.
        slack_by: String,
        /// Tasks with their spells.
        tasks: Vec<Task>,
        /// Turns that begin before the end of the plan, whole.
        watches: Vec<Watch>,
        /// Turns after the end of the plan for which the plan chose who stands them.
        watches_after_end: Vec<Watch>,
        /// Duties that begin before the end of the plan, whole.
        duties: Vec<Duty>,
        /// Movable duties after the end of the plan.
        duties_after_end: Vec<Duty>,
        /// Sums by ship's day.
        days: Vec<DayRow>,
        /// Machines able and needed, by group, then time.
        machinery: Vec<MachineryRow>,
        /// Who can be called, by time, then kind.
        reserve: Vec<ReserveRow>,
        /// Hours by competence and day, beside the labour model.
        competences: Vec<CompetenceRow>,
        /// Findings of the rest rules in the record that the plan makes no worse.
        findings: Vec<Finding>,
        /// Anything else that should be read.
        notes: Vec<String>,
    }
    /// Value of an aim.
    Aim {
        /// Name of the aim.
        aim: String,
        /// What the plan reaches.
        value: Figure,
        /// What no plan can beat; null where nothing is proven.
        bound: Option<Figure>,
        /// Unit of both: `h`, or what is counted.
        unit: String,
        /// `proven` where the value meets the bound, else `gap`.
        proof: Proof,
    }
    /// A milestone.
    Milestone {
        /// Its code.
        id: String,
        /// What must be ready.
        text: String,
        /// By when.
        due: String,
        /// When it is.
        met_at: String,
        /// How late that is.
        late_hours: Hours,
    }
    /// A task in the chain that holds the finish.
    Link {
        /// The task.
        task: String,
        /// Wait asked for before it.
        wait_hours: Hours,
        /// What makes it follow, where that is not plain order.
        why: String,
    }
    /// What a person does.
    Person {
        /// Code.
        id: String,
        /// Name.
        name: String,
        /// From start to end of the plan without gap or overlap.
        stretches: Vec<Stretch>,
        /// Task time.
        labour_hours: Hours,
        /// Task time outside ordinary hours.
        overtime_hours: Hours,
        /// Ship's days with overtime.
        evenings: u32,
        /// Watch time.
        watch_hours: Hours,
        /// Duty time off watch.
        duty_hours: Hours,
        /// Task time between 20:00 and 06:00.
        night_hours: Hours,
        /// Least rest.
        rest: Rest,
    }
    /// Least rest over all windows that touch the plan.
    Rest {
        /// Code of the rule set.
        rule_set: String,
        /// Least rest in any 24 h.
        least_24h: Hours,
        /// Start of that window; null where there is none.
        least_24h_from: Option<String>,
        /// Least sum of the two longest rests.
        best_two_24h: Hours,
        /// Least longest rest.
        longest_24h: Hours,
        /// Least rest in any 168 h.
        least_7d: Hours,
        /// Start of that window; null where there is none.
        least_7d_from: Option<String>,
        /// Before this, rest cannot be checked.
        not_checkable_before: Option<String>,
        /// The person's findings.
        findings: Vec<Finding>,
    }
    /// A breach of a rest rule.
    Finding {
        /// Who.
        person: String,
        /// The rule, in words.
        rule: String,
        /// Start of the window.
        from: String,
        /// End of the window.
        to: String,
        /// What was found.
        found_hours: Hours,
        /// What the rule asks for.
        required_hours: Hours,
        /// Whether it lies in the record, so that the plan neither made nor can cure it.
        recorded: bool,
    }
    /// A task.
    Task {
        /// Code.
        id: String,
        /// Its spells, by time.
        spells: Vec<Spell>,
        /// First start.
        start: String,
        /// Last end.
        end: String,
        /// Labour time over all people.
        labour_hours: Hours,
        /// How much later it could end; see `slack_by`.
        slack_hours: Hours,
    }
    /// A spell.
    Spell {
        /// First minute.
        from: String,
        /// End of the last minute.
        to: String,
        /// Which part of the task, from 1; null where it is not done in parts.
        part: Option<u32>,
        /// Named breaks inside it.
        paused: Vec<Pause>,
        /// One entry for each position in the task's needs, in that order.
        team: Vec<Member>,
        /// Tools it blocks, each as often as it is blocked.
        tools: Vec<String>,
    }
    /// A pause of a spell.
    Pause {
        /// First minute.
        from: String,
        /// End of the last minute.
        to: String,
    }
    /// A member of a team.
    Member {
        /// The competence called for.
        need: String,
        /// Who brings it.
        person: String,
    }
    /// A turn on a post.
    Watch {
        /// The post.
        post: String,
        /// First minute.
        from: String,
        /// End of the last minute.
        to: String,
        /// Who stands it.
        person: String,
    }
    /// A duty.
    Duty {
        /// Code, shared by its repeats.
        id: String,
        /// Which repeat, from 1.
        occurrence: u32,
        /// First minute.
        from: String,
        /// End of the last minute.
        to: String,
        /// Who attends, those on watch left out where they are excused.
        people: Vec<String>,
    }
    /// Sums of a ship's day.
    DayRow {
        /// Date by ship's clock.
        date: String,
        /// Number of the day.
        day: i32,
        /// Task time.
        labour_hours: Hours,
        /// Task time outside ordinary hours.
        overtime_hours: Hours,
        /// Unbooked time as the reserve counts it.
        unbooked_hours: Hours,
        /// Unbooked time asked for.
        unbooked_needed_hours: Hours,
        /// Task time by person.
        by_person: Ordered<Hours>,
    }
    /// State of a group of machines.
    MachineryRow {
        /// The group.
        group: String,
        /// First minute.
        from: String,
        /// End of the last minute.
        to: String,
        /// Units able.
        able: u32,
        /// Units needed.
        needed: u32,
        /// Units out.
        out: Vec<String>,
    }
    /// Who can be called as one kind.
    ReserveRow {
        /// First minute.
        from: String,
        /// End of the last minute.
        to: String,
        /// The kind.
        kind: String,
        /// Everybody who is callable at every slot of the row.
        callable: Vec<String>,
        /// How many are asked for.
        needed: u32,
        /// Whether all kinds together can be filled by different people.
        met: bool,
    }
    /// Hours called for in one competence on one day.
    CompetenceRow {
        /// The competence.
        competence: String,
        /// Date by ship's clock.
        date: String,
        /// Hours in the plan.
        planned_hours: Hours,
        /// Hours in the labour model; null where there is none.
        model_hours: Option<Hours>,
    }
}

/// One thing a person does.
#[derive(Clone, PartialEq, Debug, serde::Serialize, serde::Deserialize)]
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

/// A stretch in which machinery or reserve falls short.
#[derive(Clone, PartialEq, Debug, serde::Serialize, serde::Deserialize)]
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
#[derive(Clone, PartialEq, Debug, serde::Serialize, serde::Deserialize)]
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

/// What kind of thing a person does.
#[derive(Clone, Copy, PartialEq, Eq, Debug, serde::Serialize, serde::Deserialize)]
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

/// Whether a value meets its bound.
#[derive(Clone, Copy, PartialEq, Eq, Debug, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Proof {
    /// It does: no plan does better.
    Proven,
    /// It does not, or there is no bound.
    Gap,
}

/// What ended the search early.
#[derive(Clone, Copy, PartialEq, Eq, Debug, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Cut {
    /// Nothing.
    None,
    /// The fixed amount of work without gain.
    Work,
    /// The time cap.
    Time,
    /// An interruption.
    Signal,
}
