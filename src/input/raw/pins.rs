//! `pins.toml` as written.

use crate::input::row::Row;
use crate::input::text::{At, Text};
use crate::input::when::Written;

/// One decision about a task.
pub(in crate::input) struct Pin {
    /// The task.
    pub task: Option<Text>,
    /// Who is put on it.
    pub by: Vec<Text>,
    /// The competence they bring; any that fits where it is not said.
    pub fills: Option<Text>,
    /// Who is kept off it.
    pub not: Vec<Text>,
    /// When it starts.
    pub at: Option<At<Written>>,
}

/// Reads `pins.toml`.
pub(in crate::input) fn read(mut row: Row<'_>) -> Vec<Pin> {
    let pins = row.tables("pin").into_iter().map(pin).collect();
    row.finish();
    pins
}

fn pin(mut row: Row<'_>) -> Pin {
    let task = row.need_text("task", "task = \"A12\"");
    let by = row.words("by");
    let fills = row.text("for");
    let not = row.words("not");
    let at = row.moment("at");
    // Why it was decided is for people.
    let _ = row.text("why");
    if by.is_empty() && not.is_empty() && row.has("at").is_none() {
        row.missing("by", "by = \"FT\", or not = \"EO\", or at = \"day 4 08:00\"");
    }
    row.finish();
    Pin { task, by, fills, not, at }
}
