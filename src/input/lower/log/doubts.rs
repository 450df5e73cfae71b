//! Entries of the log that read well by themselves and do not go with what else is known.

use crate::diag::{Code, Diagnostic};
use crate::id::TaskId;
use crate::input::raw::log::Entry as RawEntry;
use crate::input::sink::Sink;
use crate::input::times::Times;
use crate::model::{Entry, Event};
use crate::time::Minutes;

/// Reports them; `rows` are the entries as written.
pub(super) fn doubts(rows: &[&RawEntry], entries: &[Entry], times: &Times, sink: &Sink) {
    for (number, (row, entry)) in rows.iter().zip(entries).enumerate() {
        said_twice(number, rows, entries, sink);
        match &entry.event {
            Event::Call(_, to) if *to - entry.at > Minutes::DAY => {
                if let Some(at) = &row.to {
                    let message = format!("the call lasts {}", *to - entry.at);
                    let help = "see whether it has the right day; two calls with rest between them are two entries";
                    sink.say(Code::LogDoubtful, message, at.place, "in one piece", help);
                }
            }
            Event::Started(task, _) | Event::Stopped(task) => begun_again(*task, number, rows, entries, times, sink),
            Event::Fit(person) => {
                let before = |other: &&Entry| matches!(&other.event, Event::Unfit(who, _) | Event::Limited(who, _, _) if who == person);
                if let Some(word) = &row.person
                    && !sink.is_unsure_anywhere(word.place())
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

/// Reports an entry that says what an earlier one says, of the same time: what adds something, such as hours that were found,
/// counts for each of them.
fn said_twice(number: usize, rows: &[&RawEntry], entries: &[Entry], sink: &Sink) {
    let entry = &entries[number];
    if entry.event == Event::Note {
        return;
    }
    let same = |other: &Entry| (other.at, other.from, &other.event) == (entry.at, entry.from, &entry.event);
    let Some(before) = entries[..number].iter().position(same) else { return };
    let (Some((_, place)), Some((_, first))) = (rows[number].what, rows[before].what) else { return };
    sink.put(
        Diagnostic::new(Code::LogDoubtful, "this entry says what another one says, of the same time, and both count")
            .at(place, "again")
            .also(first, "the other one")
            .help("take this one out if it happened once, or give it the time when it happened again"),
    );
}

/// Reports an entry that has somebody at a task after it was done or dropped, where nothing between the two opens it again;
/// at whichever of the two was written later.
fn begun_again(task: TaskId, number: usize, rows: &[&RawEntry], entries: &[Entry], times: &Times, sink: &Sink) {
    let when = |n: usize| (entries[n].at, n);
    let about = |event: &Event| match event {
        Event::Started(of, _) | Event::Done(of) | Event::Dropped(of) | Event::ToGo(of, _) | Event::Found(of, _) => *of == task,
        _ => false,
    };
    let before = (0..entries.len()).filter(|n| when(*n) < when(number) && about(&entries[*n].event)).max_by_key(|n| when(*n));
    let Some(before) = before else { return };
    let ended = match entries[before].event {
        Event::Done(_) => "done",
        Event::Dropped(_) => "dropped",
        _ => return,
    };
    let (Some(word), Some(other)) = (&rows[number].task, &rows[before].task) else { return };
    let said = if matches!(entries[number].event, Event::Started(..)) { "begun" } else { "broken off" };
    let message = format!("{} is logged {said} after it was {ended} {}", word.as_str(), times.say(entries[before].at));
    let (last, first) = if number > before { (word, other) } else { (other, word) };
    sink.put(
        Diagnostic::new(Code::LogDoubtful, message)
            .at(last.place(), "")
            .also(first.place(), "and here")
            .help("see whether another task is meant; what a task that was done needs more is logged as `found`"),
    );
}
