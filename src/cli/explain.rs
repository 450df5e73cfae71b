//! `turnto explain`: more about a code.

use crate::cli::args::Explain;
use crate::cli::console;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::words::wrapped;
use crate::diag::Code;

/// Prints the explanation of one code, or the list of all.
///
/// # Errors
/// Standard output cannot be written.
pub(super) fn run(explain: &Explain) -> Result<Exit, Vec<Fault>> {
    let text = if let Some(asked) = &explain.code {
        let Some(code) = Code::ALL.iter().find(|code| code.text().eq_ignore_ascii_case(asked.trim())) else {
            console::complain(&format!("there is no code `{asked}`; `turnto explain` lists them all"));
            return Ok(Exit::Wrong);
        };
        format!("{}: {}\n\n{}\n", code.text(), code.title(), wrapped(code.explanation()))
    } else {
        list()
    };
    console::answer(&text).map_err(|fault| vec![fault])?;
    Ok(Exit::Done)
}

/// All codes with their titles, a line each.
fn list() -> String {
    Code::ALL.iter().map(|code| [code.text(), "  ", code.title(), "\n"].concat()).collect()
}
