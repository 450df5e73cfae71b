//! `rules.toml` as written: a user's own sets of rest rules.

use crate::diag::{Code, Place};
use crate::input::raw::hours;
use crate::input::raw::rest::{choice, windows};
use crate::input::row::{Named, Row, Zero};
use crate::input::text::Text;
use crate::rest::rule::{
    BestRests, Between, Kind, LongestRest, MostWork, NightWork, RestCount, RestInterval, RestPeriods, TotalRest, UnbrokenWork,
};
use crate::rest::{Edge, ShortGap, Windows};
use crate::time::Minutes;

/// A set of rest rules.
pub(in crate::input) struct OwnSet {
    /// Its code.
    pub code: Text,
    /// Its name.
    pub name: Option<Text>,
    /// Where it is from.
    pub source: Option<Text>,
    /// Another set whose rules come first.
    pub like: Option<Text>,
    /// Shortest gap that is rest.
    pub least_rest: Option<Minutes>,
    /// The rules; those that could not be read are left out.
    pub rules: Vec<OwnRule>,
    /// Whether any rule could not be read.
    pub broken: bool,
}

/// One rule of a set.
pub(in crate::input) struct OwnRule {
    /// Its code.
    pub code: Text,
    /// What it asks for.
    pub kind: Kind,
    /// Where it is from.
    pub source: Option<Text>,
    /// Where it stands.
    pub head: Place,
}

/// Longest window in hours: a year.
const YEAR: i32 = 366 * 24;

/// Reads `rules.toml`.
pub(in crate::input) fn read(mut row: Row<'_>) -> Vec<OwnSet> {
    let sets = row.named("set", "rule set").into_iter().map(set).collect();
    row.finish();
    sets
}

fn set(named: Named<'_>) -> OwnSet {
    let mut row = named.row;
    let name = row.need_text("name", "name = \"...\", as it is to stand on the outputs");
    let source = row.need_text("source", "source = \"...\", the document and clause it follows");
    let like = row.text("like");
    let least_rest = row.hours("least_rest", Zero::Barred, 24).map(|at| at.value);
    let rows = row.named("rule", "rule");
    let count = rows.len();
    let rules: Vec<OwnRule> = rows.into_iter().filter_map(rule).collect();
    if count == 0 && like.is_none() {
        row.missing("rule", "a table for each rule, like [set.CODE.rule.day]");
    }
    row.finish();
    let broken = rules.len() < count || count == 0 && like.is_none();
    OwnSet { code: named.code, name, source, like, least_rest, rules, broken }
}

/// The kinds of rules, as written.
pub(in crate::input) const KINDS: [&str; 9] =
    ["total rest", "longest rest", "best rests", "rest count", "rest periods", "rest interval", "work", "unbroken work", "night work"];

fn rule(named: Named<'_>) -> Option<OwnRule> {
    let mut row = named.row;
    let head = row.head();
    if row.has("kind").is_none() {
        row.missing("kind", &format!("kind = \"{}\", or another one of: {}", KINDS[0], KINDS[1..].join(", ")));
    }
    let words = KINDS.map(|word| (word, word));
    let word = choice(&mut row, "kind", &words);
    let source = row.text("source");
    let kind = word.and_then(|word| kind(&mut row, word));
    if word.is_some() {
        row.finish();
    }
    Some(OwnRule { code: named.code, kind: kind?, source, head })
}

/// What a rule of this kind asks for; `None` with everything that is missing or wrong said.
fn kind(row: &mut Row<'_>, word: &str) -> Option<Kind> {
    let (edge, short_gap) = (Edge::Part, ShortGap::Neither);
    match word {
        "total rest" => {
            let (window, at_least, windows) = (window(row), length(row, "at_least", 10), where_from(row, true));
            Some(Kind::TotalRest(TotalRest { window: window?, at_least: at_least?, windows: windows?, edge }))
        }
        "longest rest" => {
            let (window, at_least, windows) = (window(row), length(row, "at_least", 6), where_from(row, false));
            Some(Kind::LongestRest(LongestRest { window: window?, at_least: at_least?, windows: windows?, edge }))
        }
        "best rests" => {
            let (window, at_least, windows) = (window(row), length(row, "at_least", 10), where_from(row, false));
            let count = number(row, "periods", 4, 2);
            let count = usize::try_from(count?).ok()?;
            Some(Kind::BestRests(BestRests { window: window?, count, at_least: at_least?, windows: windows?, edge }))
        }
        "rest count" => {
            let (window, unit, windows) = (window(row), length(row, "each", 24), where_from(row, false));
            let count = number(row, "count", 100, 2);
            Some(Kind::RestCount(RestCount { window: window?, unit: unit?, count: count?, windows: windows? }))
        }
        "rest periods" => {
            let (window, windows) = (window(row), where_from(row, false));
            let count = number(row, "periods", 4, 2);
            let count = usize::try_from(count?).ok()?;
            Some(Kind::RestPeriods(RestPeriods { window: window?, count, windows: windows? }))
        }
        "rest interval" => Some(Kind::RestInterval(RestInterval { at_most: length(row, "at_most", 14)? })),
        "work" => {
            let (window, at_most, windows) = (window(row), length(row, "at_most", 14), where_from(row, true));
            Some(Kind::MostWork(MostWork { window: window?, at_most: at_most?, windows: windows?, short_gap }))
        }
        "unbroken work" => {
            let (at_most, least_break) = (length(row, "at_most", 6), length(row, "break", 1));
            let between = choice(row, "gaps", &[("count", Between::Counts), ("do not count", Between::Not)]);
            let between = if row.has("gaps").is_some() { between? } else { Between::default() };
            Some(Kind::UnbrokenWork(UnbrokenWork { at_most: at_most?, least_break: least_break?, between }))
        }
        "night work" => {
            let sink = row.sink();
            let between = hours(&row.words("between"), sink);
            row.must_say("between", "between = \"22:00-06:00\"");
            let at_most = row.hours("at_most", Zero::Allowed, 24).map(|at| at.value);
            let at_most = if row.has("at_most").is_some() { at_most? } else { Minutes::ZERO };
            let [night] = between.as_slice() else {
                if let [_, second, ..] = between.as_slice() {
                    let help = "give each night a rule of its own";
                    sink.say(Code::HoursNotUnderstood, "a rule has one night", second.place, "", help);
                }
                return None;
            };
            let (from, to) = (Minutes::new(night.value.from), Minutes::new(night.value.to));
            let to = if to > Minutes::DAY { to - Minutes::DAY } else { to };
            Some(Kind::NightWork(NightWork { from, to, at_most }))
        }
        _ => None,
    }
}

fn window(row: &mut Row<'_>) -> Option<Minutes> {
    length(row, "within", 24)
}

/// A length that must be there; `example` in hours.
fn length(row: &mut Row<'_>, key: &'static str, example: i32) -> Option<Minutes> {
    if row.has(key).is_none() {
        row.missing(key, &format!("{key} = {example}, in hours"));
    }
    row.hours(key, Zero::Barred, YEAR).map(|at| at.value)
}

fn number(row: &mut Row<'_>, key: &'static str, most: i64, example: i32) -> Option<i32> {
    if row.has(key).is_none() {
        row.missing(key, &format!("{key} = {example}"));
    }
    row.whole(key, 1, most).and_then(|at| i32::try_from(at.value).ok())
}

/// Where the windows lie: everywhere, unless said otherwise.
fn where_from(row: &mut Row<'_>, total: bool) -> Option<Windows> {
    let chosen = windows(row, "windows", total);
    if row.has("windows").is_some() { chosen } else { Some(Windows::Anchored) }
}
