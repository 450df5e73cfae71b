//! The keys of `rules.toml`.

use crate::input::keys::{Key, KeyPage, KeyTable, MUST, NONE, key};

const WITHIN: Key = key("within", "HOURS", MUST, "length of the window");
const WINDOWS: Key = key(
    "windows",
    "\"starts and ends of work\", \"every minute\", \"after 9 h of rest\", \"first work of day\", \"calendar\", \"back from work\"",
    "\"starts and ends of work\"",
    "where the windows lie",
);
const TOTALS: Key = key(
    "windows",
    "\"every moment\", \"after 9 h of rest\", \"first work of day\", \"calendar\", \"back from work\"",
    "\"every moment\"",
    "where the windows lie",
);
const RULE: &str = "set.CODE.rule.CODE";

pub(super) const PAGE: KeyPage = KeyPage {
    file: "rules.toml",
    about: "rest rules of your own",
    tables: &[
        KeyTable::new(
            "set.CODE",
            "a set of rules",
            &[
                key("name", "text", MUST, "as it is to stand on the outputs"),
                key("source", "text", MUST, "the document and clause it follows"),
                key("like", "code of a set", NONE, "a set whose rules come first"),
                key("least_rest", "HOURS, up to 24", "1, or that of `like`", "the shortest gap that is rest"),
            ],
        ),
        KeyTable::new(
            RULE,
            "a rule of it",
            &[
                key("kind", "one of the kinds below", MUST, "what it asks for"),
                key("source", "text", "that of the set", "the clause it follows"),
            ],
        ),
        KeyTable::with(
            RULE,
            "kind = \"total rest\"",
            "rest in a window, all together",
            &[WITHIN, key("at_least", "HOURS", MUST, "how much"), TOTALS],
        ),
        KeyTable::with(
            RULE,
            "kind = \"longest rest\"",
            "one rest in a window",
            &[WITHIN, key("at_least", "HOURS", MUST, "how long"), WINDOWS],
        ),
        KeyTable::with(
            RULE,
            "kind = \"best rests\"",
            "the longest few rests in a window, together",
            &[
                WITHIN,
                key("periods", "NUMBER, up to 4", MUST, "how many rests count"),
                key("at_least", "HOURS", MUST, "how much they come to"),
                WINDOWS,
            ],
        ),
        KeyTable::with(
            RULE,
            "kind = \"rest count\"",
            "so many rests of some length in a window",
            &[WITHIN, key("each", "HOURS", MUST, "how long each"), key("count", "NUMBER, up to 100", MUST, "how many"), WINDOWS],
        ),
        KeyTable::with(
            RULE,
            "kind = \"rest periods\"",
            "no more than so many rests in a window",
            &[WITHIN, key("periods", "NUMBER, up to 4", MUST, "how many at most"), WINDOWS],
        ),
        KeyTable::with(
            RULE,
            "kind = \"rest interval\"",
            "no more than so long from one rest to the next",
            &[key("at_most", "HOURS", MUST, "how long")],
        ),
        KeyTable::with(
            RULE,
            "kind = \"work\"",
            "work in a window, all together",
            &[WITHIN, key("at_most", "HOURS", MUST, "how much"), TOTALS],
        ),
        KeyTable::with(
            RULE,
            "kind = \"unbroken work\"",
            "work without a break",
            &[
                key("at_most", "HOURS", MUST, "how much"),
                key("break", "HOURS", MUST, "the shortest break"),
                key("gaps", "\"count\" or \"do not count\"", "\"count\"", "whether shorter gaps count as work"),
            ],
        ),
        KeyTable::with(
            RULE,
            "kind = \"night work\"",
            "work between two hours of the night",
            &[key("between", "CLOCK, one piece", MUST, "the night"), key("at_most", "HOURS, up to 24", "0", "how much")],
        ),
    ],
};
