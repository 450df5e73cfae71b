//! Writers: a report as text for paper and terminal, as tables and as a document.
//!
//! Every writer is a pure function from a [`crate::report::Report`] to a `String`; the same report always
//! gives the same bytes. Nothing here touches a file or a terminal, and nothing needs colour.

mod answers;
mod below;
mod changes;
mod csv;
mod days;
mod head;
mod hours;
mod json;
mod keys;
mod labour;
mod log;
mod options;
mod page;
mod roster;
mod sheet;
mod sole;
mod spent;
mod stops;
mod tables;
#[cfg(test)]
mod tests;
mod words;

pub use changes::{ChangeSheet, changes_json, changes_screen, changes_text};
pub use csv::{people_csv, rest_csv, tasks_csv, totals_csv, watches_csv};
pub use days::{day_text, days_text, first_screen};
pub use hours::{
    ArrangementTable, CallSheet, Compared, Where, arrangements_csv, arrangements_html, arrangements_text, call_json, call_text, check_csv,
    check_json, check_text, compare_csv, compare_json, compare_text, fleet_csv, fleet_json, fleet_text, month_csv, month_html, month_text,
    rule_set_text, rule_sets_text,
};
pub use json::plan_json;
pub use keys::{key_pages_text, keys_text};
pub use log::{entry_line, log_text};
pub use options::{OptionRow, OptionSheet, options_json, options_text};
pub use roster::{Came, JobFigures, RosterView, Tried, roster_csv, roster_json, roster_sheet, roster_text, tried_json, tried_text};
pub use sole::sole_text;
pub use spent::{norms_text, spent_text};
pub use stops::{StopRow, StopSheet, Stopped, stops_json, stops_text};
