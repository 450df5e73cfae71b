//! The keys of `pins.toml`.

use crate::input::keys::{KeyPage, KeyTable, MUST, NONE, key};

pub(super) const PAGE: KeyPage = KeyPage {
    file: "pins.toml",
    about: "what you decide yourself; written by `turnto pin`",
    tables: &[KeyTable::many(
        "pin",
        "a decision about a task: `by`, `not` or `at`, or several of them",
        &[
            key("task", "code of a task", MUST, "which task"),
            key("by", "CODES of people", NONE, "who is on it, through all of it"),
            key("for", "a competence", "one that fits", "which place they take"),
            key("not", "CODES of people", NONE, "who is kept off it"),
            key("at", "TIME", NONE, "when it starts"),
            key("why", "text", NONE, "why, for who reads the file after you"),
        ],
    )],
};
