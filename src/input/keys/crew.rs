//! The keys of `crew.toml`.

use crate::input::keys::{KeyPage, KeyTable, MUST, NONE, key};

pub(super) const PAGE: KeyPage = KeyPage {
    file: "crew.toml",
    about: "people: what they can do, their hours, when they are away",
    tables: &[
        KeyTable::new(
            "competence",
            "what people can do; where anything stands here, every other code is taken for a slip",
            &[key("CODE", "text", NONE, "such as OOW = \"engineer of the watch\"")],
        ),
        KeyTable::new(
            "person.CODE",
            "a person; CODE is what other files say",
            &[
                key("name", "text", MUST, "as it is to stand on the day sheet"),
                key("role", "text", NONE, "rank or part in the job"),
                key("can", "CODES of competences", NONE, "what tasks and posts may ask of the person"),
                key("hours", "CLOCK, or names from [hours] of job.toml", NONE, "ordinary hours of every day but days off"),
                key("overtime", "CLOCK or WINDOWS", NONE, "when overtime is allowed; used only where it helps"),
                key("evenings", "NUMBER", "no limit", "most days with overtime in the whole job"),
                key("cap", "HOURS, up to 24", "no limit", "most time on the job in a ship's day, overtime included, duties not"),
                key("away", "WINDOWS", NONE, "when the person is not aboard"),
                key("answers_for", "words with commas", NONE, "printed on the sheet: permits, bunkers, cargo"),
                key("rest", "code of a set", "that of job.toml", "the rest rules of this person"),
                key("age", "NUMBER, 14 to 100", "18 or over", "age when the job starts; under 18 has rules of its own"),
                key("born", "DATE", "18 or over", "date of birth, in place of `age`: 14 to 100 years old when the job starts"),
                key("breaks", "names from [breaks] of job.toml", "all of them", "which breaks the person has; \"\" for none"),
                key("recorded_from", "TIME or a day", "that of job.toml", "from when on the record of this person is complete"),
            ],
        ),
    ],
};
