//! What the search knows about a plan and the plan itself does not say.

use crate::bound::EarliestDates;
use crate::clock::Day;
use crate::id::{CompetenceId, IdVec, TaskId};
use crate::model::Aim;
use crate::time::{Minutes, Moment};

/// How a plan came about and what is proven about it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Solved {
    /// Number of the plan in its job folder, from 1.
    pub plan_no: u32,
    /// Number of the plan it was made from, if any.
    pub based_on: Option<u32>,
    /// How many entries of the log it takes in, where it is planned from one.
    pub log_entries: Option<u32>,
    /// Seed of the search.
    pub seed: u64,
    /// Fingerprint of the input files, in lower-case hexadecimal digits.
    pub input_sha256: String,
    /// Before this moment no plan can finish, with the overtime this plan uses.
    pub bound: Moment,
    /// The same with all overtime that is allowed, where that was asked.
    pub bound_with_overtime: Option<Moment>,
    /// What proves the bound, in words (`longest chain through calendars and waits`).
    pub proof: String,
    /// Before which moment no plan meets each milestone that keeps as much of the reserve.
    pub earliest: EarliestDates,
    /// What machines fall short by in every plan (missing units × slots × mode weight).
    pub machines_short: i64,
    /// The chain that holds the finish, first task first; may be empty.
    pub chain: Vec<ChainLink>,
    /// Values of the aims, most important first.
    pub aims: Vec<AimValue>,
    /// What ended the search before it was done.
    pub cut_by: CutBy,
    /// What the labour model gave, or why there is nothing to compare with.
    pub model: ModelHours,
    /// How much later each task could end without a later finish, where it was found by planning again.
    pub slack: Option<IdVec<TaskId, Minutes>>,
    /// Anything else that should be read, one sentence each.
    pub notes: Vec<String>,
}

/// A task in the chain that holds the finish.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ChainLink {
    /// The task.
    pub task: TaskId,
    /// Wait asked for between the link before and this one; zero where there is none.
    pub wait: Minutes,
    /// What makes it follow the link before, where that is not plain order (`SOAK is taken`); may be
    /// empty.
    pub why: String,
}

/// Value of one aim.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct AimValue {
    /// The aim.
    pub aim: Aim,
    /// What the plan reaches.
    pub value: Amount,
    /// What no plan can beat given the aims before it; `None` where nothing is proven.
    pub bound: Option<Amount>,
}

/// An amount with its unit.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Amount {
    /// A length of time in minutes, written in hours; weighted it may be longer than any stretch of time is.
    Time(i64),
    /// A number of things; the text names them (`changes`).
    Count(i64, &'static str),
}

impl Amount {
    /// A length of time.
    #[must_use]
    pub fn time(length: Minutes) -> Self {
        Self::Time(i64::from(length.get()))
    }

    /// The bare number: minutes, or things.
    #[must_use]
    pub fn number(self) -> i64 {
        match self {
            Self::Time(number) | Self::Count(number, _) => number,
        }
    }
}

/// What ended the search early.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum CutBy {
    /// Nothing: it met the bound or had no more to try.
    Nothing,
    /// The fixed amount of work without gain.
    Work,
    /// The time cap.
    Time,
    /// An interruption by the user.
    Signal,
}

/// Hours by competence and day as the labour model had them.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum ModelHours {
    /// The model was solved; pairs that are not listed are zero.
    Given(Vec<ModelHour>),
    /// There is no model to compare with; the text says why.
    Skipped(String),
}

/// Labour time of one competence on one day in the labour model.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ModelHour {
    /// The competence called for.
    pub competence: CompetenceId,
    /// The ship's day.
    pub day: Day,
    /// Labour time, rounded to a minute.
    pub labour: Minutes,
}
