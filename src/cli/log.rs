//! `turnto log`: writes an entry into `log.toml`, or prints the log.

use std::path::Path;

use crate::cli::args::Log as Asked;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::files::{read_job, read_text};
use crate::cli::job::Job;
use crate::cli::words::{counted, wrapped};
use crate::cli::write::append;
use crate::diag::{Code, Diagnostic};
use crate::input::{self, EntryText};
use crate::out;
use crate::replan::Whole;
use crate::ui::diagnostics;

/// Name of the log in a job folder.
const LOG: &str = "log.toml";

/// Appends an entry, or prints what is there.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Asked, console: &Console) -> Result<Exit, Vec<Fault>> {
    if asked.what.is_empty() && asked.at.is_none() && asked.add.is_none() && asked.note.is_none() {
        return print(&asked.folder, console);
    }
    let Some(at) = &asked.at else {
        console::complain("say when it happened: --at \"day 4 14:20\"");
        return Ok(Exit::Wrong);
    };
    let added = asked.add.as_ref().map(|file| read_text(file)).transpose().map_err(|fault| vec![fault])?;
    let entry = match input::entry_text(&EntryText { at, what: &asked.what, note: asked.note.as_deref(), add: added.as_deref() }) {
        Ok(entry) => entry,
        Err(words) => {
            console::complain(&wrapped(&words));
            return Ok(Exit::Wrong);
        }
    };
    // What is to be written is read first, with everything that is there, as it will be read ever after.
    let files = read_job(&asked.folder)?;
    let old = files.folder.files().iter().find(|f| f.path == LOG).map_or_else(Vec::new, |f| f.bytes.clone());
    let gap: &[u8] = if old.is_empty() {
        b""
    } else if old.ends_with(b"\n") {
        b"\n"
    } else {
        b"\n\n"
    };
    let new: Vec<u8> = [old.as_slice(), gap, entry.as_bytes()].concat();
    let job = Job { reading: input::read(&files.folder.with(LOG, new.clone())), sha256: files.sha256 };
    let Some(problem) = job.usable(&asked.folder, console) else {
        console::complain("nothing was written");
        return Ok(Exit::Wrong);
    };
    let path = asked.folder.join(LOG);
    append(&path, &old, &new).map_err(|fault| vec![fault])?;
    let whole = Whole::new(problem.clone(), job.reading.log.clone());
    let line = job.reading.log.entries.last().map_or_else(String::new, |last| out::entry_line(&whole, last));
    let answered = console::answer(&format!("{line}\n"));
    // What is odd about it is said while it is fresh; about the rest `turnto check` is there.
    let new_doubt = |d: &&Diagnostic| d.code == Code::LogDoubtful && d.primary.as_ref().is_some_and(|l| l.place.start >= old.len());
    let doubts: Vec<Diagnostic> = job.reading.diagnostics.iter().filter(new_doubt).cloned().collect();
    if !doubts.is_empty() {
        console.note(diagnostics::render(&doubts, &job.reading.sources, console.notes_look()).trim_end());
    }
    console.note(&format!("written as entry {} of {}", job.reading.log.entries.len(), path.display()));
    answered.map_err(|fault| vec![fault])?;
    Ok(Exit::Done)
}

fn print(folder: &Path, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(folder)?;
    let Some(problem) = job.usable(folder, console) else { return Ok(Exit::Wrong) };
    let whole = Whole::new(problem.clone(), job.reading.log.clone());
    if whole.log.entries.is_empty() {
        console.note(&format!("nothing is logged in {}", folder.display()));
        return Ok(Exit::Done);
    }
    console::answer(&out::log_text(&whole)).map_err(|fault| vec![fault])?;
    console.note(&counted(whole.log.entries.len(), "log entry"));
    Ok(Exit::Done)
}
