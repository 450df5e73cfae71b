//! `turnto account` and `turnto norms`: labour planned, done and to go, and the ship's own hours.

use crate::cli::args::At;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::job::Job;
use crate::cli::standing::{no_remainder, standing};
use crate::cli::words::wrapped;
use crate::input;
use crate::out;
use crate::replan::{Spent, Whole, remainder, spent};
use crate::time::Moment;

/// Prints the labour account.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn account(asked: &At, console: &Console) -> Result<Exit, Vec<Fault>> {
    told(asked, console, out::spent_text)
}

/// Prints the hours of tasks that are done and logged, to be laid over the next job.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn norms(asked: &At, console: &Console) -> Result<Exit, Vec<Fault>> {
    told(asked, console, |whole, spent, _| out::norms_text(whole, spent))
}

fn told(asked: &At, console: &Console, text: impl Fn(&Whole, &Spent, Moment) -> String) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.usable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    let wrong = |words: &str| {
        console::complain(&wrapped(words));
        Ok(Exit::Wrong)
    };
    let now = match input::moment(&asked.now, &problem.clock) {
        Ok(now) => now,
        Err(words) => return wrong(&words),
    };
    let Some(stands) = standing(&asked.folder, &job, problem)? else {
        return wrong(&format!("there is no plan in {} yet; `turnto plan` makes one", asked.folder.display()));
    };
    match remainder(&stands.whole, &stands.standing, now, job.reading.log.entries.len()) {
        Ok(rest) => {
            let account = spent(&stands.whole, &rest);
            console::answer(&text(&stands.whole, &account, rest.problem.start)).map_err(|fault| vec![fault])?;
            for words in &rest.notes {
                console.note(&wrapped(words));
            }
            Ok(Exit::Done)
        }
        Err(why) => wrong(&no_remainder(problem, &why)),
    }
}
