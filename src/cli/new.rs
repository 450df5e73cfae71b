//! `turnto new`: a small commented job folder that plans as it stands.

use crate::cli::args::New;
use crate::cli::console::Console;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::write::write_job;
use crate::input::STARTER;

/// Writes the folder.
///
/// # Errors
/// There is something in the folder already, or it cannot be written.
pub(super) fn run(new: &New, console: &Console) -> Result<Exit, Vec<Fault>> {
    write_job(&new.folder, STARTER).map_err(|fault| vec![fault])?;
    let folder = new.folder.display();
    console.note(&format!("wrote {} files to {folder}; next: turnto plan {folder}", STARTER.len()));
    Ok(Exit::Done)
}
