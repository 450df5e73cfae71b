//! Where diagnostics are collected while a folder is read.

use std::cell::RefCell;

use crate::diag::{Code, Diagnostic, Place};

/// Collects diagnostics; shared by everything that reads.
#[derive(Debug, Default)]
pub(super) struct Sink {
    found: RefCell<Vec<Diagnostic>>,
    /// Where each table stands, from its head to its last value.
    tables: RefCell<Vec<Place>>,
    /// The keys that were asked for, each with the path of its table.
    #[cfg(test)]
    keys: RefCell<std::collections::BTreeSet<(String, &'static str)>>,
}

impl Sink {
    /// Takes a diagnostic.
    pub(super) fn put(&self, diagnostic: Diagnostic) {
        self.found.borrow_mut().push(diagnostic);
    }

    /// Takes the common kind: one place, one label, one remedy (none where `help` is empty).
    pub(super) fn say(&self, code: Code, message: impl Into<String>, place: Place, label: impl Into<String>, help: impl Into<String>) {
        let help = help.into();
        let diagnostic = Diagnostic::new(code, message).at(place, label);
        self.put(if help.is_empty() { diagnostic } else { diagnostic.help(help) });
    }

    /// Whether something at `place` could not be read, so that what stands for it is nobody's word.
    pub(super) fn is_unreadable(&self, place: Place) -> bool {
        let meets = |at: Place| at.file == place.file && at.start <= place.end && place.start <= at.end;
        self.found.borrow().iter().filter(|d| d.code == Code::Syntax).filter_map(|d| d.primary.as_ref()).any(|label| meets(label.place))
    }

    /// A table stands here, from its head to its last value.
    pub(super) fn table(&self, extent: Place) {
        self.tables.borrow_mut().push(extent);
    }

    /// Whether something in the table around `head` could not be read, is not known or is missing, so that what the table
    /// says as a whole is not known, and nothing should be said that rests on it.
    pub(super) fn is_unsure(&self, head: Place) -> bool {
        let around = |table: &Place| table.file == head.file && table.start <= head.start && head.start < table.end;
        let tables = self.tables.borrow();
        let Some(table) = tables.iter().filter(|t| around(t)).max_by_key(|t| t.start) else { return false };
        let inside = |at: Place| at.file == table.file && table.start <= at.start && at.start < table.end;
        self.found.borrow().iter().filter(|d| d.code.leaves_unsure()).filter_map(|d| d.primary.as_ref()).any(|label| inside(label.place))
    }

    /// Whether that is so of anything in the file of `place`.
    pub(super) fn is_unsure_anywhere(&self, place: Place) -> bool {
        let found = self.found.borrow();
        found.iter().filter(|d| d.code.leaves_unsure()).filter_map(|d| d.primary.as_ref()).any(|label| label.place.file == place.file)
    }

    /// Takes back what was said with this code and message at `place`: by now it is known better.
    pub(super) fn take_back(&self, code: Code, message: &str, place: Place) {
        let there = |d: &Diagnostic| d.primary.as_ref().is_some_and(|label| label.place == place);
        self.found.borrow_mut().retain(|d| d.code != code || d.message != message || !there(d));
    }

    /// What could not be read at `place` gets `help` as its remedy: it is known by now what belongs there.
    pub(super) fn amend(&self, place: Place, help: String) {
        let meets = |at: Place| at.file == place.file && at.start <= place.end && place.start <= at.end;
        let mut found = self.found.borrow_mut();
        let said = found.iter_mut().find(|d| d.code == Code::Syntax && d.primary.as_ref().is_some_and(|label| meets(label.place)));
        if let Some(diagnostic) = said {
            diagnostic.help = vec![help];
        }
    }

    /// A reader asks for `key` in the table at `path`; only the tests that hold the list of keys to it want to know.
    #[cfg_attr(not(test), expect(clippy::unused_self, reason = "nothing is kept but in tests"))]
    pub(super) fn asked(&self, path: &str, key: &'static str) {
        #[cfg(test)]
        self.keys.borrow_mut().insert((path.to_owned(), key));
        #[cfg(not(test))]
        let _ = (path, key);
    }

    /// The keys that were asked for, each with the path of its table.
    #[cfg(test)]
    pub(super) fn keys(&self) -> std::collections::BTreeSet<(String, &'static str)> {
        self.keys.borrow().clone()
    }

    /// All that was collected, in the order it came.
    pub(super) fn into_found(self) -> Vec<Diagnostic> {
        self.found.into_inner()
    }
}
