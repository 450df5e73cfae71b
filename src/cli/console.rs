//! The two streams: what was asked for goes to standard output, everything else to standard error.

use std::io::{self, IsTerminal, Write};
use std::path::Path;

use crate::cli::args::{Args, Color};
use crate::cli::fault::Fault;
use crate::cli::words::folded;
use crate::ui::diagnostics::Look;

/// Where text goes, and how; with what else the whole command line says.
pub(super) struct Console {
    quiet: bool,
    color: Color,
    plain: bool,
    threads: Option<u16>,
}

impl Console {
    /// A console for the streams of this process. `plain` says that the surroundings ask for no colour.
    #[must_use]
    pub(super) fn new(args: &Args, plain: bool) -> Self {
        Self { quiet: args.quiet, color: args.color, plain, threads: args.threads }
    }

    /// How many threads may carry a search, if that was said.
    pub(super) const fn threads(&self) -> Option<u16> {
        self.threads
    }

    /// Says how it goes, on standard error, folded where it is longer than a line; left out when asked to be quiet.
    pub(super) fn note(&self, text: &str) {
        if !self.quiet {
            complain(text);
        }
    }

    /// How excerpts look on standard output.
    #[must_use]
    pub(super) fn answer_look(&self) -> Look {
        self.look(io::stdout().is_terminal())
    }

    /// How excerpts look on standard error.
    #[must_use]
    pub(super) fn notes_look(&self) -> Look {
        self.look(io::stderr().is_terminal())
    }

    fn look(&self, terminal: bool) -> Look {
        match self.color {
            Color::Always => Look::STYLED,
            Color::Auto if terminal && !self.plain => Look::STYLED,
            Color::Auto | Color::Never => Look::PLAIN,
        }
    }
}

/// Writes what was asked for to standard output. A reader that has seen enough and closed the pipe is no
/// failure: the rest is not written and nothing is said.
///
/// # Errors
/// Any other failure to write.
pub(super) fn answer(text: &str) -> Result<(), Fault> {
    let mut stream = io::stdout().lock();
    match stream.write_all(text.as_bytes()).and_then(|()| stream.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Fault::system("write to", Path::new("standard output"), error)),
        Ok(()) | Err(_) => Ok(()),
    }
}

/// Says what went wrong, on standard error, quiet or not, folded where it is longer than a line.
pub(super) fn complain(text: &str) {
    show(&text.lines().map(folded).collect::<Vec<_>>().join("\n"));
}

/// The same as it is laid out: excerpts, a line for each row of a stream, and what somebody else is to read.
pub(super) fn show(text: &str) {
    // There is nowhere left to report a failure to report.
    drop(writeln!(io::stderr().lock(), "{}", text.trim_end()));
}
