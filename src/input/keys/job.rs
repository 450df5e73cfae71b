//! The keys of `job.toml`.

use crate::input::keys::{Key, KeyPage, KeyTable, MUST, NONE, key};

pub(super) const PAGE: KeyPage = KeyPage {
    file: "job.toml",
    about: "ship, job, start, clock, days, rest rules, reserve, dates",
    tables: &[
        KeyTable::new(
            "",
            "the job",
            &[
                key("ship", "text", NONE, "name of the ship, for the head of every paper"),
                key("title", "text", NONE, "name of the job"),
                key("start", "TIME", MUST, "when planning begins, by ship's clock, on a slot boundary"),
                key(
                    "days",
                    "NUMBER, 1 to 180",
                    "must be there, or `end`",
                    "ship's days planned at first; the plan grows to three times that if it must",
                ),
                key("end", "TIME", "must be there, or `days`", "the first planning end, in place of `days`"),
                key("slot", "15, 30 or 60 (minutes)", "30", "the step on which everything is placed; hours are rounded up to it"),
                key("clock", "\"UTC+3\"", MUST, "ship's clock at the start"),
                key(
                    "aims",
                    "words with commas",
                    "\"shortfall, lateness, overtime, told, finish, fairness, steady\"; without milestones `finish` comes second",
                    "what a plan is judged by, most important first",
                ),
                key("days_off", "\"Sunday\", \"day 6\", \"2027-03-06\"; several with commas", NONE, "days without ordinary hours"),
            ],
        ),
        KeyTable::many(
            "clock_change",
            "a change of ship's clock",
            &[key("at", "TIME", MUST, "when, by the old clock"), key("clock", "\"UTC+4\"", MUST, "what it is from then on")],
        ),
        KeyTable::new(
            "breaks",
            "named breaks: neither work nor rest",
            &[key(
                "NAME",
                "CLOCK, one piece",
                NONE,
                "such as lunch = \"12:00-13:00\"; for everybody whose `breaks` does not say otherwise",
            )],
        ),
        KeyTable::new(
            "hours",
            "working days, to be used by name as `hours` in crew.toml",
            &[key("NAME", "CLOCK", NONE, "such as day = \"08:00-12:00, 13:00-17:00\"")],
        ),
        KeyTable::new(
            "short_days",
            "days on which only some of the ordinary hours count",
            &[key("DAY", "CLOCK", NONE, "such as Saturday = \"08:00-12:00\", or \"day 6\" = \"08:00-12:00\"")],
        ),
        KeyTable::new(
            "rest",
            "rest rules",
            &[
                key(
                    "rules",
                    "code of a set",
                    "\"stcw-mlc-rest\"",
                    "the set for everybody; `turnto rules` lists them, rules.toml may add some",
                ),
                key("under_18", "code of a set", "\"under-18\"", "the set for those under 18"),
                key(
                    "recorded_from",
                    "TIME or a day",
                    "the first row of a person in hours.csv",
                    "from when on hours.csv is complete, so that no row means rest",
                ),
            ],
        ),
        KeyTable::new("rest.readings", "how the set is read; `turnto rules` says more about each", READINGS),
        KeyTable::new(
            "rest.exceptions",
            "what a flag state and an agreement allow",
            &[
                key("flag", "text", "must be there for an exception", "the flag state that allows it"),
                key("agreement", "text", "must be there for an exception", "the agreement it is in"),
                key("seventy_hours", "true or false", "false", "70 h in 7 days, two weeks at most"),
                key("three_periods", "true or false", "false", "three rest periods, on two days in seven"),
            ],
        ),
        KeyTable::many(
            "reserve",
            "who can be called, and what stays unbooked",
            &[
                key(
                    "callable",
                    "\"1 OOW, 1 GEN\"",
                    "must be there, or `unbooked`",
                    "so many different people can be called at every moment",
                ),
                key("call", "HOURS, up to 24", "must be there with `callable`", "how long a call may last"),
                key(
                    "unbooked",
                    "HOURS",
                    "must be there, or `callable`",
                    "hours of labour on hand and not booked, over all people, on each full day",
                ),
                key("between", "CLOCK, one piece of one day", "\"00:00-24:00\"", "where unbooked hours count"),
                key(
                    "modes",
                    "modes, or \"all but arrival\"",
                    "all",
                    "the modes of machinery.toml in which it is asked for; a mode has one reserve",
                ),
            ],
        ),
        KeyTable::new(
            "milestone.CODE",
            "by when something must be done",
            &[
                key("text", "text", NONE, "what must be ready"),
                key("tasks", "CODES of tasks", MUST, "what must be done by then"),
                key("due", "TIME", MUST, "by when"),
                key("weight", "NUMBER, 1 to 1000", "1", "what an hour late weighs against the other milestones"),
            ],
        ),
    ],
};

const READINGS: &[Key] = &[
    key(
        "day",
        "\"every moment\", \"after 6 h of rest\", \"first work of day\", \"calendar\", \"back from work\"",
        "as the set says",
        "where 24 hours begin",
    ),
    key("week", "\"every moment\", \"calendar\", or as for `day`", "as the set says", "where 7 days begin"),
    key(
        "split",
        "\"starts and ends of work\", \"every minute\", or as for `day`",
        "as the set says",
        "where the windows begin in which rest is divided and the longest rest is found",
    ),
    key("divided", "\"least hours\" or \"all rest\"", "\"least hours\"", "what must fit the allowed number of periods"),
    key("least_rest", "HOURS, up to 24", "1", "the shortest gap that is rest"),
    key("short_gap", "\"neither\" or \"work\"", "\"neither\"", "what a shorter gap is to the limits on work, named or not"),
    key("edge", "\"part\" or \"whole\"", "\"part\"", "how a rest over the edge of a window counts"),
    key("drill", "\"work\" or \"exempt\"", "\"work\"", "what a drill is"),
    key("emergency", "\"excused\", \"removes\" or \"nothing\"", "\"excused\"", "what an emergency does to a finding that only it makes"),
    key("on_call", "\"rest\" or \"work\"", "\"rest\"", "what time on call without a call is"),
    key("call_out", "\"rest lost\" or \"below least\"", "\"rest lost\"", "what is owed for a call-out"),
    key(
        "exception_gap",
        "\"longer of two\", \"first\", \"leave waives\" or \"hours\"",
        "\"longer of two\"",
        "how long lies between two exceptions",
    ),
    key("clock_change", "\"elapsed\" or \"as shown\"", "\"elapsed\"", "how hours are counted where the clock is changed"),
    key("exactly", "\"passes\" or \"fails\"", "\"passes\"", "ten hours where ten are asked for"),
    key("before_record", "\"unknown\" or \"rest\"", "\"unknown\"", "what time before the record is"),
    key("departure", "\"10 h in 24\" or \"6 h in 12\"", "\"10 h in 24\"", "what the first watches after leaving port need"),
];
