//! Times typed on the command line: the same forms as in the files, without a file to point into.

use crate::clock::ShipClock;
use crate::diag::{Place, Sources};
use crate::input::sink::Sink;
use crate::input::text::At;
use crate::input::times::resolve;
use crate::input::when::{Written, moment_help};
use crate::time::Moment;

/// The moment that `text` (`day 4 14:20`, `2027-03-04T14:20`) means by `clock`.
///
/// # Errors
/// What is wrong and what to do, in one line.
pub fn moment(text: &str, clock: &ShipClock) -> Result<Moment, String> {
    let written = Written::parse(text.trim()).filter(|written| written.minute().is_some());
    let Some(written) = written else { return Err(format!("{}; {}", Written::why_not(text.trim()), moment_help(text))) };
    let sink = Sink::default();
    let place = Place { file: Sources::default().add("", ""), start: 0, end: 0 };
    resolve(clock, &At::new(written, place), true, &sink).ok_or_else(|| {
        let found = sink.into_found();
        let said: Vec<String> = found.into_iter().map(|d| [vec![d.message], d.help].concat().join("; ")).collect();
        format!("`{text}` cannot be used: {}", said.join("; "))
    })
}
