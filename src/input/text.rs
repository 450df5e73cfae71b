//! Pieces of text that know where in the file they stand.

#[cfg(test)]
mod tests;

use crate::diag::Place;

/// Something with the place it was written at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct At<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

impl<T> At<T> {
    /// `value` at `place`.
    pub(super) const fn new(value: T, place: Place) -> Self {
        Self { value, place }
    }
}

/// A piece of text from a file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Text {
    /// The text, escapes resolved.
    value: String,
    /// Where it stands.
    place: Place,
    /// Whether each byte of `value` is one byte of the file from `place.start` on, so that parts of it can
    /// be pointed at.
    exact: bool,
}

impl Text {
    /// `value`, which stands at `place` without change.
    pub(super) fn exact(value: impl Into<String>, place: Place) -> Self {
        Self { value: value.into(), place, exact: true }
    }

    /// `value`, which stands at `place` in some other form (with quotation marks or escapes).
    pub(super) fn loose(value: impl Into<String>, place: Place) -> Self {
        Self { value: value.into(), place, exact: false }
    }

    /// The text.
    pub(super) fn as_str(&self) -> &str {
        &self.value
    }

    /// Where it stands.
    pub(super) const fn place(&self) -> Place {
        self.place
    }

    /// The part from byte `from` to byte `to`, without white space around it.
    pub(super) fn part(&self, from: usize, to: usize) -> Self {
        let whole = self.value.get(from..to).unwrap_or("");
        let value = whole.trim();
        let start = from + (whole.len() - whole.trim_start().len());
        let place = if self.exact && !value.is_empty() {
            Place { file: self.place.file, start: self.place.start + start, end: self.place.start + start + value.len() }
        } else {
            self.place
        };
        Self { value: value.to_owned(), place, exact: self.exact }
    }

    /// Without white space around it.
    pub(super) fn trimmed(&self) -> Self {
        self.part(0, self.value.len())
    }

    /// The parts between any of `separators`, without white space around them; at least one.
    pub(super) fn split(&self, separators: &[char]) -> Vec<Self> {
        let mut parts = Vec::new();
        let mut from = 0;
        for (at, found) in self.value.match_indices(separators) {
            parts.push(self.part(from, at));
            from = at + found.len();
        }
        parts.push(self.part(from, self.value.len()));
        parts
    }

    /// What stands before and after the first ` word ` (white space around it, capitals or not).
    pub(super) fn around(&self, word: &str) -> Option<(Self, Self)> {
        let lower = self.value.to_ascii_lowercase();
        let mut from = 0;
        while let Some(found) = lower[from..].find(word) {
            let (start, end) = (from + found, from + found + word.len());
            let open = lower[..start].ends_with(char::is_whitespace);
            let close = lower[end..].starts_with(char::is_whitespace);
            if open && close {
                return Some((self.part(0, start), self.part(end, self.value.len())));
            }
            from = end;
        }
        None
    }

    /// The text after `word` and white space, if it begins so (capitals or not).
    pub(super) fn after_word(&self, word: &str) -> Option<Self> {
        let head = self.value.get(..word.len())?;
        let rest = self.value.get(word.len()..)?;
        (head.eq_ignore_ascii_case(word) && rest.starts_with(char::is_whitespace)).then(|| self.part(word.len(), self.value.len()))
    }

    /// Whether it is `word` (capitals or not).
    pub(super) fn is(&self, word: &str) -> bool {
        self.value.eq_ignore_ascii_case(word)
    }
}
