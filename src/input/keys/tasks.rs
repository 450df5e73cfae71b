//! The keys of `tasks.toml`.

use crate::input::keys::{KeyPage, KeyTable, MUST, NONE, key};

pub(super) const PAGE: KeyPage = KeyPage {
    file: "tasks.toml",
    about: "the pieces of the overhaul: people, hours, order, tools",
    tables: &[
        KeyTable::new("phase", "phases, in their order", &[key("CODE", "text", NONE, "name of a phase")]),
        KeyTable::new(
            "tag",
            "this ship's own cautions",
            &[key(
                "TAG",
                "text",
                "the caution that is built in, for the usual tags",
                "the caution on the day sheet of tasks with this tag",
            )],
        ),
        KeyTable::new(
            "task.CODE",
            "a piece of work; CODE is what other files say",
            &[
                key("text", "text", MUST, "what is done"),
                key("phase", "code of a phase", "a phase of its own, printed as `-`", "the phase it counts in"),
                key(
                    "needs",
                    "\"LEAD + 2 GEN\", or \"none\"",
                    MUST,
                    "who works on it: different people, together from start to end of a spell",
                ),
                key("hours", "HOURS, or [least, typical, most]", MUST, "how long it takes them; planned with the typical ones"),
                key(
                    "stop",
                    "\"any\", \"unit\" or \"never\"",
                    "\"any\", or \"unit\" with `parts`",
                    "where it may stop: any time, between parts, not at all",
                ),
                key("parts", "NUMBER", "one", "parts between which alone it may stop"),
                key("min_spell", "HOURS, up to 24", "1", "the shortest spell of a task that may stop at any time"),
                key(
                    "pause",
                    "true or false",
                    "true; false with the tags running, pressure and tension",
                    "whether a named break pauses what may not stop",
                ),
                key(
                    "after",
                    "\"A13\", \"A20 + 12h\"; several with commas",
                    NONE,
                    "what is done before it, with a wait that runs day and night",
                ),
                key("tools", "\"CRANE, 2 RACK\"", NONE, "what it blocks while somebody is at it"),
                key("hold", "\"SOAK until A22\"", NONE, "a tool it keeps from its start to the end of a later task"),
                key("not_before", "TIME", NONE, "it may not begin before"),
                key("not_after", "TIME", NONE, "it must be done by then; a milestone is an aim, this is not"),
                key("tags", "words with commas", NONE, "cautions on the day sheet, and what bans name"),
                key("takes_out", "CODES of machines", NONE, "what is out from its first start"),
                key("hands_back", "CODES of machines", NONE, "what is able again at its end"),
                key("same", "competences", NONE, "places that one person fills through all its spells"),
                key(
                    "different",
                    "\"MEAS not from A44, A45\" or \"MEAS not LEAD of A44\"",
                    NONE,
                    "who was on the other task may not fill this place",
                ),
                key("emergency", "true or false", "false", "it may be done outside ordinary hours; rest rules hold all the same"),
                key(
                    "attended_by",
                    "code of a post",
                    "must be there with needs = \"none\"",
                    "whose watch looks after a task without people",
                ),
                key(
                    "close_up",
                    "\"needed\", \"leave out\" or \"if A12\"",
                    "\"needed\"",
                    "whether it is needed where the job is closed up early (`turnto stops`)",
                ),
            ],
        ),
    ],
};
