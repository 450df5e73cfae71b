//! The files as they are written: one struct a file, every value with its place, nothing looked up yet.

pub(super) mod crew;
pub(super) mod duties;
pub(super) mod grid;
pub(super) mod hours;
pub(super) mod job;
pub(super) mod log;
pub(super) mod machinery;
pub(super) mod phrase;
pub(super) mod pins;
pub(super) mod rest;
pub(super) mod rules;
pub(super) mod tasks;
pub(super) mod tools;
pub(super) mod watches;

use crate::diag::{Code, Diagnostic};
use crate::input::near::slip;
use crate::input::row::Row;
use crate::input::sink::Sink;
use crate::input::text::{At, Text};
use crate::input::when::{Hours, TIME_WORDS, When, Written};

/// Lists of hours of the day, `08:00-12:00, 13:00-18:00`; what cannot be read is reported and left out.
pub(super) fn hours(texts: &[Text], sink: &Sink) -> Vec<At<Hours>> {
    let mut read: Vec<At<Hours>> = Vec::new();
    for text in texts {
        let Some(hours) = Hours::parse(text.as_str()) else {
            let message = format!("`{}` is not hours of the day", text.as_str());
            let help = if Hours::all_day(text.as_str()) {
                "it begins and ends at the same time; write \"00:00-24:00\" for the whole day"
            } else {
                HOURS_HELP
            };
            sink.say(Code::HoursNotUnderstood, message, text.place(), "", help);
            continue;
        };
        if let Some(other) = read.iter().find(|o| overlap(o.value, hours)) {
            let message = format!("`{}` overlaps other hours of the same list", text.as_str());
            sink.put(
                Diagnostic::new(Code::HoursNotUnderstood, message)
                    .at(text.place(), "overlaps")
                    .also(other.place, "with these")
                    .help("let each piece begin where the one before it ends, or later"),
            );
        } else {
            read.push(At::new(hours, text.place()));
        }
    }
    read.sort_by_key(|h| h.value);
    read
}

/// How hours of the day are written, for remedies.
pub(super) const HOURS_HELP: &str = "write \"08:00-12:00\", or several with commas between";

/// Whether two pieces of one day's hours meet, those past midnight included.
fn overlap(a: Hours, b: Hours) -> bool {
    [-1440, 0, 1440].iter().any(|shift| a.from < b.to + shift && b.from + shift < a.to)
}

/// Windows and repeats; what cannot be read is reported and left out.
pub(super) fn windows(texts: &[Text], sink: &Sink) -> Vec<At<When>> {
    windows_beside(&[], texts, sink)
}

/// The same where one of `words` could have stood in their place.
pub(super) fn windows_beside(words: &[&str], texts: &[Text], sink: &Sink) -> Vec<At<When>> {
    let words = [words, &TIME_WORDS].concat();
    texts
        .iter()
        .filter_map(|text| {
            let when = When::parse(text.as_str());
            if when.is_none() {
                let message =
                    Written::no_such_date(text.as_str()).unwrap_or_else(|| format!("`{}` is not a window of time", text.as_str()));
                let help = slip(text.as_str(), &words).unwrap_or_else(|| WINDOW_HELP.to_owned());
                sink.say(Code::TimeNotUnderstood, message, text.place(), "", help);
            }
            when.map(|w| At::new(w, text.place()))
        })
        .collect()
}

/// How windows are written, for remedies.
pub(super) const WINDOW_HELP: &str = "write \"day 3 09:30-16:00\", \"day 3 22:00 - day 4 02:00\" or \"daily 08:00-08:30\"";

/// Names with text, as in `[breaks]`: every key of the table is a name.
pub(super) fn pairs(row: Option<Row<'_>>) -> Vec<(Text, Text)> {
    row.map(|mut r| r.others()).unwrap_or_default()
}
