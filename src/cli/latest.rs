//! The newest plan of a job folder.

use std::path::Path;

use crate::cli::fault::Fault;
use crate::cli::files::read_text;
use crate::cli::words::counted;
use crate::model::Problem;
use crate::plan::Plan;
use crate::report::read_plan;

/// A plan as it was read, not verified.
pub(super) struct Latest {
    /// Name of its folder (`001`).
    pub(super) name: String,
    /// The plan.
    pub(super) plan: Plan,
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

/// The plan that `job/plan/latest` names, read against `problem`; `None` where there is none yet.
///
/// # Errors
/// The files cannot be read, or the plan does not fit the job folder as it is now.
pub(super) fn latest(job: &Path, problem: &Problem) -> Result<Option<Latest>, Vec<Fault>> {
    let Some(name) = latest_name(job)? else { return Ok(None) };
    let file = job.join("plan").join(&name).join("plan.json");
    let text = read_text(&file).map_err(|fault| vec![fault])?;
    match read_plan(problem, &text) {
        Ok(plan) => Ok(Some(Latest { name, plan })),
        Err(list) => {
            let mut faults: Vec<Fault> = list.iter().take(5).map(|one| Fault::named("use", &file, one.to_string())).collect();
            let words = format!("it does not fit the job folder in {}; plan again", counted(list.len(), "place"));
            faults.push(Fault::named("use", &file, words));
            Err(faults)
        }
    }
}
