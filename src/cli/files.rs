//! Reads a job folder: the files turnto knows, whole, and of the others that could be meant only the names.

use std::fs;
use std::io::Read;
use std::path::Path;

use sha2::{Digest, Sha256};

use crate::cli::fault::Fault;
use crate::input::{FILES, File, Folder};

/// How much of a file is read: more than any job file may have, so that one that is too long is seen to be.
const LONGEST: u64 = 16 * 1024 * 1024;

/// A job folder as it was read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct JobFiles {
    /// What there is at the top of the folder and looks like a job file, known or not.
    pub(super) folder: Folder,
    /// Fingerprint over path, length and bytes of each file that is known, in lower-case hexadecimal.
    pub(super) sha256: String,
}

/// Reads the job folder at `path`.
///
/// # Errors
/// Everything that could not be read, not only the first.
pub(super) fn read_job(path: &Path) -> Result<JobFiles, Vec<Fault>> {
    let names = names(path).map_err(|fault| vec![fault])?;
    let mut folder = Folder::new();
    let mut faults = Vec::new();
    for name in names {
        if FILES.contains(&name.as_str()) {
            match read_bytes(&path.join(&name)) {
                Ok(bytes) => folder.add(name, bytes),
                Err(fault) => faults.push(fault),
            }
        } else if [".toml", ".csv"].iter().any(|ending| name.ends_with(ending)) {
            // The reader says what to do about a file that could be meant; what is in it is none of its business.
            folder.add(name, Vec::new());
        }
    }
    if faults.is_empty() { Ok(JobFiles { sha256: fingerprint(folder.files()), folder }) } else { Err(faults) }
}

/// Names in `folder` that are text, sorted; names that are not cannot be a known one.
fn names(folder: &Path) -> Result<Vec<String>, Fault> {
    if folder.is_file() {
        return Err(Fault::named("read", folder, "it is a file; name the job folder it lies in"));
    }
    if !folder.exists() && !folder.is_symlink() {
        let words = format!("there is no such folder; `turnto new {}` makes one to begin with", folder.display());
        return Err(Fault::named("read", folder, words));
    }
    let refused = |error| Fault::system("read", folder, error);
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).map_err(refused)? {
        names.extend(entry.map_err(refused)?.file_name().into_string());
    }
    names.sort();
    Ok(names)
}

/// Reads one file, up to the length after which it cannot be meant.
fn read_bytes(path: &Path) -> Result<Vec<u8>, Fault> {
    let refused = |error| Fault::system("read", path, error);
    if path.is_dir() {
        return Err(Fault::named("read", path, "it is a folder, and should be a file"));
    }
    let file = fs::File::open(path).map_err(refused)?;
    let mut bytes = Vec::new();
    file.take(LONGEST).read_to_end(&mut bytes).map_err(refused)?;
    Ok(bytes)
}

/// Reads one file as text, for files that have no excerpts of their own to show what is wrong.
///
/// # Errors
/// The file cannot be read, or is not UTF-8 text.
pub(super) fn read_text(path: &Path) -> Result<String, Fault> {
    String::from_utf8(read_bytes(path)?).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..good].split(|b| *b == b'\n').count();
        Fault::named("read", path, format!("line {line} is not UTF-8 text; save the file as UTF-8"))
    })
}

/// SHA-256 over, for each file in order of path: path, line feed, length in bytes as a decimal number, line
/// feed, bytes. Two folders have the same fingerprint only if they say the same, byte for byte.
fn fingerprint(files: &[File]) -> String {
    let mut hash = Sha256::new();
    for file in files.iter().filter(|file| FILES.contains(&file.path.as_str())) {
        hash.update(format!("{}\n{}\n", file.path, file.bytes.len()));
        hash.update(&file.bytes);
    }
    hash.finalize().iter().fold(String::new(), |text, byte| text + &format!("{byte:02x}"))
}

#[cfg(test)]
mod tests;
