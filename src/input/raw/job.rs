//! `job.toml` as written.

use crate::diag::{Code, Place};
use crate::input::raw::phrase::{self, Counted};
use crate::input::raw::rest::{self, Rest};
use crate::input::raw::{hours, pairs};
use crate::input::row::{Row, Zero};
use crate::input::sink::Sink;
use crate::input::text::{At, Text};
use crate::input::when::{self, Hours, Written};
use crate::time::Minutes;

/// `job.toml`.
pub(in crate::input) struct Job {
    /// Name of the ship.
    pub ship: Option<Text>,
    /// Title of the job.
    pub title: Option<Text>,
    /// The start.
    pub start: Option<At<Written>>,
    /// Length in ship's days.
    pub days: Option<At<i64>>,
    /// First planning end, in place of `days`.
    pub end: Option<At<Written>>,
    /// Slot in minutes.
    pub slot: Option<At<i64>>,
    /// Offset of ship's clock at the start, in minutes.
    pub clock: Option<At<i32>>,
    /// Changes of the clock.
    pub changes: Vec<Change>,
    /// Named breaks.
    pub breaks: Vec<(Text, At<Hours>)>,
    /// Named working days.
    pub working_days: Vec<(Text, Vec<At<Hours>>)>,
    /// Names of working days of which something could not be read.
    pub broken_days: Vec<String>,
    /// Whether a break could not be read.
    pub broken_breaks: bool,
    /// Days without ordinary hours.
    pub days_off: Vec<Text>,
    /// Days on which only some hours count.
    pub short_days: Vec<(Text, Vec<At<Hours>>)>,
    /// Order of aims.
    pub aims: Vec<Text>,
    /// Rest rules.
    pub rest: Rest,
    /// Reserves.
    pub reserves: Vec<Reserve>,
    /// Milestones.
    pub milestones: Vec<Milestone>,
}

/// A change of the ship's clock.
pub(in crate::input) struct Change {
    /// When, by the old clock.
    pub at: At<Written>,
    /// The new offset in minutes.
    pub offset: At<i32>,
}

/// A reserve of people.
pub(in crate::input) struct Reserve {
    /// Where it stands.
    pub head: Place,
    /// How many of which competence.
    pub kinds: Vec<Counted>,
    /// How long a call lasts.
    pub call: Option<Minutes>,
    /// Unbooked time a day.
    pub unbooked: Option<At<Minutes>>,
    /// Between which hours.
    pub between: Option<At<Hours>>,
    /// In which modes: words, or `all but` words.
    pub modes: Option<phrase::Who>,
}

impl Reserve {
    /// Between which hours unbooked time counts: all day where nothing is said.
    pub(in crate::input) fn hours(&self) -> (Minutes, Minutes) {
        self.between.as_ref().map_or((Minutes::ZERO, Minutes::DAY), |b| (Minutes::new(b.value.from), Minutes::new(b.value.to)))
    }
}

/// A milestone.
pub(in crate::input) struct Milestone {
    /// Its code.
    pub code: Text,
    /// What must be ready.
    pub text: Option<Text>,
    /// The tasks.
    pub tasks: Vec<Text>,
    /// By when.
    pub due: Option<At<Written>>,
    /// Weight against other milestones.
    pub weight: u32,
}

/// Longest job in days; with growth to three times its length, a year and a half.
const LONGEST: i64 = 180;

/// Reads `job.toml`.
pub(in crate::input) fn read(mut row: Row<'_>) -> Job {
    let sink = row.sink();
    let ship = row.text("ship");
    let title = row.text("title");
    let start = row.moment("start");
    if row.has("start").is_none() {
        row.missing("start", "start = 2027-03-01T08:00");
    }
    let days = row.whole("days", 1, LONGEST);
    let end = row.moment("end");
    if row.has("days").is_none() && row.has("end").is_none() {
        row.missing("days", "days = 9, the number of days to plan at first");
    }
    if let (Some(days), Some(_)) = (row.has("days"), row.has("end")) {
        sink.say(Code::UsedTwice, "`days` and `end` both say when planning ends", days, "one of the two", "keep one of them");
    }
    let slot = row.whole("slot", 1, 60);
    let clock = offset(&mut row, "clock");
    if row.has("clock").is_none() {
        row.missing("clock", "clock = \"UTC+3\", the ship's clock at the start");
    }
    let aims = row.words("aims");
    let days_off = row.words("days_off");
    let changes = row.tables("clock_change").into_iter().filter_map(change).collect();
    let written = named_hours(row.table("breaks"));
    let count = written.len();
    let whole = written.iter().all(|(_, _, whole)| *whole);
    let breaks: Vec<_> = written.into_iter().filter_map(|(name, list, _)| one_break(name, &list, sink)).collect();
    let broken_breaks = !whole || breaks.len() < count;
    let named = named_hours(row.table("hours"));
    let broken_days = named.iter().filter(|(_, _, whole)| !whole).map(|(name, _, _)| name.as_str().to_owned()).collect();
    let working_days = named.into_iter().map(|(name, list, _)| (name, list)).collect();
    let short_days = named_hours(row.table("short_days")).into_iter().map(|(name, list, _)| (name, list)).collect();
    let rest = rest::read(row.table("rest"));
    let reserves = row.tables("reserve").into_iter().map(reserve).collect();
    let milestones = row.named("milestone", "milestone").into_iter().map(milestone).collect();
    row.finish();
    Job {
        ship,
        title,
        start,
        days,
        end,
        slot,
        clock,
        changes,
        breaks,
        working_days,
        broken_days,
        broken_breaks,
        days_off,
        short_days,
        aims,
        rest,
        reserves,
        milestones,
    }
}

/// Longest break. Work goes on after a break as if there were none, and whoever has one is not at rest: longer than half
/// a day it is one that ends, by a slip, before it begins.
const LONGEST_BREAK: i32 = 12 * 60;

/// A break in one piece; `None` where it is none, which is said.
fn one_break(name: Text, list: &[At<Hours>], sink: &Sink) -> Option<(Text, At<Hours>)> {
    let [one] = list else {
        if !list.is_empty() {
            let message = format!("the break `{}` has more than one piece", name.as_str());
            sink.say(Code::HoursNotUnderstood, message, name.place(), "", "give each piece a name of its own");
        }
        return None;
    };
    let Hours { from, to } = one.value;
    if to - from > LONGEST_BREAK {
        let clock = |minute: i32| format!("{:02}:{:02}", minute / 60 % 24, minute % 60);
        let message = format!("the break `{}` ends before it begins", name.as_str());
        let label = format!("past midnight it is {}", Minutes::new(to - from));
        let help = format!("write \"{}-{}\" if that is what is meant; a break is 12 h at most", clock(to), clock(from));
        sink.say(Code::EndsBeforeItBegins, message, one.place, label, help);
        return None;
    }
    Some((name, one.clone()))
}

fn offset(row: &mut Row<'_>, key: &'static str) -> Option<At<i32>> {
    let text = row.text(key)?;
    let read = when::offset(text.as_str());
    if read.is_none() {
        let message = format!("`{}` is not an offset from UTC", text.as_str());
        row.sink().say(Code::TimeNotUnderstood, message, text.place(), "", "write it like \"UTC+3\" or \"UTC-3:30\"");
    }
    read.map(|minutes| At::new(minutes, text.place()))
}

fn change(mut row: Row<'_>) -> Option<Change> {
    let at = row.moment("at");
    let offset = offset(&mut row, "clock");
    for (key, example) in [("at", "at = \"day 4 02:00\""), ("clock", "clock = \"UTC+4\"")] {
        if row.has(key).is_none() {
            row.missing(key, example);
        }
    }
    row.finish();
    Some(Change { at: at?, offset: offset? })
}

/// Names with hours of the day, and whether all of them could be read.
fn named_hours(row: Option<Row<'_>>) -> Vec<(Text, Vec<At<Hours>>, bool)> {
    let Some(row) = row else { return Vec::new() };
    let sink = row.sink();
    let read = |(name, text): (Text, Text)| {
        let pieces = text.split(&[',']);
        let read = hours(&pieces, sink);
        let whole = read.len() == pieces.len();
        (name, read, whole)
    };
    pairs(Some(row)).into_iter().map(read).collect()
}

fn reserve(mut row: Row<'_>) -> Reserve {
    let sink = row.sink();
    let head = row.head();
    let kinds = phrase::counted(&row.phrases("callable"), "\"1 OOW, 1 GEN\"", sink);
    let call = row.hours("call", Zero::Barred, 24).map(|c| c.value);
    let unbooked = row.hours("unbooked", Zero::Allowed, 1000);
    let between = match hours(&row.words("between"), sink).as_slice() {
        [] => None,
        [one] if one.value.to <= 1440 => Some(one.clone()),
        [one, ..] => {
            let message = "unbooked time counts between two hours of one day";
            sink.say(Code::HoursNotUnderstood, message, one.place, "", "write it like between = \"08:00-18:00\"");
            None
        }
    };
    let texts = row.phrases("modes");
    let modes = phrase::who(&texts, sink);
    if !kinds.is_empty() && row.has("call").is_none() {
        row.missing("call", "call = 2, the hours a call may last");
    }
    if row.has("callable").is_none() && row.has("unbooked").is_none() {
        row.missing("callable", "callable = \"1 OOW, 1 GEN\" or unbooked = 6, or both");
    }
    row.finish();
    Reserve { head, kinds, call, unbooked, between, modes }
}

/// Reads one milestone.
pub(in crate::input) fn milestone(named: crate::input::row::Named<'_>) -> Milestone {
    let mut row = named.row;
    let text = row.text("text");
    let tasks = row.words("tasks");
    let due = row.moment("due");
    if row.has("due").is_none() {
        row.missing("due", "due = \"day 9 12:00\"");
    }
    let weight = row.whole("weight", 1, 1000).map_or(1, |w| u32::try_from(w.value).unwrap_or(1));
    row.finish();
    Milestone { code: named.code, text, tasks, due, weight }
}
