//! The keys of `tools.toml`.

use crate::input::keys::{KeyPage, KeyTable, NONE, key};

pub(super) const PAGE: KeyPage = KeyPage {
    file: "tools.toml",
    about: "things there are few of",
    tables: &[KeyTable::new(
        "tool.CODE",
        "a tool; where its name is all, CRANE = \"Crane\" under [tool] is enough",
        &[
            key("name", "text", NONE, "name in full"),
            key("number", "NUMBER", "1", "how many there are"),
            key("away", "WINDOWS", NONE, "when none can be had"),
            key("from", "TIME", "the start", "from when on it is aboard"),
            key("to", "TIME", "the end", "until when"),
            key("calibrated_until", "DATE", "no limit", "printed, and doubtful where the job goes on longer"),
        ],
    )],
};
