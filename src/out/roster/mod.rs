//! The watch roster on paper, in a table and as a document; and what was tried beside it.

mod csv;
mod json;
mod sheet;
mod text;
mod tried;
mod words;

pub use csv::roster_csv;
pub use json::{roster_json, tried_json};
pub use sheet::roster_sheet;
pub use text::roster_text;
pub use tried::tried_text;

use crate::model::Problem;
use crate::roster::{Explained, Outcome, PersonRow};
use crate::time::{Minutes, Moment, Span};

/// A roster with all there is to say about it.
pub struct RosterView<'a> {
    /// The job.
    pub problem: &'a Problem,
    /// The rosters.
    pub outcome: &'a Outcome,
    /// The time that is shown: from the start to the end of the job.
    pub time: Span,
    /// The stints of the best roster.
    pub explained: &'a [Explained],
    /// What it comes to for everybody who stands something.
    pub people: &'a [PersonRow],
    /// What was tried, the roster as it is first; empty where nothing was.
    pub tried: &'a [Tried],
}

/// One thing that was tried.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Tried {
    /// What, in words.
    pub what: String,
    /// What came of it, or why it cannot be.
    pub came: Result<Came, String>,
}

/// What came of something that was tried.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Came {
    /// Time of turns that nobody stands.
    pub uncovered: Minutes,
    /// When the first such turn begins.
    pub first_hole: Option<Moment>,
    /// Lines taken over from somebody else.
    pub changes: u32,
    /// Whose nights go up most, against the roster as it is, and by how much; as code.
    pub nights: Option<(String, Minutes)>,
    /// Who has least rest in any seven days, watches and duties alone, and how much; as code.
    pub least_rest: Option<(String, Minutes)>,
    /// The whole plan, if it was planned: what it comes to, or why there is none.
    pub job: Option<Result<JobFigures, String>>,
}

/// What a whole plan comes to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct JobFigures {
    /// End of the last task.
    pub finish: Moment,
    /// Overtime over all people.
    pub overtime: Minutes,
    /// Job time outside 06:00 to 20:00.
    pub night: Minutes,
    /// How late the milestones are, added up.
    pub late: Minutes,
    /// Machinery that falls short, in missing units by slots by weight.
    pub machinery: i64,
    /// Reserve that falls short, in slots.
    pub reserve: i64,
}
