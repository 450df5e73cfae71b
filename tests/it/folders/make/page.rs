//! A file of a job folder while it is written.

use std::fmt::{self, Display, Formatter, Write};

/// The text of one TOML file.
#[derive(Default)]
pub(crate) struct Page(String);

impl Page {
    /// Begins a table, such as `task.T1`.
    pub(crate) fn table(&mut self, name: impl Display) {
        self.line(format_args!("[{name}]"));
    }

    /// Begins one more of a list of tables, such as `pin`.
    pub(crate) fn item(&mut self, name: &str) {
        self.line(format_args!("[[{name}]]"));
    }

    /// A key with words, which are put in quotation marks.
    pub(crate) fn words(&mut self, key: &str, words: impl Display) {
        self.line(format_args!("{key} = \"{words}\""));
    }

    /// A key with a number, a truth value or a list.
    pub(crate) fn value(&mut self, key: &str, value: impl Display) {
        self.line(format_args!("{key} = {value}"));
    }

    fn line(&mut self, line: fmt::Arguments<'_>) {
        writeln!(self.0, "{line}").expect("text can be written to");
    }

    pub(crate) fn text(self) -> String {
        self.0
    }
}

/// A length of time as the files have it, made of minutes: `3`, or `"1h30"` with its quotation marks.
pub(crate) struct Hours(pub(crate) i32);

impl Display for Hours {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match (self.0 / 60, self.0 % 60) {
            (hours, 0) => write!(f, "{hours}"),
            (hours, minutes) => write!(f, "\"{hours}h{minutes:02}\""),
        }
    }
}

/// A time of day, from minutes after midnight.
pub(crate) struct Clock(pub(crate) i32);

impl Display for Clock {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}
