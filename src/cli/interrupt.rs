//! Ctrl-C: once asks the search to stop with what it has, twice stops at once.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use crate::cli::exit::Exit;

/// Listens for interrupts from its making on.
#[derive(Clone)]
pub(super) struct Interrupt {
    presses: Arc<AtomicU32>,
    half_written: Arc<Mutex<Option<PathBuf>>>,
}

impl Interrupt {
    /// Begins to listen. Where the system offers no way to listen, an interrupt stops the program as usual;
    /// nothing is lost by that, since plans are written aside and then renamed.
    #[must_use]
    pub(super) fn listen() -> Self {
        let interrupt = Self::deaf();
        let heard = interrupt.clone();
        drop(ctrlc::set_handler(move || heard.press()));
        interrupt
    }

    /// One that listens to nothing.
    pub(super) fn deaf() -> Self {
        Self { presses: Arc::new(AtomicU32::new(0)), half_written: Arc::new(Mutex::new(None)) }
    }

    /// Whether there was an interrupt.
    #[must_use]
    pub(super) fn pressed(&self) -> bool {
        self.presses.load(Ordering::Relaxed) > 0
    }

    /// Names the folder to take away if everything must stop at once; `None` when there is none any more.
    pub(super) fn guard(&self, half_written: Option<&Path>) {
        *self.half_written.lock().unwrap_or_else(PoisonError::into_inner) = half_written.map(Path::to_owned);
    }

    fn press(&self) {
        if self.presses.fetch_add(1, Ordering::Relaxed) == 0 {
            let words = "stopping with the best plan so far, if there is one; press again to stop at once and write nothing";
            drop(writeln!(std::io::stderr().lock(), "{words}"));
        } else {
            leave(self.half_written.lock().unwrap_or_else(PoisonError::into_inner).as_deref());
        }
    }
}

/// Takes away what is half written and ends the process.
#[expect(clippy::exit, clippy::disallowed_methods, reason = "asked twice to stop, there is nobody left to return a code to")]
fn leave(half_written: Option<&Path>) {
    if let Some(folder) = half_written {
        drop(fs::remove_dir_all(folder));
    }
    std::process::exit(i32::from(Exit::Interrupted.code()));
}
