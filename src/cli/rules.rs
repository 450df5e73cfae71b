//! `turnto rules`: the sets of rest rules.

use crate::cli::args::Rules;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::sets;
use crate::out;
use crate::rest::RuleSet;

/// Prints all sets, or one in full.
///
/// # Errors
/// A file cannot be read, or standard output cannot be written.
pub(super) fn run(asked: &Rules, console: &Console) -> Result<Exit, Vec<Fault>> {
    let Some(own) = sets::own(&asked.folder, console).map_err(|fault| vec![fault])? else { return Ok(Exit::Wrong) };
    let text = if let Some(code) = &asked.code {
        let Some(set) = sets::find(code, &own) else { return Ok(Exit::Wrong) };
        out::rule_set_text(&set)
    } else {
        let sets: Vec<RuleSet> = RuleSet::codes().filter_map(RuleSet::by_code).chain(own).collect();
        out::rule_sets_text(&sets)
    };
    console::answer(&text).map_err(|fault| vec![fault])?;
    Ok(Exit::Done)
}
