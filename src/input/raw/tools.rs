//! `tools.toml` as written.

use crate::input::raw::windows;
use crate::input::row::Row;
use crate::input::text::{At, Text};
use crate::input::when::{When, Written};

/// `tools.toml`.
#[derive(Default)]
pub(in crate::input) struct Tools {
    /// Tools.
    pub tools: Vec<Tool>,
}

/// A tool.
pub(in crate::input) struct Tool {
    /// The code.
    pub code: Text,
    /// Name in full.
    pub name: Option<Text>,
    /// How many there are.
    pub number: Option<At<i64>>,
    /// When it cannot be had.
    pub away: Vec<At<When>>,
    /// Aboard from.
    pub from: Option<At<Written>>,
    /// Aboard to.
    pub to: Option<At<Written>>,
    /// Calibrated until.
    pub calibrated_until: Option<At<chrono::NaiveDate>>,
}

/// Reads `tools.toml`.
pub(in crate::input) fn read(mut row: Row<'_>) -> Tools {
    let tools = row.named("tool", "tool").into_iter().map(tool).collect();
    row.finish();
    Tools { tools }
}

fn tool(named: crate::input::row::Named<'_>) -> Tool {
    let mut row = named.row;
    let sink = row.sink();
    if let Some(name) = named.plain {
        let (number, away, from, to, calibrated_until) = (None, Vec::new(), None, None, None);
        return Tool { code: named.code, name: Some(name), number, away, from, to, calibrated_until };
    }
    let name = row.text("name");
    let number = row.whole("number", 0, 1000);
    let away = windows(&row.words("away"), sink);
    let from = row.moment("from");
    let to = row.moment("to");
    let calibrated_until = row.date("calibrated_until");
    row.finish();
    Tool { code: named.code, name, number, away, from, to, calibrated_until }
}
