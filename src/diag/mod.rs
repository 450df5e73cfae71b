//! What is wrong or doubtful in the files of a job, as data: no rendering here.
//!
//! A [`Diagnostic`] points at places in [`Sources`]; how it looks on a screen is the business of
//! [`crate::ui::diagnostics`]. Diagnostics are collected, never thrown.

mod codes;
mod source;
mod unseen;

pub use codes::{Code, Severity};
pub use source::{FileId, Place, Sources};
pub use unseen::{Unseen, unseen};

/// A place with a few words about it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Label {
    /// Where.
    pub place: Place,
    /// What to see there; may be empty.
    pub text: String,
}

/// One thing that is wrong or doubtful.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Diagnostic {
    /// What kind of thing it is; gives the severity and the long explanation.
    pub code: Code,
    /// What is wrong, with the value; no full stop.
    pub message: String,
    /// The place to look at first, if there is one.
    pub primary: Option<Label>,
    /// Other places that have to do with it, in reading order.
    pub others: Vec<Label>,
    /// What to do about it, one remedy a line.
    pub help: Vec<String>,
}

impl Diagnostic {
    /// A diagnostic without a place and without a remedy.
    #[must_use]
    pub fn new(code: Code, message: impl Into<String>) -> Self {
        Self { code, message: message.into(), primary: None, others: Vec::new(), help: Vec::new() }
    }

    /// Sets the place to look at first.
    #[must_use]
    pub fn at(mut self, place: Place, text: impl Into<String>) -> Self {
        self.primary = Some(Label { place, text: text.into() });
        self
    }

    /// Adds another place.
    #[must_use]
    pub fn also(mut self, place: Place, text: impl Into<String>) -> Self {
        self.others.push(Label { place, text: text.into() });
        self
    }

    /// Adds a remedy.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help.push(text.into());
        self
    }

    /// Whether it stops the job from being planned.
    #[must_use]
    pub fn severity(&self) -> Severity {
        self.code.severity()
    }
}

/// Whether any of `diagnostics` stops the job from being planned.
#[must_use]
pub fn any_error(diagnostics: &[Diagnostic]) -> bool {
    diagnostics.iter().any(|d| d.severity() == Severity::Error)
}

/// Sorts diagnostics by file and place, those without a place first, and drops repeats.
pub fn tidy(diagnostics: &mut Vec<Diagnostic>) {
    diagnostics.sort_by_key(|d| (d.primary.as_ref().map(|l| (l.place.file, l.place.start, l.place.end)), d.code));
    diagnostics.dedup();
}
