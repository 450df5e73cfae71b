//! Sets of rest rules named on the command line, and whether those of a job can steer the planner.

use std::path::Path;

use crate::cli::console::{self, Console};
use crate::cli::fault::Fault;
use crate::cli::files::read_text;
use crate::cli::words::wrapped;
use crate::input::own_rules;
use crate::model::Problem;
use crate::rest::RuleSet;
use crate::ui::diagnostics;

/// A user's own sets: those of the file `rules.toml` in `folder`, none where there is no such file. `None` where
/// something is wrong with them, which is said.
///
/// # Errors
/// The file cannot be read.
pub(super) fn own(folder: &Path, console: &Console) -> Result<Option<Vec<RuleSet>>, Fault> {
    let path = folder.join("rules.toml");
    if !path.exists() {
        return Ok(Some(Vec::new()));
    }
    let read = own_rules(&read_text(&path)?);
    if read.diagnostics.is_empty() {
        return Ok(Some(read.sets));
    }
    console::show(&diagnostics::render(&read.diagnostics, &read.sources, console.notes_look()));
    Ok(None)
}

/// The set of that code, one's own or built in; where there is none, that is said.
pub(super) fn find(code: &str, own: &[RuleSet]) -> Option<RuleSet> {
    let code = code.trim();
    let found = own.iter().find(|set| set.code == code).cloned().or_else(|| RuleSet::by_code(code));
    if found.is_none() {
        console::complain(&format!("there is no set of rest rules `{code}`; `turnto rules` lists them all"));
    }
    found
}

/// Why the job cannot be planned under its rest rules, though records can be checked by them; `None` where it can.
pub(super) fn cannot_steer(problem: &Problem) -> Option<String> {
    let errors = problem.cannot_steer();
    if errors.is_empty() {
        return None;
    }
    Some(wrapped(&format!(
        "Nothing was planned: under these rest rules it cannot be known while planning whether a plan will be legal. {}. Records, and \
         plans made by other rules, can be checked by them with `turnto rest`. To plan, choose another set or reading in job.toml \
         under [rest].",
        errors.join("; ")
    )))
}
