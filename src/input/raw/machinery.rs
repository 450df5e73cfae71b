//! `machinery.toml` as written.

use crate::diag::{Code, Place};
use crate::input::raw::phrase::{self, Counted};
use crate::input::raw::{windows, windows_beside};
use crate::input::row::{Named, Row, Zero};
use crate::input::text::{At, Text};
use crate::input::when::When;
use crate::time::Minutes;

/// `machinery.toml`.
#[derive(Default)]
pub(in crate::input) struct Machinery {
    /// Machines.
    pub units: Vec<Unit>,
    /// Groups.
    pub groups: Vec<Group>,
    /// Sets never out together.
    pub never_together: Vec<NeverTogether>,
    /// Modes.
    pub modes: Vec<Mode>,
    /// Whether the file had errors of syntax.
    pub broken: bool,
}

/// A machine.
pub(in crate::input) struct Unit {
    /// The code.
    pub code: Text,
    /// Name in full.
    pub name: Option<Text>,
    /// State at the start.
    pub state: Option<Text>,
    /// Out for other reasons.
    pub out: Vec<At<When>>,
}

/// A group.
pub(in crate::input) struct Group {
    /// The code.
    pub code: Text,
    /// Name in full.
    pub name: Option<Text>,
    /// Members.
    pub units: Vec<Text>,
    /// How long it may be short.
    pub lasts: Option<At<Minutes>>,
    /// How long it must then be whole.
    pub recover: Option<At<Minutes>>,
}

/// A set never out together.
pub(in crate::input) struct NeverTogether {
    /// Where it stands.
    pub head: Place,
    /// The machines.
    pub units: Vec<Text>,
    /// How many may be out at once.
    pub most_out: Option<At<i64>>,
}

/// A mode.
pub(in crate::input) struct Mode {
    /// The code.
    pub code: Text,
    /// Name in full.
    pub name: Option<Text>,
    /// When it holds.
    pub when: ModeWhen,
    /// What it needs.
    pub needs: Vec<Counted>,
    /// What a missing unit weighs.
    pub weight: u32,
}

/// When a mode holds.
pub(in crate::input) enum ModeWhen {
    /// Whenever no other does.
    Otherwise(Place),
    /// At these times.
    At(Vec<At<When>>),
}

/// Reads `machinery.toml`.
pub(in crate::input) fn read(mut row: Row<'_>) -> Machinery {
    let broken = row.broken();
    let units = row.named("unit", "unit").into_iter().map(unit).collect();
    let groups = row.named("group", "group").into_iter().map(group).collect();
    let never_together = row.tables("never_together").into_iter().map(never_together).collect();
    let modes = row.named("mode", "mode").into_iter().map(mode).collect();
    row.finish();
    Machinery { units, groups, never_together, modes, broken }
}

fn unit(named: Named<'_>) -> Unit {
    let mut row = named.row;
    let sink = row.sink();
    if let Some(name) = named.plain {
        return Unit { code: named.code, name: Some(name), state: None, out: Vec::new() };
    }
    let name = row.text("name");
    let state = row.text("state");
    let out = windows(&row.words("out"), sink);
    row.finish();
    Unit { code: named.code, name, state, out }
}

fn group(named: Named<'_>) -> Group {
    let mut row = named.row;
    let sink = row.sink();
    let name = row.text("name");
    let units = row.words("units");
    if row.has("units").is_none() {
        row.missing("units", "units = \"G1, G2\"");
    }
    let lasts = row.hours("lasts", Zero::Barred, 1000);
    let recover = row.hours("recover", Zero::Allowed, 1000);
    if let (Some(place), None) = (row.has("recover"), row.has("lasts")) {
        let help = "add `lasts`, how long the group may be short in a row, or take `recover` out";
        sink.say(Code::MissingKey, "`recover` says nothing without `lasts`", place, "", help);
    }
    row.finish();
    Group { code: named.code, name, units, lasts, recover }
}

fn never_together(mut row: Row<'_>) -> NeverTogether {
    let head = row.head();
    let units = row.words("units");
    let most_out = row.whole("most_out", 0, 1000);
    row.finish();
    NeverTogether { head, units, most_out }
}

fn mode(named: Named<'_>) -> Mode {
    let mut row = named.row;
    let sink = row.sink();
    let name = row.text("name");
    let texts = row.words("when");
    let otherwise = texts.iter().find(|t| t.is("otherwise")).map(Text::place);
    let when = match otherwise {
        Some(place) => ModeWhen::Otherwise(place),
        None => ModeWhen::At(windows_beside(&["otherwise"], &texts, sink)),
    };
    row.must_say("when", "when = \"day 3 09:30-16:00\", or when = \"otherwise\"");
    let needs = phrase::counted(&row.phrases("needs"), "\"2 GEN, 1 EMG\"", sink);
    let weight = row.whole("weight", 1, 1000).map_or(1, |w| u32::try_from(w.value).unwrap_or(1));
    row.finish();
    Mode { code: named.code, name, when, needs, weight }
}
