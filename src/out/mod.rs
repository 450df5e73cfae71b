//! Writers: a report as text for paper and terminal, as tables and as a document.
//!
//! Every writer is a pure function from a [`crate::report::Report`] to a `String`; the same report always
//! gives the same bytes. Nothing here touches a file or a terminal, and nothing needs colour.

mod answers;
mod below;
mod csv;
mod days;
mod head;
mod hours;
mod json;
mod labour;
mod page;
mod roster;
mod sheet;
mod tables;
#[cfg(test)]
mod tests;
mod words;

pub use csv::{people_csv, rest_csv, tasks_csv, totals_csv, watches_csv};
pub use days::{day_text, days_text, first_screen};
pub use hours::{
    CallSheet, call_json, call_text, check_csv, check_json, check_text, month_csv, month_html, month_text, rule_set_text, rule_sets_text,
};
pub use json::plan_json;
pub use roster::{Came, JobFigures, RosterView, Tried, roster_csv, roster_json, roster_sheet, roster_text, tried_json, tried_text};
