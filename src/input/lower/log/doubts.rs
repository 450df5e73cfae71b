//! Entries of the log that read well by themselves and do not go with what else is known.

use crate::diag::Code;
use crate::input::raw::log::Entry as RawEntry;
use crate::input::sink::Sink;
use crate::input::times::Times;
use crate::model::{Entry, Event};

/// Reports them; `rows` are the entries as written.
pub(super) fn doubts(rows: &[&RawEntry], entries: &[Entry], times: &Times, sink: &Sink) {
    for (row, entry) in rows.iter().zip(entries) {
        match &entry.event {
            Event::Fit(person) => {
                let before = |other: &&Entry| matches!(&other.event, Event::Unfit(who, _) | Event::Limited(who, _, _) if who == person);
                if let Some(word) = &row.person
                    && !entries.iter().filter(|other| other.at <= entry.at).any(|other| before(&other))
                {
                    let message = format!("{} is logged fit again, and nothing before says otherwise", word.as_str());
                    let help = "see whether it is somebody else, or add the entry `unfit` or `limited` that is missing";
                    sink.say(Code::LogDoubtful, message, word.place(), "", help);
                }
            }
            Event::Due(_, to) if *to < times.start && times.known => {
                if let Some(at) = &row.to {
                    let message = "the new date of the milestone lies before the start of the job";
                    let label = format!("the job starts {}", times.say(times.start));
                    sink.say(Code::LogDoubtful, message, at.place, label, "correct the day, the month or the year");
                }
            }
            _ => {}
        }
    }
}
