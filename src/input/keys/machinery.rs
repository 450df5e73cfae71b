//! The keys of `machinery.toml`.

use crate::input::keys::{KeyPage, KeyTable, MUST, NONE, key};

pub(super) const PAGE: KeyPage = KeyPage {
    file: "machinery.toml",
    about: "machines, what is needed of them when",
    tables: &[
        KeyTable::new(
            "unit.CODE",
            "a machine; where its name is all, B2 = \"Boiler 2\" under [unit] is enough",
            &[
                key("name", "text", NONE, "name in full"),
                key("state", "text", NONE, "how it stands at the start, for the sheets"),
                key("out", "WINDOWS", NONE, "when it is out for other reasons"),
            ],
        ),
        KeyTable::new(
            "group.CODE",
            "machines that stand in for one another",
            &[
                key("name", "text", NONE, "name in full"),
                key("units", "CODES of machines", MUST, "which"),
                key("lasts", "HOURS", "not at all", "how long the group may be short in a row, such as what a service tank lasts"),
                key("recover", "HOURS", "nothing", "how long it must be whole after that"),
            ],
        ),
        KeyTable::many(
            "never_together",
            "machines that may not all be out at once",
            &[
                key("units", "CODES of machines, two or more", MUST, "which"),
                key("most_out", "NUMBER, smaller than there are", "1", "how many may be out at once"),
            ],
        ),
        KeyTable::new(
            "mode.CODE",
            "a mode of the ship",
            &[
                key("name", "text", NONE, "name in full"),
                key("when", "WINDOWS, or \"otherwise\"", MUST, "when it holds; \"otherwise\" is whenever no other does"),
                key("needs", "\"2 GEN, 1 EMG\"", NONE, "how many machines of each group must be able; \"0 LPUR\" for none"),
                key("weight", "NUMBER, 1 to 1000", "1", "what a missing machine weighs"),
            ],
        ),
    ],
};
