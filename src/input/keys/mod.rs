//! Every key of every file, with how it is written, what counts where it is left out, and what it means: what `turnto
//! explain FILE` prints. The tests hold it to what the readers ask for, both ways.

mod crew;
mod duties;
mod hours;
mod job;
mod log;
mod machinery;
mod options;
mod pins;
mod rules;
mod tasks;
#[cfg(test)]
mod tests;
mod tools;
mod watches;

use crate::input::near::nearest;
use crate::input::raw::log::WORDS;

/// All there is to know of one file.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct KeyPage {
    /// Its name.
    pub file: &'static str,
    /// What it says, in a few words.
    pub about: &'static str,
    /// Its tables.
    pub tables: &'static [KeyTable],
}

/// A table of a file.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct KeyTable {
    /// Where it stands (`rest.readings`, `task.CODE`); empty for what stands before any table.
    pub path: &'static str,
    /// Whether there may be several of it, written in double brackets.
    pub many: bool,
    /// The key and its value with which these keys go; empty for those of every table of the kind.
    pub with: &'static str,
    /// The file and path of another table whose keys it has too.
    pub like: Option<(&'static str, &'static str)>,
    /// What it is.
    pub about: &'static str,
    /// Its keys.
    pub keys: &'static [Key],
}

/// One key.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Key {
    /// The key; in capitals where any name may stand.
    pub key: &'static str,
    /// How its value is written.
    pub shape: &'static str,
    /// What counts where it is left out.
    pub left_out: &'static str,
    /// What it means.
    pub means: &'static str,
}

impl KeyTable {
    const fn new(path: &'static str, about: &'static str, keys: &'static [Key]) -> Self {
        Self { path, many: false, with: "", like: None, about, keys }
    }

    const fn many(path: &'static str, about: &'static str, keys: &'static [Key]) -> Self {
        Self { many: true, ..Self::new(path, about, keys) }
    }

    const fn with(path: &'static str, with: &'static str, about: &'static str, keys: &'static [Key]) -> Self {
        Self { with, ..Self::new(path, about, keys) }
    }

    const fn like(path: &'static str, like: (&'static str, &'static str), about: &'static str, keys: &'static [Key]) -> Self {
        Self { like: Some(like), ..Self::new(path, about, keys) }
    }
}

const fn key(key: &'static str, shape: &'static str, left_out: &'static str, means: &'static str) -> Key {
    Key { key, shape, left_out, means }
}

/// Where a key must be there.
const MUST: &str = "must be there";

/// Where nothing counts when it is left out.
const NONE: &str = "none";

/// All files, in the order in which they are read.
pub const KEY_PAGES: [KeyPage; 12] = [
    job::PAGE,
    crew::PAGE,
    watches::PAGE,
    duties::PAGE,
    tasks::PAGE,
    tools::PAGE,
    machinery::PAGE,
    rules::PAGE,
    pins::PAGE,
    log::PAGE,
    hours::PAGE,
    options::PAGE,
];

/// Words that shapes are made of, each with what may stand for it.
pub const SHAPES: [(&str, &str); 7] = [
    ("TIME", "2027-03-04T14:20 or \"day 4 14:20\", day 1 being the day of the start; \"day 4 14:20 UTC+3\" where the clock shows it twice"),
    ("DATE", "2027-03-04"),
    (
        "WINDOWS",
        "one or several with commas: \"day 3 09:30-16:00\", \"day 3 22:00 - day 4 02:00\", \"day 6\", \"start - day 2 12:00\", \"day 9 - end\", \
         \"daily 08:00-08:30\", \"every Saturday 10:00-10:30\", \"daily 08:00-08:30 from day 2 to day 5\"",
    ),
    ("CLOCK", "hours of the day, one piece or several with commas: \"08:00-12:00, 13:00-17:00\", \"22:00-06:00\", up to 24:00"),
    ("HOURS", "a length: 1.5, \"1h30\" or \"90 min\""),
    ("CODES", "one code or several, with commas or as a list: \"G1, G2\" or [\"G1\", \"G2\"]"),
    ("NUMBER", "a whole number"),
];

/// The page of `file`: by its name, with or without its ending.
#[must_use]
pub fn key_page(file: &str) -> Option<&'static KeyPage> {
    let asked = file.trim().to_ascii_lowercase();
    let stem = |name: &'static str| name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    KEY_PAGES.iter().find(|page| page.file == asked || stem(page.file) == asked)
}

/// The name of the file that comes nearest to `file`.
#[must_use]
pub fn near_key_page(file: &str) -> Option<&'static str> {
    nearest(file, KEY_PAGES.iter().map(|page| page.file))
}

/// The words of the log, each with the keys that it needs and those that it may have.
pub fn log_words() -> impl Iterator<Item = (&'static str, &'static [&'static str], &'static [&'static str])> {
    WORDS.iter().map(|word| (word.text, word.needs, word.may))
}
