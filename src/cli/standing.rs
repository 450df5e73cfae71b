//! The plan that stands: the newest of a job folder, with the problem it answers. A plan that was made again while
//! the job ran answers what was left then, which is worked out anew from the plans it was made from and the log.

use std::path::Path;

use crate::cli::fault::Fault;
use crate::cli::files::read_text;
use crate::cli::job::Job;
use crate::cli::latest::latest_name;
use crate::cli::words::counted;
use crate::model::Problem;
use crate::replan::{NoRemainder, Standing, Whole, remainder};
use crate::report::{Heading, read_heading, read_plan};

/// The newest plan.
pub(super) struct Stands {
    /// Name of its folder (`001`).
    pub(super) name: String,
    /// The job with its log.
    pub(super) whole: Whole,
    /// The plan and what it answers.
    pub(super) standing: Standing,
}

/// The plan that `plan/latest` of a job folder names; `None` where there is none yet.
///
/// # Errors
/// Files cannot be read, or a plan does not fit the job as it is now.
pub(super) fn standing(folder: &Path, job: &Job, problem: &Problem) -> Result<Option<Stands>, Vec<Fault>> {
    let Some(name) = latest_name(folder)? else { return Ok(None) };
    let whole = Whole::new(problem.clone(), job.reading.log.clone());
    let standing = chain(folder, &name, &whole, problem)?;
    Ok(Some(Stands { name, whole, standing }))
}

/// The plan with the number `name` and everything it was made from, worked out from the first on.
///
/// # Errors
/// As for [`standing`].
pub(super) fn chain(folder: &Path, name: &str, whole: &Whole, problem: &Problem) -> Result<Standing, Vec<Fault>> {
    let last = told(folder, name, whole, problem)?.pop();
    last.map(|(_, standing)| standing).ok_or_else(|| vec![Fault::named("use", &folder.join("plan"), "there is no plan in it")])
}

/// The plan with the number `name` and everything it was made from, each with its number, the first first.
///
/// # Errors
/// As for [`standing`].
pub(super) fn told(folder: &Path, name: &str, whole: &Whole, problem: &Problem) -> Result<Vec<(String, Standing)>, Vec<Fault>> {
    let mut texts: Vec<(String, String, Heading)> = Vec::new();
    let mut next = Some(name.to_owned());
    while let Some(name) = next {
        let file = folder.join("plan").join(&name).join("plan.json");
        let text = read_text(&file).map_err(|fault| vec![fault])?;
        let heading = read_heading(&problem.clock, &text)
            .map_err(|list| list.iter().map(|one| Fault::named("use", &file, one.to_string())).collect::<Vec<_>>())?;
        // Each was made from an earlier one, so this comes to an end.
        let before = heading.based_on.filter(|n| name.parse().is_ok_and(|own: u32| *n < own));
        next = before.map(|n| format!("{n:03}"));
        texts.push((name, text, heading));
    }
    let mut told: Vec<(String, Standing)> = Vec::new();
    for (name, text, heading) in texts.into_iter().rev() {
        let file = folder.join("plan").join(&name).join("plan.json");
        let misfit = |list: Vec<String>| -> Vec<Fault> {
            let mut faults: Vec<Fault> = list.iter().take(5).map(|one| Fault::named("use", &file, one.clone())).collect();
            let words = format!("it does not fit the job folder and its log in {}; plan again", counted(list.len(), "place"));
            faults.push(Fault::named("use", &file, words));
            faults
        };
        let words = |list: Vec<crate::report::PlanProblem>| misfit(list.iter().map(ToString::to_string).collect());
        let standing = match told.last() {
            None => Standing::first(problem.clone(), read_plan(problem, &text).map_err(words)?),
            Some((_, before)) => {
                let rest =
                    remainder(whole, before, heading.start, written(&heading)).map_err(|why| misfit(vec![no_remainder(problem, &why)]))?;
                let plan = read_plan(&rest.problem, &text).map_err(words)?;
                rest.with(plan)
            }
        };
        told.push((name, standing));
    }
    Ok(told)
}

/// What the document `text` answers, if it was made while the job ran: what was left of the job then.
///
/// # Errors
/// The plans it was made from cannot be read, or do not fit the job as it is now.
pub(super) fn answered(folder: &Path, job: &Job, problem: &Problem, text: &str) -> Result<Option<Problem>, Vec<Fault>> {
    let Ok(heading) = read_heading(&problem.clock, text) else { return Ok(None) };
    let Some(before) = heading.based_on else { return Ok(None) };
    let whole = Whole::new(problem.clone(), job.reading.log.clone());
    let standing = chain(folder, &format!("{before:03}"), &whole, problem)?;
    let rest = remainder(&whole, &standing, heading.start, written(&heading));
    rest.map(|rest| Some(rest.problem)).map_err(|why| {
        let words = format!("what the plan was made for cannot be worked out: {}", no_remainder(problem, &why));
        vec![Fault::named("use", &folder.join("log.toml"), words)]
    })
}

/// How many entries of the log a plan takes in.
fn written(heading: &Heading) -> usize {
    heading.log_entries.map_or(0, |n| usize::try_from(n).unwrap_or(usize::MAX))
}

/// Why nothing can be planned from a moment on, in words.
pub(super) fn no_remainder(problem: &Problem, why: &NoRemainder) -> String {
    let at = |moment| problem.clock.day_time(moment);
    match why {
        NoRemainder::TooEarly(start) => format!("the plan begins {}, and nothing can be planned again before that", at(*start)),
        NoRemainder::AllDone => "every task is done; there is nothing left to plan".to_owned(),
        NoRemainder::Over(end) => {
            format!("the job may last to {} and no longer; correct the time, or give it more days in job.toml", at(*end))
        }
        NoRemainder::Impossible { defects, .. } => {
            let list: Vec<String> = defects.iter().map(ToString::to_string).collect();
            format!("what is left cannot be done: {}", list.join("; "))
        }
    }
}
