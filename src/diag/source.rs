//! The texts diagnostics point into.

/// A file among the [`Sources`] of one reading.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct FileId(u32);

/// A half-open stretch of bytes in one file, on character boundaries.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Place {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: usize,
    /// First byte after it.
    pub end: usize,
}

impl Place {
    /// From the start of `self` to the end of `other`, both in one file.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        Self { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }
}

/// The files of a job folder as text, in the order they were added.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Sources {
    files: Vec<Source>,
}

/// A file with where its lines begin.
#[derive(Clone, PartialEq, Eq, Debug)]
struct Source {
    path: String,
    text: String,
    /// First byte of every line but the first, in order.
    line_starts: Vec<usize>,
}

impl Sources {
    /// Adds a file and returns its id.
    ///
    /// # Panics
    /// If there are 2^32 files or more.
    pub fn add(&mut self, path: impl Into<String>, text: impl Into<String>) -> FileId {
        let id = FileId(u32::try_from(self.files.len()).expect("a folder has fewer than 2^32 files"));
        let (path, text) = (path.into(), text.into());
        let line_starts = text.match_indices('\n').map(|(at, _)| at + 1).collect();
        self.files.push(Source { path, text, line_starts });
        id
    }

    /// Path of a file, relative to the job folder; empty if there is no such file.
    #[must_use]
    pub fn path(&self, file: FileId) -> &str {
        self.files.get(file.0 as usize).map_or("", |source| &source.path)
    }

    /// Text of a file; empty if there is no such file.
    #[must_use]
    pub fn text(&self, file: FileId) -> &str {
        self.files.get(file.0 as usize).map_or("", |source| &source.text)
    }

    /// The line on which `place` begins, counted from 1.
    #[must_use]
    pub fn line(&self, place: Place) -> usize {
        1 + self.files.get(place.file.0 as usize).map_or(0, |source| source.line_starts.partition_point(|start| *start <= place.start))
    }

    /// The text of `place`; empty if it is not a place in these sources.
    #[must_use]
    pub fn excerpt(&self, place: Place) -> &str {
        self.text(place.file).get(place.start..place.end).unwrap_or("")
    }
}
