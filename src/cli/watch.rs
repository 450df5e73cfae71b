//! Keeps an eye on the search: when it must stop, and what it tells of its progress.

use std::time::{Duration, Instant};

use crate::cli::console::Console;
use crate::cli::interrupt::Interrupt;
use crate::report::CutBy;

/// The eye. Reads the clock, which nothing below the command line does.
pub(super) struct Lookout<'a> {
    console: &'a Console,
    interrupt: &'a Interrupt,
    began: Instant,
    limit: Option<Duration>,
    silent: bool,
}

impl<'a> Lookout<'a> {
    /// Begins to watch now; the limit counts from here.
    #[expect(clippy::disallowed_methods, reason = "the command line is where the clock is read")]
    pub(super) fn new(console: &'a Console, interrupt: &'a Interrupt, limit: Option<Duration>) -> Self {
        Self { console, interrupt, began: Instant::now(), limit, silent: false }
    }

    /// The same eye with its mouth shut, for searches among others that nobody wants to follow one by one.
    pub(super) const fn silent(&self) -> Self {
        Self { console: self.console, interrupt: self.interrupt, began: self.began, limit: self.limit, silent: true }
    }

    /// Why the search must stop now, if it must.
    pub(super) fn cut(&self) -> Option<CutBy> {
        if self.interrupt.pressed() {
            return Some(CutBy::Signal);
        }
        self.limit.filter(|limit| self.began.elapsed() >= *limit).map(|_| CutBy::Time)
    }

    /// How many threads may carry the search: as was said, or as many as the machine has. The plan does not depend
    /// on it.
    pub(super) fn threads(&self) -> usize {
        let all = || std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        self.console.threads().map_or_else(all, usize::from)
    }

    /// Passes on a line of progress with the time it came at.
    pub(super) fn tell(&self, news: &str) {
        if self.silent {
            return;
        }
        self.console.note(&format!("{:6.1} s  {news}", self.began.elapsed().as_secs_f64()));
    }
}
