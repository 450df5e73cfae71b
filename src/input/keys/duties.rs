//! The keys of `duties.toml`.

use crate::input::keys::{KeyPage, KeyTable, MUST, NONE, key};

pub(super) const PAGE: KeyPage = KeyPage {
    file: "duties.toml",
    about: "what calls on people besides watches and tasks",
    tables: &[
        KeyTable::new(
            "duty.CODE",
            "a duty: talk, drill, bunkering, stand-by",
            &[
                key("name", "text", NONE, "name in full"),
                key("when", "WINDOWS", "must be there, or `within`", "a fixed time, once or again and again"),
                key("within", "WINDOWS", "must be there, or `when`", "where a duty lies that may move; several: once in each"),
                key("hours", "HOURS, up to 168", "must be there with `within`", "how long a duty is that may move"),
                key("who", "\"4E, M2\", \"all\", \"all but CE\", \"all OOW\" or \"all OOW but 3E\"", MUST, "whom it calls"),
                key("may_be_left", "true or false", "false", "whether people may leave it when they are called"),
                key(
                    "on_watch",
                    "\"no\", \"excused\" or \"done\"",
                    "\"no\"",
                    "nobody on it may have the watch; those on watch stay there; or it is done along with the watch",
                ),
                key("drill", "true or false", "false", "whether the rest rules see a drill in it"),
                key("all_hands", "true or false", "false", "everybody is out, so that it is its own reserve; at a fixed time only"),
                key("bans", "tags", NONE, "tasks with these tags may not run meanwhile"),
                key("takes_out", "CODES of machines", NONE, "what is out from its start"),
                key(
                    "hands_back",
                    "CODES of machines",
                    NONE,
                    "what is able again at its end; with `takes_out`, it is out while the duty is done, each time",
                ),
            ],
        ),
        KeyTable::many(
            "ban",
            "when tasks with some tags may not run",
            &[key("when", "WINDOWS", MUST, "when"), key("tags", "tags", MUST, "which"), key("why", "text", NONE, "why, for the day sheet")],
        ),
    ],
};
