//! The `[rest]` table of `job.toml` as written: rules, readings, exceptions.

use crate::diag::{Code, Place};
use crate::input::length::length_minutes;
use crate::input::near::nearest;
use crate::input::row::{Row, Zero};
use crate::input::sink::Sink;
use crate::input::text::{At, Text};
use crate::input::when::Written;
use crate::rest::{
    CallOuts, Counted, Departure, Divided, Drills, Edge, Emergencies, Exactly, ExceptionGap, OnCall, Readings, ShortGap, Unknown, Windows,
};
use crate::time::Minutes;

/// The `[rest]` table.
#[derive(Default)]
pub(in crate::input) struct Rest {
    /// Code of the rules for everybody.
    pub rules: Option<Text>,
    /// Code of the rules for those under 18.
    pub young: Option<Text>,
    /// From when the record is complete for everybody.
    pub recorded_from: Option<At<Written>>,
    /// Where `rules` or the readings stand.
    pub head: Option<Place>,
    /// Readings other than the default.
    pub readings: Chosen,
    /// Exceptions that a flag state and an agreement allow.
    pub exceptions: Option<Exceptions>,
}

/// Readings that are chosen; `None` leaves what a set has.
#[derive(Clone, Copy, Default)]
pub(in crate::input) struct Chosen {
    day: Option<Windows>,
    week: Option<Windows>,
    split: Option<Windows>,
    divided: Option<Divided>,
    /// Shortest gap that is rest.
    pub least_rest: Option<Minutes>,
    short_gap: Option<ShortGap>,
    edge: Option<Edge>,
    drills: Option<Drills>,
    emergencies: Option<Emergencies>,
    on_call: Option<OnCall>,
    call_outs: Option<CallOuts>,
    exception_gap: Option<ExceptionGap>,
    counted: Option<Counted>,
    exactly: Option<Exactly>,
    unknown: Option<Unknown>,
    departure: Option<Departure>,
}

/// The `[rest.exceptions]` table.
pub(in crate::input) struct Exceptions {
    /// Where it stands.
    pub head: Place,
    /// The flag state.
    pub flag: Option<Text>,
    /// The agreement.
    pub agreement: Option<Text>,
    /// Whether 70 h in 7 days are allowed.
    pub seventy_hours: bool,
    /// Whether three periods are.
    pub three_periods: bool,
}

impl Chosen {
    /// `readings` with what is chosen in their place.
    pub(in crate::input) fn over(&self, readings: Readings) -> Readings {
        Readings {
            day: self.day.unwrap_or(readings.day),
            week: self.week.unwrap_or(readings.week),
            split: self.split.unwrap_or(readings.split),
            divided: self.divided.unwrap_or(readings.divided),
            short_gap: self.short_gap.unwrap_or(readings.short_gap),
            edge: self.edge.unwrap_or(readings.edge),
            drills: self.drills.unwrap_or(readings.drills),
            emergencies: self.emergencies.unwrap_or(readings.emergencies),
            on_call: self.on_call.unwrap_or(readings.on_call),
            call_outs: self.call_outs.unwrap_or(readings.call_outs),
            exception_gap: self.exception_gap.unwrap_or(readings.exception_gap),
            counted: self.counted.unwrap_or(readings.counted),
            exactly: self.exactly.unwrap_or(readings.exactly),
            unknown: self.unknown.unwrap_or(readings.unknown),
            departure: self.departure.unwrap_or(readings.departure),
        }
    }
}

/// Reads the table.
pub(in crate::input) fn read(row: Option<Row<'_>>) -> Rest {
    let Some(mut row) = row else { return Rest::default() };
    let rules = row.text("rules");
    let young = row.text("under_18");
    let recorded_from = row.moment("recorded_from");
    let table = row.table("readings");
    let head = table.as_ref().map(Row::head).or_else(|| rules.as_ref().map(Text::place));
    let readings = table.map(readings).unwrap_or_default();
    let exceptions = row.table("exceptions").map(exceptions);
    row.finish();
    Rest { rules, young, recorded_from, head, readings, exceptions }
}

fn readings(mut row: Row<'_>) -> Chosen {
    let chosen = Chosen {
        day: windows(&mut row, "day", true),
        week: windows(&mut row, "week", true),
        split: windows(&mut row, "split", false),
        divided: choice(&mut row, "divided", &[("least hours", Divided::LeastHours), ("all rest", Divided::AllRest)]),
        least_rest: row.hours("least_rest", Zero::Barred, 24).map(|at| at.value),
        short_gap: choice(&mut row, "short_gap", &[("neither", ShortGap::Neither), ("work", ShortGap::Work)]),
        edge: choice(&mut row, "edge", &[("part", Edge::Part), ("whole", Edge::Whole)]),
        drills: choice(&mut row, "drill", &[("work", Drills::Count), ("exempt", Drills::Exempt)]),
        emergencies: choice(
            &mut row,
            "emergency",
            &[("excused", Emergencies::Excused), ("removes", Emergencies::Removes), ("nothing", Emergencies::Nothing)],
        ),
        on_call: choice(&mut row, "on_call", &[("rest", OnCall::Rest), ("work", OnCall::Work)]),
        call_outs: choice(&mut row, "call_out", &[("rest lost", CallOuts::RestLost), ("below least", CallOuts::BelowLeast)]),
        exception_gap: choice(
            &mut row,
            "exception_gap",
            &[
                ("longer of two", ExceptionGap::LongerOfTwo),
                ("first", ExceptionGap::First),
                ("leave waives", ExceptionGap::LeaveWaives),
                ("hours", ExceptionGap::Hours),
            ],
        ),
        counted: choice(&mut row, "clock_change", &[("elapsed", Counted::Elapsed), ("as shown", Counted::Shown)]),
        exactly: choice(&mut row, "exactly", &[("passes", Exactly::Passes), ("fails", Exactly::Fails)]),
        unknown: choice(&mut row, "before_record", &[("unknown", Unknown::Tried), ("rest", Unknown::Rest)]),
        departure: choice(&mut row, "departure", &[("10 h in 24", Departure::Rested), ("6 h in 12", Departure::SixInTwelve)]),
    };
    row.finish();
    chosen
}

fn exceptions(mut row: Row<'_>) -> Exceptions {
    let head = row.head();
    let (flag, agreement) = (row.text("flag"), row.text("agreement"));
    let allowed = |at: Option<At<bool>>| at.is_some_and(|at| at.value);
    let (seventy_hours, three_periods) = (allowed(row.flag("seventy_hours")), allowed(row.flag("three_periods")));
    row.finish();
    Exceptions { head, flag, agreement, seventy_hours, three_periods }
}

/// One of a few words.
pub(super) fn choice<T: Copy>(row: &mut Row<'_>, key: &'static str, words: &[(&str, T)]) -> Option<T> {
    let text = row.text(key)?;
    let found = words.iter().find(|(word, _)| text.is(word)).map(|(_, value)| *value);
    if found.is_none() {
        not_a_choice(&text, words.iter().map(|(word, _)| *word), "", row.sink());
    }
    found
}

fn not_a_choice<'a>(text: &Text, words: impl Iterator<Item = &'a str> + Clone, more: &str, sink: &Sink) {
    let message = format!("`{}` is not one of the choices", text.as_str());
    let help = match nearest(text.as_str(), words.clone()) {
        Some(near) => format!("write \"{near}\" if that is what is meant"),
        None => format!("the choices: \"{}\"{more}", words.collect::<Vec<_>>().join("\", \"")),
    };
    sink.say(Code::NotAChoice, message, text.place(), "", help);
}

/// Where windows lie, in words: `every moment` (for totals; else `starts and ends of work`), `every minute`, `after 6 h
/// of rest`, `first work of day`, `calendar`, `back from work`.
pub(super) fn windows(row: &mut Row<'_>, key: &'static str, total: bool) -> Option<Windows> {
    let text = row.text(key)?;
    let every = if total { "every moment" } else { "starts and ends of work" };
    let words = [
        (every, Windows::Anchored),
        ("every minute", Windows::EveryMinute),
        ("first work of day", Windows::FirstWorkOfDay),
        ("calendar", Windows::Calendar),
        ("back from work", Windows::BackFromWorkStart),
    ];
    // For totals every minute is every moment, and would only be slower.
    let words = || words.iter().filter(|(_, windows)| !total || *windows != Windows::EveryMinute);
    if let Some((_, windows)) = words().find(|(word, _)| text.is(word)) {
        return Some(*windows);
    }
    let rest = text.after_word("after").and_then(|rest| {
        let lower = rest.as_str().to_ascii_lowercase();
        let length = lower.strip_suffix("of rest").or_else(|| lower.strip_suffix("off")).unwrap_or(&lower);
        length_minutes(length).and_then(|minutes| i32::try_from(minutes).ok()).filter(|minutes| (1..=7 * 1440).contains(minutes))
    });
    if rest.is_none() {
        not_a_choice(&text, words().map(|(word, _)| *word), ", \"after 6 h of rest\"", row.sink());
    }
    rest.map(|minutes| Windows::AfterRest(Minutes::new(minutes)))
}
