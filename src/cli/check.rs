//! `turnto check`: everything that is wrong or doubtful in a job folder, and whether a plan keeps the rules.

use std::path::{Path, PathBuf};

use crate::cli::args::Check;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::files::read_text;
use crate::cli::job::Job;
use crate::cli::standing::answered;
use crate::cli::words::counted;
use crate::model::Problem;
use crate::report::read_plan;
use crate::time::Minutes;
use crate::verify::{Verified, verify};

/// Checks the folder, and the plan if one is named. What was found is what was asked for, so it goes to standard
/// output.
///
/// # Errors
/// Files cannot be read, or standard output cannot be written.
pub(super) fn run(check: &Check, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&check.folder)?;
    let (wrong, doubtful) = job.counts();
    let mut text = job.rendered(console.answer_look());
    let mut exit = match (wrong, doubtful) {
        (0, 0) => Exit::Done,
        (0, _) => Exit::Attention,
        (_, _) => Exit::Wrong,
    };
    text.push_str(&job.summary(&check.folder));
    text.push('\n');
    if let (Some(file), Some(problem)) = (&check.plan, &job.reading.problem) {
        let (lines, plan_exit) = check_plan(&check.folder, &job, problem, file)?;
        for line in lines {
            text.push_str(&line);
            text.push('\n');
        }
        exit = exit.max(plan_exit);
    }
    console::answer(&text).map_err(|fault| vec![fault])?;
    Ok(exit)
}

/// What the verifier says of the plan in `file`, which may also be the folder the plan lies in.
fn check_plan(folder: &Path, job: &Job, problem: &Problem, file: &Path) -> Result<(Vec<String>, Exit), Vec<Fault>> {
    let file = if file.is_dir() { file.join("plan.json") } else { PathBuf::from(file) };
    let shown = file.display();
    let text = read_text(&file).map_err(|fault| vec![fault])?;
    let answered = answered(folder, job, problem, &text)?;
    let problem = answered.as_ref().unwrap_or(problem);
    let plan = match read_plan(problem, &text) {
        Ok(plan) => plan,
        Err(list) => {
            let mut lines: Vec<String> = list.iter().map(|one| format!("{shown}: {one}")).collect();
            lines.push(format!("{shown}: {} where it does not fit the job", counted(list.len(), "place")));
            return Ok((lines, Exit::Wrong));
        }
    };
    Ok(match verify(problem, plan) {
        Ok(verified) => judged(problem, &verified, &shown.to_string()),
        Err(rejected) => {
            let mut lines: Vec<String> = rejected.breaches.iter().map(|breach| breach.describe(problem)).collect();
            lines.push(format!("{shown}: breaks hard rules in {}", counted(rejected.breaches.len(), "place")));
            (lines, Exit::Attention)
        }
    })
}

/// A plan that keeps the hard rules, in a few lines.
fn judged(problem: &Problem, verified: &Verified, shown: &str) -> (Vec<String>, Exit) {
    let account = verified.account();
    let late = account.milestones.iter().filter(|m| m.late > Minutes::ZERO).count();
    let recorded: usize = account.people.iter().map(|p| p.rest.recorded_findings.len()).sum();
    let open = account.people.iter().filter(|p| p.rest.not_checkable_before.is_some()).count();
    let mut lines = vec![format!("{shown}: keeps all hard rules; finish {}", problem.clock.day_time(account.finish))];
    if !account.shortfalls.is_empty() {
        lines.push(format!("{shown}: machinery or reserve falls short in {}", counted(account.shortfalls.len(), "stretch")));
    }
    if late > 0 {
        lines.push(format!("{shown}: {} missed", counted(late, "milestone")));
    }
    if recorded > 0 {
        lines.push(format!("{shown}: {} of rest rules in the record before it", counted(recorded, "finding")));
    }
    if open > 0 {
        lines.push(format!("{shown}: rest cannot be checked to the beginning for {}", counted(open, "person")));
    }
    let exit = if lines.len() == 1 { Exit::Done } else { Exit::Attention };
    (lines, exit)
}
