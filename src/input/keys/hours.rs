//! The columns of `hours.csv`.

use crate::input::keys::{KeyPage, KeyTable, MUST, NONE, key};

pub(super) const PAGE: KeyPage = KeyPage {
    file: "hours.csv",
    about: "recorded hours, a row from-to or a grid of half-hours a day",
    tables: &[
        KeyTable::with(
            "",
            "rows from-to",
            "a row for each stretch of work",
            &[
                key("person", "code of a person", MUST, "who"),
                key("from", "TIME", MUST, "from when"),
                key("to", "TIME", MUST, "to when"),
                key("kind", "watch, task, duty, call, drill, emergency or oncall", MUST, "what it was"),
                key("note", "text", NONE, "in words; the reason of an emergency"),
            ],
        ),
        KeyTable::with(
            "",
            "a grid",
            "a row for each person and day, which then says everything of that day",
            &[
                key("person", "code of a person", MUST, "who"),
                key("date", "DATE or day 4", MUST, "the day; `day` is as good"),
                key(
                    "HALF_HOUR",
                    "a mark",
                    "rest",
                    "48 columns, 00:00 to 23:30: what the person did; `turnto explain C512` says how to mark",
                ),
                key("note", "text", NONE, "in words; `comments` is as good"),
            ],
        ),
    ],
};
