//! `log.toml` as written: what happened while the job ran, one `[[entry]]` each, never rewritten.

use crate::diag::{Code, Place};
use crate::input::near::remedy;
use crate::input::raw::duties::{self, Duty};
use crate::input::raw::job::{self, Milestone};
use crate::input::raw::tasks::{self, Task};
use crate::input::row::{Row, Zero};
use crate::input::text::{At, Text};
use crate::input::when::Written;
use crate::time::Minutes;

/// An entry.
pub(in crate::input) struct Entry {
    /// When it happened.
    pub at: Option<At<Written>>,
    /// The word for what happened.
    pub what: Option<(Word, Place)>,
    /// The task.
    pub task: Option<Text>,
    /// Who worked on it.
    pub by: Vec<Text>,
    /// Hours still to do (`to_go`), or that a finding adds (`found`).
    pub hours: Option<At<Minutes>>,
    /// The machine.
    pub unit: Option<Text>,
    /// The person.
    pub person: Option<Text>,
    /// What the person cannot do.
    pub without: Vec<Text>,
    /// The tool.
    pub tool: Option<Text>,
    /// The duty.
    pub duty: Option<Text>,
    /// Which repeat of the duty.
    pub occurrence: Option<At<i64>>,
    /// The milestone.
    pub milestone: Option<Text>,
    /// The mode.
    pub mode: Option<Text>,
    /// From when on.
    pub from: Option<At<Written>>,
    /// Until when.
    pub until: Option<At<Written>>,
    /// To when: the new time of a duty or a milestone, the end of a call.
    pub to: Option<At<Written>>,
    /// In somebody's words.
    pub note: Option<Text>,
    /// Tasks it adds.
    pub tasks: Vec<Task>,
    /// Duties it adds.
    pub duties: Vec<Duty>,
    /// Milestones it adds.
    pub milestones: Vec<Milestone>,
}

/// The words for what happened, with the keys that go with each: those it needs, then those it may have.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::input) struct Word {
    /// The word.
    pub text: &'static str,
    /// Keys it needs.
    pub needs: &'static [&'static str],
    /// Keys it may have.
    pub may: &'static [&'static str],
}

/// All words.
pub(in crate::input) const WORDS: [Word; 18] = [
    Word { text: "started", needs: &["task"], may: &["by"] },
    Word { text: "stopped", needs: &["task"], may: &[] },
    Word { text: "done", needs: &["task"], may: &[] },
    Word { text: "to_go", needs: &["task", "hours"], may: &[] },
    Word { text: "dropped", needs: &["task"], may: &[] },
    Word { text: "found", needs: &["task", "hours"], may: &[] },
    Word { text: "out", needs: &["unit"], may: &["from", "until"] },
    Word { text: "back", needs: &["unit"], may: &[] },
    Word { text: "unfit", needs: &["person"], may: &["from", "until"] },
    Word { text: "limited", needs: &["person", "without"], may: &["until"] },
    Word { text: "fit", needs: &["person"], may: &[] },
    Word { text: "gone", needs: &["tool"], may: &["from", "until"] },
    Word { text: "returned", needs: &["tool"], may: &[] },
    Word { text: "call", needs: &["person", "to"], may: &[] },
    Word { text: "moved", needs: &["duty", "to"], may: &["occurrence"] },
    Word { text: "due", needs: &["milestone", "to"], may: &[] },
    Word { text: "mode", needs: &["mode"], may: &["from", "until"] },
    Word { text: "note", needs: &[], may: &[] },
];

impl Word {
    /// The key of what the entry is about, if it is about something.
    pub(in crate::input) fn subject(self) -> Option<&'static str> {
        self.needs.first().copied()
    }

    /// The other keys that go with it.
    pub(in crate::input) fn keys(self) -> Vec<&'static str> {
        self.needs.iter().skip(1).chain(self.may).copied().collect()
    }
}

/// Keys that go with some words only.
const KEYS: [&str; 14] =
    ["task", "by", "hours", "unit", "person", "without", "tool", "duty", "occurrence", "milestone", "mode", "from", "until", "to"];

/// Reads `log.toml`.
pub(in crate::input) fn read(mut row: Row<'_>) -> Vec<Entry> {
    let entries = row.tables("entry").into_iter().map(entry).collect();
    row.finish();
    entries
}

fn entry(mut row: Row<'_>) -> Entry {
    let at = row.moment("at");
    if row.has("at").is_none() {
        row.missing("at", "at = \"day 4 14:20\", when it happened");
    }
    let what = word(&mut row);
    if let Some((word, _)) = what {
        fits(&row, word);
    }
    let tasks = row.named("add", "task").into_iter().map(|named| tasks::task(named, true)).collect();
    let duties = row.named("add_duty", "duty").into_iter().map(duties::duty).collect();
    let milestones = row.named("add_milestone", "milestone").into_iter().map(job::milestone).collect();
    let entry = Entry {
        at,
        what,
        task: row.text("task"),
        by: row.words("by"),
        hours: row.hours("hours", Zero::Barred, 1000),
        unit: row.text("unit"),
        person: row.text("person"),
        without: row.words("without"),
        tool: row.text("tool"),
        duty: row.text("duty"),
        occurrence: row.whole("occurrence", 1, 100_000),
        milestone: row.text("milestone"),
        mode: row.text("mode"),
        from: row.moment("from"),
        until: row.moment("until"),
        to: row.moment("to"),
        note: row.text("note"),
        tasks,
        duties,
        milestones,
    };
    row.finish();
    entry
}

fn word(row: &mut Row<'_>) -> Option<(Word, Place)> {
    let text = row.need_text("what", "what = \"note\", or what else happened")?;
    let found = WORDS.iter().find(|w| text.is(w.text));
    if found.is_none() {
        let message = format!("`{}` is not something the log can say", text.as_str());
        let words: Vec<&str> = WORDS.iter().map(|w| w.text).collect();
        let help = remedy(text.as_str(), [], &words).unwrap_or_else(|| format!("write one of: {}", words.join(", ")));
        row.sink().say(Code::NotAChoice, message, text.place(), "", help);
    }
    found.map(|w| (*w, text.place()))
}

/// Reports keys that are missing for `word`, and keys that mean nothing with it.
fn fits(row: &Row<'_>, word: Word) {
    for key in word.needs.iter().filter(|k| row.has(k).is_none()) {
        row.missing(key, &format!("{key} = ..., which an entry `{}` needs", word.text));
    }
    if word.needs.contains(&"without") && row.has("without").is_some() {
        row.must_say("without", "without = \"LIFT\", what the person cannot do, or what = \"unfit\" for all of it");
    }
    for key in KEYS.iter().filter(|k| !word.needs.contains(k) && !word.may.contains(k)) {
        if let Some(place) = row.has(key) {
            let known: Vec<&str> = word.needs.iter().chain(word.may).copied().collect();
            let help = match (word.text, *key) {
                // What is left is said of a task that was stopped, as of any other.
                ("stopped", "hours") => {
                    "say how long it still takes in an entry of its own: what = \"to_go\", with task and hours".to_owned()
                }
                _ if known.is_empty() => "take it out".to_owned(),
                _ => format!("with it go: {}", known.join(", ")),
            };
            let message = format!("`{key}` means nothing with what = \"{}\"", word.text);
            row.sink().say(Code::UnknownKey, message, place, "", help);
        }
    }
}
