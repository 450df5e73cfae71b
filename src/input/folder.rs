//! A job folder in memory: paths and bytes, sorted by path.

/// One file of a job folder.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct File {
    /// Path relative to the folder, with `/` between parts.
    pub path: String,
    /// Its bytes, as found.
    pub bytes: Vec<u8>,
}

/// The files of a job folder, sorted by path, each path once.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Folder {
    files: Vec<File>,
}

impl Folder {
    /// A folder without files.
    #[must_use]
    pub const fn new() -> Self {
        Self { files: Vec::new() }
    }

    /// Adds a file, in place of one with the same path.
    pub fn add(&mut self, path: impl Into<String>, bytes: impl Into<Vec<u8>>) {
        let file = File { path: path.into(), bytes: bytes.into() };
        match self.files.binary_search_by(|f| f.path.cmp(&file.path)) {
            Ok(i) => self.files[i] = file,
            Err(i) => self.files.insert(i, file),
        }
    }

    /// The same folder with one more file.
    #[must_use]
    pub fn with(mut self, path: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        self.add(path, bytes);
        self
    }

    /// All files, sorted by path.
    #[must_use]
    pub fn files(&self) -> &[File] {
        &self.files
    }
}
