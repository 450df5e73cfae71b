//! A job folder, read and understood as far as it can be.

use std::path::Path;

use crate::cli::console::{self, Console};
use crate::cli::fault::Fault;
use crate::cli::files::read_job;
use crate::cli::sets;
use crate::cli::words::counted;
use crate::diag::{Diagnostic, Severity};
use crate::input::{self, Reading};
use crate::model::Problem;
use crate::ui::diagnostics::{self, Look};

/// What came of reading a job folder.
pub(super) struct Job {
    /// What the reader made of it.
    pub(super) reading: Reading,
    /// Fingerprint of the files.
    pub(super) sha256: String,
}

impl Job {
    /// Reads the folder at `path`.
    ///
    /// # Errors
    /// The files cannot be read at all.
    pub(super) fn open(path: &Path) -> Result<Self, Vec<Fault>> {
        let job = read_job(path)?;
        Ok(Self { reading: input::read(&job.folder), sha256: job.sha256 })
    }

    /// Reads the folder at `path` for the record of hours in it: there may be no task.
    ///
    /// # Errors
    /// The files cannot be read at all.
    pub(super) fn open_record(path: &Path) -> Result<Self, Vec<Fault>> {
        let job = read_job(path)?;
        Ok(Self { reading: input::read_record(&job.folder), sha256: job.sha256 })
    }

    /// Everything the reader has to say, as excerpts with labels; empty if that is nothing.
    pub(super) fn rendered(&self, look: Look) -> String {
        diagnostics::render(&self.reading.diagnostics, &self.reading.sources, look)
    }

    /// The problem, if nothing is wrong; otherwise what is wrong is said on standard error. What is doubtful is a
    /// matter for `turnto check`.
    pub(super) fn usable(&self, folder: &Path, console: &Console) -> Option<&Problem> {
        let usable = self.reading.problem.as_ref().filter(|_| self.counts().0 == 0);
        if usable.is_none() {
            console::show(&self.rendered(console.notes_look()));
            console::complain(&self.summary(folder));
        }
        usable
    }

    /// The problem, if nothing is wrong and it can be planned under its rest rules; otherwise why not is said on
    /// standard error.
    pub(super) fn steerable(&self, folder: &Path, console: &Console) -> Option<&Problem> {
        let problem = self.usable(folder, console)?;
        let why = sets::cannot_steer(problem);
        if let Some(why) = &why {
            console::complain(why);
        }
        why.is_none().then_some(problem)
    }

    /// What to say where a job that has a log is planned from its start.
    pub(super) fn log_left_out(&self) -> Option<String> {
        let entries = self.reading.log.entries.len();
        let them = if entries == 1 { "it" } else { "them" };
        (entries > 0).then(|| {
            format!(
                "The log has {}; planned from its start, the job is planned without {them}. `turnto replan` plans what is left.",
                counted(entries, "entry")
            )
        })
    }

    /// How many things are wrong, and how many doubtful.
    pub(super) fn counts(&self) -> (usize, usize) {
        let count = |severity| self.reading.diagnostics.iter().filter(|d: &&Diagnostic| d.severity() == severity).count();
        (count(Severity::Error), count(Severity::Doubtful))
    }

    /// One line on what there is in the folder.
    pub(super) fn summary(&self, folder: &Path) -> String {
        let folder = folder.display();
        match (self.counts(), &self.reading.problem) {
            ((0, doubtful), Some(problem)) => {
                let doubts = if doubtful == 0 { "in order".to_owned() } else { counted(doubtful, "doubtful entry") };
                format!(
                    "{folder}: {doubts}; {}, {}, {} to {}",
                    counted(problem.tasks.len(), "task"),
                    counted(problem.people.len(), "person"),
                    problem.clock.day_time(problem.start),
                    problem.clock.day_time(problem.end),
                )
            }
            ((wrong, 0), _) => format!("{folder}: {}, to be put right before anything can be planned", counted(wrong, "error")),
            ((wrong, doubtful), _) => {
                format!("{folder}: {} and {}; put the errors right first", counted(wrong, "error"), counted(doubtful, "doubtful entry"))
            }
        }
    }
}
