//! The keys of `watches.toml`.

use crate::input::keys::{Key, KeyPage, KeyTable, MUST, NONE, key};

/// How it is said who has a watch.
const BY: &str = "\"3E\", \"3E or AE\", \"open\", \"open but 4E\" or \"3E, 4E, AE in turn\"";

const STAND: &[Key] = &[
    key("post", "code of a post", MUST, "which post"),
    key("when", "WINDOWS", MUST, "when"),
    key("by", BY, MUST, "who has it"),
    key("why", "text", NONE, "why, for who reads the roster"),
];

pub(super) const PAGE: KeyPage = KeyPage {
    file: "watches.toml",
    about: "posts and who stands them when",
    tables: &[
        KeyTable::new(
            "post.CODE",
            "a post, manned without a gap",
            &[
                key("name", "text", NONE, "name in full"),
                key("needs", "a competence", "the code of the post", "what lets somebody stand it"),
                key("manned", "\"always\", WINDOWS, or \"mode arrival\"", "\"always\"", "when it is manned"),
                key("attends", "NUMBER, up to 99", "1", "how many tasks without people its watch may attend at once"),
            ],
        ),
        KeyTable::new(
            "line.CODE",
            "what is stood every day; CODE is what it is called",
            &[
                key("hours", "CLOCK", MUST, "its watches"),
                key("from", "TIME or a day", "the start", "from when on it is stood"),
                key("to", "TIME or a day", "the end", "until when"),
                key(
                    "POST",
                    BY,
                    NONE,
                    "who stands it on that post; \"in turn\" goes day by day, \"or\" and \"open\" are decided by the roster",
                ),
            ],
        ),
        KeyTable::many("stand", "a single watch", STAND),
        KeyTable::many("cover", "watches of a line that somebody else stands for a while", STAND),
    ],
};
