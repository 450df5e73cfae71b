//! `turnto explain`: more about a code, or about the keys of a file.

use crate::cli::args::Explain;
use crate::cli::console;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::words::wrapped;
use crate::diag::Code;
use crate::input::{KEY_PAGES, key_page, near_key_page};
use crate::out::{key_pages_text, keys_text};

/// Prints the explanation of one code, the keys of one file, or the list of all codes and files.
///
/// # Errors
/// Standard output cannot be written.
pub(super) fn run(explain: &Explain) -> Result<Exit, Vec<Fault>> {
    let Some(asked) = explain.about.as_deref().map(str::trim) else {
        return answer(&list());
    };
    if let Some(code) = Code::ALL.iter().find(|code| code.text().eq_ignore_ascii_case(asked)) {
        return answer(&format!("{}: {}\n\n{}\n", code.text(), code.title(), wrapped(code.explanation())));
    }
    if let Some(page) = key_page(asked) {
        return answer(&keys_text(page));
    }
    console::complain(&match near_key_page(asked) {
        Some(near) => format!("there is no code or file `{asked}`; `turnto explain {near}` if that is what is meant"),
        None => format!("there is no code `{asked}`; `turnto explain` lists them all"),
    });
    Ok(Exit::Wrong)
}

fn answer(text: &str) -> Result<Exit, Vec<Fault>> {
    console::answer(text).map_err(|fault| vec![fault])?;
    Ok(Exit::Done)
}

/// All codes with their titles, then all files, a line each.
fn list() -> String {
    let codes: String = Code::ALL.iter().map(|code| [code.text(), "  ", code.title(), "\n"].concat()).collect();
    let mut pages = KEY_PAGES;
    pages.sort_by_key(|page| page.file);
    [codes, "\n".to_owned(), key_pages_text(&pages)].concat()
}
