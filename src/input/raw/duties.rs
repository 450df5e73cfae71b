//! `duties.toml` as written.

use crate::diag::{Code, Place};
use crate::input::raw::phrase::{self, Who};
use crate::input::raw::windows;
use crate::input::row::{Row, Zero};
use crate::input::text::{At, Text};
use crate::input::when::When;
use crate::model::OnWatch;
use crate::time::Minutes;

/// `duties.toml`.
#[derive(Default)]
pub(in crate::input) struct Duties {
    /// Duties.
    pub duties: Vec<Duty>,
    /// Windows in which tags are banned.
    pub bans: Vec<Ban>,
}

/// A duty.
pub(in crate::input) struct Duty {
    /// The code.
    pub code: Text,
    /// Name in full.
    pub name: Option<Text>,
    /// Fixed times.
    pub when: Vec<At<When>>,
    /// Windows of a movable duty.
    pub within: Vec<At<When>>,
    /// Length of a movable duty.
    pub hours: Option<At<Minutes>>,
    /// Whom it calls, and where that stands.
    pub who: Option<(Place, Who)>,
    /// Whether it may be left when called.
    pub leavable: bool,
    /// How it meets the watch.
    pub on_watch: OnWatch,
    /// Whether it counts as a drill.
    pub drill: bool,
    /// Whether it has all hands out.
    pub all_hands: bool,
    /// Banned tags.
    pub bans: Vec<Text>,
    /// Units it takes out.
    pub takes_out: Vec<Text>,
    /// Units it hands back.
    pub hands_back: Vec<Text>,
}

impl Duty {
    /// The units it takes out for others to hand back.
    pub(in crate::input) fn opens(&self) -> impl Iterator<Item = &Text> {
        self.takes_out.iter().filter(|unit| !self.hands_back.iter().any(|back| back.as_str() == unit.as_str()))
    }

    /// The units it hands back that others took out.
    pub(in crate::input) fn closes(&self) -> impl Iterator<Item = &Text> {
        self.hands_back.iter().filter(|unit| !self.takes_out.iter().any(|out| out.as_str() == unit.as_str()))
    }
}

/// A window in which tags are banned.
pub(in crate::input) struct Ban {
    /// When.
    pub when: Vec<At<When>>,
    /// Which tags.
    pub tags: Vec<Text>,
    /// Why.
    pub why: Option<Text>,
}

/// Reads `duties.toml`.
pub(in crate::input) fn read(mut row: Row<'_>) -> Duties {
    let duties = row.named("duty", "duty").into_iter().map(duty).collect();
    let bans = row.tables("ban").into_iter().map(ban).collect();
    row.finish();
    Duties { duties, bans }
}

/// Reads one duty.
pub(in crate::input) fn duty(named: crate::input::row::Named<'_>) -> Duty {
    let mut row = named.row;
    let sink = row.sink();
    let name = row.text("name");
    let when = windows(&row.words("when"), sink);
    let within = windows(&row.words("within"), sink);
    let hours = row.hours("hours", Zero::Barred, 24 * 7);
    match (row.has("when"), row.has("within")) {
        (None, None) => row.missing("when", "when = \"day 3 09:30-16:00\", or within = \"...\" with hours = 2"),
        (Some(at), Some(_)) => {
            let help = "keep `when` for a fixed time, or `within` and `hours` for a movable one";
            sink.say(Code::UsedTwice, "`when` and `within` both say when the duty is", at, "one of the two", help);
        }
        (None, Some(_)) => {
            row.must_say("within", "within = \"day 3 09:30 - day 4 16:00\"");
            if row.has("hours").is_none() {
                row.missing("hours", "hours = 2, how long it takes");
            }
        }
        (Some(_), None) => {
            row.must_say("when", "when = \"day 3 09:30-16:00\", or within = \"...\" with hours = 2");
            if let Some(place) = row.has("hours") {
                let help = "take `hours` out, or write `within` in place of `when`";
                sink.say(Code::UsedTwice, "a duty at a fixed time has its length from `when`", place, "not needed", help);
            }
        }
    }
    let who_texts: Vec<Text> =
        row.phrases("who").into_iter().filter(|text| text.as_str().split(',').any(|t| !t.trim().is_empty())).collect();
    let who = who_texts.first().map(Text::place).and_then(|place| phrase::who(&who_texts, sink).map(|who| (place, who)));
    row.must_say("who", "who = \"4E, M2\", or who = \"all\"");
    let leavable = row.flag("may_be_left").is_some_and(|f| f.value);
    let on_watch = match row.text("on_watch") {
        None => OnWatch::Clash,
        Some(word) if word.is("no") => OnWatch::Clash,
        Some(word) if word.is("excused") => OnWatch::Excused,
        Some(word) if word.is("done") => OnWatch::DoneOnWatch,
        Some(word) => {
            let message = format!("`{}` does not say how the duty meets the watch", word.as_str());
            let help =
                "write \"no\" (nobody on it may have the watch), \"excused\" (those on watch stay there) or \"done\" (it is done on watch)";
            sink.say(Code::NotAChoice, message, word.place(), "", help);
            OnWatch::Clash
        }
    };
    let drill = row.flag("drill").is_some_and(|f| f.value);
    let all_hands = row.flag("all_hands").is_some_and(|f| f.value);
    if let Some(place) = row.has("all_hands").filter(|_| all_hands && row.has("within").is_some()) {
        let help = "write `when` in place of `within` and `hours`, or take `all_hands` out";
        sink.say(Code::AllHandsMovable, "a duty that has all hands out is at a fixed time", place, "", help);
    }
    let bans = row.words("bans");
    let takes_out = row.words("takes_out");
    let hands_back = row.words("hands_back");
    row.finish();
    Duty { code: named.code, name, when, within, hours, who, leavable, on_watch, drill, all_hands, bans, takes_out, hands_back }
}

fn ban(mut row: Row<'_>) -> Ban {
    let sink = row.sink();
    let when = windows(&row.words("when"), sink);
    let tags = row.words("tags");
    for (key, example) in [("when", "when = \"day 3 09:30-16:00\""), ("tags", "tags = \"lift\"")] {
        row.must_say(key, example);
    }
    let why = row.text("why");
    row.finish();
    Ban { when, tags, why }
}
