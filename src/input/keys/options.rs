//! The keys of an option: a small file laid over the job.

use crate::input::keys::{KeyPage, KeyTable, NONE, key};

pub(super) const PAGE: KeyPage = KeyPage {
    file: "options",
    about: "files that `turnto options` lays over the job",
    tables: &[
        KeyTable::new(
            "",
            "an option",
            &[
                key("title", "text", "the name of the file", "what it is about"),
                key("drop", "\"tasks.task.A18\", or a list", NONE, "what it takes out"),
            ],
        ),
        KeyTable::new(
            "FILE",
            "what it changes in a file, such as [tasks.task.A59] or [job.milestone.G2-back]: tables are laid into one another key by key, \
             lists of tables are added, anything else takes the place of what was there",
            &[key("KEY", "as in that file", NONE, "what is said there instead")],
        ),
    ],
};
