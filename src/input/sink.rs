//! Where diagnostics are collected while a folder is read.

use std::cell::RefCell;

use crate::diag::{Code, Diagnostic, Place};

/// Collects diagnostics; shared by everything that reads.
#[derive(Debug, Default)]
pub(super) struct Sink {
    found: RefCell<Vec<Diagnostic>>,
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

    /// All that was collected, in the order it came.
    pub(super) fn into_found(self) -> Vec<Diagnostic> {
        self.found.into_inner()
    }
}
