//! Hours of rest on paper, in tables and as documents: checks, calls, rule sets, and the record of a month.

mod arrange;
mod arrange_html;
mod call;
mod call_json;
mod check;
mod check_csv;
mod check_json;
mod compare;
mod fleet;
mod fleet_csv;
mod fleet_json;
mod month;
mod month_csv;
mod month_html;
mod owed;
mod rules;
mod words;

pub use arrange::{ArrangementTable, Where, arrangements_csv, arrangements_text};
pub use arrange_html::arrangements_html;
pub use call::call_text;
pub use call_json::call_json;
pub use check::check_text;
pub use check_csv::check_csv;
pub use check_json::check_json;
pub(super) use check_json::{Set, sets};
pub use compare::{Compared, compare_csv, compare_json, compare_text};
pub use fleet::fleet_text;
pub use fleet_csv::fleet_csv;
pub use fleet_json::fleet_json;
pub use month::month_text;
pub use month_csv::month_csv;
pub use month_html::month_html;
pub use rules::{rule_set_text, rule_sets_text};
pub(super) use words::{FIRST, sets_read_as};

use crate::hours::{Callee, Filled, Hour};
use crate::id::{CompetenceId, PersonId};
use crate::model::Problem;
use crate::time::{Minutes, Moment};

/// A question about a call with its answers.
pub struct CallSheet<'a> {
    /// The job.
    pub problem: &'a Problem,
    /// What the plan is called.
    pub plan: &'a str,
    /// When the call comes.
    pub at: Moment,
    /// How long it is to last.
    pub length: Minutes,
    /// What is needed, one competence a place; empty where anybody will do.
    pub places: &'a [CompetenceId],
    /// Who was asked, least harm first.
    pub callees: &'a [Callee],
    /// The team with the least harm; `None` where nothing was needed or nobody fills it.
    pub team: Option<&'a Filled>,
    /// The hours of the night; empty where they were not asked for.
    pub night: &'a [Hour],
}

impl CallSheet<'_> {
    /// Whether what is needed cannot be had, at the moment asked or in an hour of the night; without any need,
    /// whether nobody can be called.
    #[must_use]
    pub fn short(&self) -> bool {
        let now = if self.places.is_empty() { self.callees.iter().all(|c| c.longest < self.length) } else { self.team.is_none() };
        now || self.night.iter().any(|hour| !hour.met)
    }

    /// Whether `person` holds one of the competences needed; everybody does where none is.
    fn wanted(&self, person: PersonId) -> bool {
        self.places.is_empty() || self.places.iter().any(|place| self.problem.people[person].holds(*place))
    }

    /// Codes of what `person` can do of what is needed, or of everything where nothing is.
    fn can(&self, person: PersonId) -> Vec<String> {
        let held = &self.problem.people[person].competences;
        let wanted = held.iter().filter(|c| self.places.is_empty() || self.places.contains(c));
        wanted.map(|c| self.problem.competences[*c].code.clone()).collect()
    }
}
