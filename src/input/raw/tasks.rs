//! `tasks.toml` as written.

use crate::diag::{Code, Place};
use crate::input::raw::pairs;
use crate::input::raw::phrase::{self, After, CloseUp, Counted, Different, Hold};
use crate::input::row::{Row, Zero};
use crate::input::text::{At, Text};
use crate::input::when::Written;
use crate::time::Minutes;

/// `tasks.toml`.
pub(in crate::input) struct Tasks {
    /// Declared phases with their names, in order.
    pub phases: Vec<(Text, Text)>,
    /// Declared tags with their cautions.
    pub tags: Vec<(Text, Text)>,
    /// The tasks.
    pub rows: Vec<Task>,
    /// The first line of the file.
    pub head: Place,
    /// Whether the file had errors of syntax.
    pub broken: bool,
}

/// A task.
pub(in crate::input) struct Task {
    /// The code.
    pub code: Text,
    /// What is done.
    pub text: Option<Text>,
    /// Phase.
    pub phase: Option<Text>,
    /// Who is needed; `None` if the key is missing.
    pub needs: Option<(Place, Vec<Counted>)>,
    /// Least, typical, most.
    pub hours: Option<At<Vec<At<Minutes>>>>,
    /// Where it may stop.
    pub stop: Option<At<Stop>>,
    /// In how many parts.
    pub parts: Option<At<i64>>,
    /// Shortest spell.
    pub min_spell: Option<At<Minutes>>,
    /// Whether breaks pause it.
    pub pause: Option<At<bool>>,
    /// What it comes after.
    pub after: Vec<After>,
    /// What comes after it, for a task that the log adds.
    pub before: Vec<Text>,
    /// Tools.
    pub tools: Vec<Counted>,
    /// Tools held through waits.
    pub holds: Vec<Hold>,
    /// Not before.
    pub not_before: Option<At<Written>>,
    /// All done by.
    pub not_after: Option<At<Written>>,
    /// Tags.
    pub tags: Vec<Text>,
    /// Units it takes out.
    pub takes_out: Vec<Text>,
    /// Units it hands back.
    pub hands_back: Vec<Text>,
    /// Places one person fills throughout.
    pub same: Vec<Text>,
    /// People barred from places.
    pub different: Vec<Different>,
    /// Whether it may be done outside working hours.
    pub emergency: bool,
    /// Whether it is needed where the job is closed up early.
    pub close_up: Option<CloseUp>,
    /// The post that attends it.
    pub attended_by: Option<Text>,
}

/// The words for where a task may stop.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::input) enum Stop {
    /// At any slot.
    Any,
    /// Between parts.
    Unit,
    /// Nowhere.
    Never,
}

/// Longest task in hours.
const LONGEST: i32 = 1000;

/// Reads `tasks.toml`.
pub(in crate::input) fn read(mut row: Row<'_>) -> Tasks {
    let head = row.head();
    let broken = row.broken();
    let phases = pairs(row.table("phase"));
    let tags = pairs(row.table("tag"));
    let rows = row.named("task", "task").into_iter().map(|named| task(named, false)).collect();
    row.finish();
    Tasks { phases, tags, rows, head, broken }
}

/// Reads one task; one that is added may say what it comes before.
pub(in crate::input) fn task(named: crate::input::row::Named<'_>, added: bool) -> Task {
    let mut row = named.row;
    let sink = row.sink();
    let text = row.need_text("text", "text = \"...\", what is done");
    let phase = row.text("phase");
    let needs_texts = row.phrases("needs");
    let needs = row.has("needs").map(|key| {
        let place = needs_texts.first().map_or(key, Text::place);
        (place, phrase::counted(&needs_texts, "\"LEAD + 2 GEN\", or \"none\"", sink))
    });
    if needs.is_none() {
        row.missing("needs", "needs = \"LEAD + 2 GEN\", or needs = \"none\" if nobody works on it");
    }
    let hours = row.hours_list("hours", Zero::Barred, LONGEST);
    if row.has("hours").is_none() {
        row.missing("hours", "hours = [1.5, 2, 4] (least, typical, most), or hours = 2");
    }
    let stop = row.text("stop").and_then(|word| {
        let stop = match word.as_str().to_ascii_lowercase().as_str() {
            "any" => Some(Stop::Any),
            "unit" => Some(Stop::Unit),
            "never" => Some(Stop::Never),
            _ => None,
        };
        if stop.is_none() {
            let message = format!("`{}` does not say where the task may stop", word.as_str());
            let help = "write \"any\" (at any time), \"unit\" (only between its parts) or \"never\" (all in one go)";
            sink.say(Code::NotAChoice, message, word.place(), "", help);
        }
        stop.map(|s| At::new(s, word.place()))
    });
    let parts = row.whole("parts", 1, 1000);
    let min_spell = row.hours("min_spell", Zero::Barred, 24);
    let pause = row.flag("pause");
    let after = phrase::after(&row.words("after"), sink);
    let before = if added { row.words("before") } else { Vec::new() };
    let tools = phrase::counted(&row.phrases("tools"), "\"CRANE, 2 RACK\"", sink);
    let holds = phrase::holds(&row.words("hold"), sink);
    let not_before = row.moment("not_before");
    let not_after = row.moment("not_after");
    let tags = row.words("tags");
    let takes_out = row.words("takes_out");
    let hands_back = row.words("hands_back");
    let same = row.words("same");
    let different = phrase::different(&row.phrases("different"), sink);
    let emergency = row.flag("emergency").is_some_and(|f| f.value);
    let attended_by = row.text("attended_by");
    let close_up = row.text("close_up").and_then(|text| phrase::close_up(&text, sink));
    row.finish();
    Task {
        code: named.code,
        text,
        phase,
        needs,
        hours,
        stop,
        parts,
        min_spell,
        pause,
        after,
        before,
        tools,
        holds,
        not_before,
        not_after,
        tags,
        takes_out,
        hands_back,
        same,
        different,
        emergency,
        close_up,
        attended_by,
    }
}
