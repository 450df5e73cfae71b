//! The machine said no: a sentence that says what could not be done to which file, and why.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

use crate::cli::exit::Exit;

/// Something could not be done, with all that is needed to say so in one sentence.
#[derive(Debug)]
pub(super) struct Fault {
    action: &'static str,
    path: PathBuf,
    cause: Cause,
}

/// Why it could not be done.
#[derive(Debug)]
enum Cause {
    /// The operating system refused.
    System(io::Error),
    /// What was named is not what it should be; the words say what to do.
    Named(String),
}

impl Fault {
    /// The operating system refused `action` ("read", "write") on `path`.
    pub(super) fn system(action: &'static str, path: &Path, cause: io::Error) -> Self {
        Self { action, path: path.to_owned(), cause: Cause::System(cause) }
    }

    /// `action` makes no sense on `path`, as `words` explain.
    pub(super) fn named(action: &'static str, path: &Path, words: impl Into<String>) -> Self {
        Self { action, path: path.to_owned(), cause: Cause::Named(words.into()) }
    }

    /// The exit code that goes with it: naming something that is not there is a mistake on the command line,
    /// anything else is the machine's doing.
    #[must_use]
    pub(super) fn exit(&self) -> Exit {
        match &self.cause {
            Cause::Named(_) => Exit::Wrong,
            Cause::System(error) if error.kind() == io::ErrorKind::NotFound && self.action == "read" => Exit::Wrong,
            Cause::System(_) => Exit::Machine,
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "could not {} {}: ", self.action, self.path.display())?;
        match &self.cause {
            Cause::System(error) => write!(f, "{}", in_words(error)),
            Cause::Named(words) => f.write_str(words),
        }
    }
}

impl std::error::Error for Fault {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match &self.cause {
            Cause::System(error) => Some(error),
            Cause::Named(_) => None,
        }
    }
}

/// The cause in words that are the same on every system where the system has a word for it.
fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        io::ErrorKind::PermissionDenied => "the system does not allow it".to_owned(),
        io::ErrorKind::NotADirectory => "it is, or lies in, something that is not a folder".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder, not a file".to_owned(),
        io::ErrorKind::AlreadyExists => "there is a file of that name".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        _ => error.to_string(),
    }
}
