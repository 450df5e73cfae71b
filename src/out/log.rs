//! The log in words.

use crate::model::Entry;
use crate::out::changes::words;
use crate::out::page::Page;
use crate::out::words::tied;
use crate::replan::Whole;

/// An entry on a line of its own.
#[must_use]
pub fn entry_line(whole: &Whole, entry: &Entry) -> String {
    let mut page = Page::default();
    line(whole, entry, &mut page);
    page.finish().trim_end().to_owned()
}

/// All entries in order of time; what was written down later than it happened is put where it belongs.
#[must_use]
pub fn log_text(whole: &Whole) -> String {
    let mut page = Page::default();
    let mut entries: Vec<(usize, &Entry)> = whole.log.entries.iter().enumerate().collect();
    entries.sort_by_key(|(position, entry)| (entry.at, *position));
    for (position, entry) in entries {
        line(whole, entry, &mut page);
        let tasks = whole.log.tasks.iter().filter(|(e, _)| *e == position);
        for (_, task) in tasks {
            page.hang("", 14, 18, &format!("adds {} {}", task.code, task.text));
        }
        let duties = whole.log.duties.iter().filter(|(e, _)| *e == position);
        for (_, duty) in duties {
            page.hang("", 14, 18, &format!("adds duty {} {}", duty.code, duty.name));
        }
    }
    page.finish()
}

fn line(whole: &Whole, entry: &Entry, page: &mut Page) {
    page.hang(&tied(&whole.parts.clock.day_time(entry.at)), 14, 14, &words::entry(whole, entry));
}
