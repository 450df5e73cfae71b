//! The newest plan of a job folder.

use std::path::Path;

use crate::cli::console;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::files::read_text;
use crate::cli::job::Job;
use crate::cli::standing::{Stands, standing};
use crate::cli::words::{counted, wrapped};
use crate::model::{Entry, Event, Problem};
use crate::plan::Plan;

/// A plan as it was read, not verified.
pub(super) struct Latest {
    /// Name of its folder (`001`).
    pub(super) name: String,
    /// What it answers: the job, or what was left of it when it was made.
    pub(super) problem: Problem,
    /// The plan.
    pub(super) plan: Plan,
    /// What to say where the log has entries that the plan does not know.
    pub(super) behind: Option<String>,
}

impl Latest {
    /// Says what the plan does not know; `exit`, or that something needs attention where there is such a thing.
    pub(super) fn said_behind(&self, exit: Exit) -> Exit {
        let Some(words) = &self.behind else { return exit };
        console::complain(&wrapped(words));
        if exit == Exit::Done { Exit::Attention } else { exit }
    }
}

/// The name that `job/plan/latest` holds; `None` where there is no plan yet.
///
/// # Errors
/// The file cannot be read, or holds something else.
pub(super) fn latest_name(job: &Path) -> Result<Option<String>, Vec<Fault>> {
    let pointer = job.join("plan").join("latest");
    if !pointer.exists() {
        return Ok(None);
    }
    let name = read_text(&pointer).map_err(|fault| vec![fault])?.trim().to_owned();
    if name.is_empty() || !name.bytes().all(|b| b.is_ascii_digit()) {
        let words = "it should hold the number of the newest plan, like 001; `turnto plan` writes it anew";
        return Err(vec![Fault::named("use", &pointer, words)]);
    }
    Ok(Some(name))
}

/// The plan that `plan/latest` names, with what it answers; `None` where there is none yet.
///
/// # Errors
/// The files cannot be read, or the plan does not fit the job folder as it is now.
pub(super) fn latest(folder: &Path, job: &Job, problem: &Problem) -> Result<Option<Latest>, Vec<Fault>> {
    let found = standing(folder, job, problem)?;
    Ok(found.map(|found| Latest { behind: behind(&found), name: found.name, problem: found.standing.problem, plan: found.standing.plan }))
}

fn behind(found: &Stands) -> Option<String> {
    let log = &found.whole.log;
    let bears = |(position, entry): &(usize, &Entry)| entry.event != Event::Note || log.adds(*position);
    let newer = log.entries.iter().enumerate().skip(found.standing.entries).filter(bears).count();
    let (has, they) = if newer == 1 { ("is", "it is") } else { ("are", "they are") };
    (newer > 0).then(|| {
        format!(
            "There {has} {} that plan {} does not know, and {they} not in this: `turnto replan` takes in what the log says.",
            counted(newer, "log entry"),
            found.name
        )
    })
}
