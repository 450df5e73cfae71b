//! `turnto explain`: more about a code.

use crate::cli::args::Explain;
use crate::cli::console;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
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

/// A paragraph in lines of at most 80 letters, broken between words.
fn wrapped(paragraph: &str) -> String {
    let mut lines = vec![String::new()];
    for word in paragraph.split_whitespace() {
        let last = lines.last_mut().expect("there is always a line");
        if last.is_empty() {
            last.push_str(word);
        } else if last.chars().count() + 1 + word.chars().count() <= 80 {
            last.push(' ');
            last.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines.join("\n")
}
