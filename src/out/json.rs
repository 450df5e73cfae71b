//! `plan.json`.

use crate::report::Report;

/// The document of [`crate::report::wire`], indented by two, with a line end at the end.
///
/// # Panics
/// Never: the document has text keys and finite numbers only.
#[must_use]
pub fn plan_json(report: &Report<'_>) -> String {
    let mut text = serde_json::to_string_pretty(&report.wire()).expect("a document with text keys and finite numbers can be written");
    text.push('\n');
    text
}
