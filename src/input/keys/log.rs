//! The keys of `log.toml`.

use crate::input::keys::{KeyPage, KeyTable, MUST, NONE, key};

/// Where a key goes with some words only.
const WORD: &str = "as the word asks";

pub(super) const PAGE: KeyPage = KeyPage {
    file: "log.toml",
    about: "what happened while the job ran; only ever added to",
    tables: &[
        KeyTable::many(
            "entry",
            "something that happened",
            &[
                key("at", "TIME", MUST, "when it happened"),
                key("what", "one of the words below", MUST, "what happened"),
                key("task", "code of a task", WORD, "the task"),
                key("by", "CODES of people", "those who were told", "who began it"),
                key("hours", "HOURS", WORD, "still to go, or added by a finding"),
                key("unit", "code of a machine", WORD, "the machine"),
                key("person", "code of a person", WORD, "the person"),
                key("without", "competences", WORD, "what the person cannot do"),
                key("tool", "code of a tool", WORD, "the tool; where there are several, all of them"),
                key("duty", "code of a duty", WORD, "the duty"),
                key("occurrence", "NUMBER, from 1", "must be there where it is repeated", "which repeat of the duty"),
                key("milestone", "code of a milestone", WORD, "the milestone"),
                key("mode", "code of a mode", WORD, "the mode"),
                key("from", "TIME", "`at`", "from when on"),
                key("until", "TIME", "until the log says otherwise", "until when"),
                key("to", "TIME", WORD, "the new time of a duty or a date, the end of a call"),
                key("note", "text", NONE, "in your words, for the hand-over"),
            ],
        ),
        KeyTable::like(
            "entry.add.CODE",
            ("tasks.toml", "task.CODE"),
            "a task that it adds",
            &[key("before", "CODES of tasks", NONE, "what it comes before")],
        ),
        KeyTable::like("entry.add_duty.CODE", ("duties.toml", "duty.CODE"), "a duty that it adds", &[]),
        KeyTable::like("entry.add_milestone.CODE", ("job.toml", "milestone.CODE"), "a date that it adds", &[]),
    ],
};
