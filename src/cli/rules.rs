//! `turnto rules`: the sets of rest rules.

use crate::cli::args::Rules;
use crate::cli::console;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::out;
use crate::rest::RuleSet;

/// Prints all sets, or one in full.
///
/// # Errors
/// Standard output cannot be written.
pub(super) fn run(asked: &Rules) -> Result<Exit, Vec<Fault>> {
    let text = if let Some(code) = &asked.code {
        let Some(set) = RuleSet::by_code(code.trim()) else {
            console::complain(&format!("there is no set of rest rules `{code}`; `turnto rules` lists them all"));
            return Ok(Exit::Wrong);
        };
        out::rule_set_text(&set)
    } else {
        let sets: Vec<RuleSet> = RuleSet::codes().filter_map(RuleSet::by_code).collect();
        out::rule_sets_text(&sets)
    };
    console::answer(&text).map_err(|fault| vec![fault])?;
    Ok(Exit::Done)
}
