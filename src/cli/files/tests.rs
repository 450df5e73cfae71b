//! Reading of job folders.

use std::fs;

use super::*;

fn folder(files: &[(&str, &[u8])]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    folder
}

/// If this fails, files are read that are not the job's, or files of the job are not read. Of a name that could
/// be a slip the reader must hear, so that it can say so.
#[test]
fn only_known_files_are_read_and_in_order() {
    let folder =
        folder(&[("tasks.toml", b"t"), ("job.toml", b"j"), ("notes.txt", b"n"), ("plan/001/plan.json", b"{}"), ("task.toml", b"x")]);
    let job = read_job(folder.path()).unwrap();
    assert_eq!(job.folder, Folder::new().with("job.toml", *b"j").with("task.toml", *b"").with("tasks.toml", *b"t"));
}

/// If this fails, the fingerprint in plans is not what its description says, and nobody can check it.
///
/// Expected value by other means: `printf 'job.toml\n2\nj\ntasks.toml\n0\n' | sha256sum` (job.toml holds "j"
/// and a line feed, tasks.toml nothing).
#[test]
fn the_fingerprint_is_over_path_length_and_bytes() {
    let job = read_job(folder(&[("job.toml", b"j\n"), ("tasks.toml", b"")]).path()).unwrap();
    assert_eq!(job.sha256, "97de42f30fc8d0a78a32b6c8c70453f154b950b13e84b05b64dc8083a0af40dc");
    let moved = read_job(folder(&[("job.toml", b""), ("tasks.toml", b"j\n")]).path()).unwrap();
    assert_ne!(job.sha256, moved.sha256);
}

/// If this fails, plans, notes and anything else in the folder change the fingerprint of the same job.
#[test]
fn plans_and_notes_do_not_count() {
    let bare = read_job(folder(&[("job.toml", b"j")]).path()).unwrap();
    let more = read_job(folder(&[("job.toml", b"j"), ("plan/001/plan.json", b"{}"), ("notes.txt", b"n")]).path()).unwrap();
    assert_eq!(bare.sha256, more.sha256);
}

/// If this fails, somebody who mistypes a folder is not told what to do, or gets the wrong exit code.
#[test]
fn what_is_not_a_job_folder_is_named() {
    let folder = folder(&[("job.toml", b"j"), ("tasks.toml/x", b"")]);
    let said = |path: &Path| read_job(path).unwrap_err().iter().map(|f| (f.exit(), f.to_string())).collect::<Vec<_>>();
    let missing = folder.path().join("attic");
    let words = format!("could not read {0}: there is no such folder; `turnto new {0}` makes one to begin with", missing.display());
    assert_eq!(said(&missing), [(crate::cli::exit::Exit::Wrong, words)]);
    let file = folder.path().join("job.toml");
    let words = format!("could not read {}: it is a file; name the job folder it lies in", file.display());
    assert_eq!(said(&file), [(crate::cli::exit::Exit::Wrong, words)]);
    let inner = folder.path().join("tasks.toml");
    let words = format!("could not read {}: it is a folder, and should be a file", inner.display());
    assert_eq!(said(folder.path()), [(crate::cli::exit::Exit::Wrong, words)]);
}

/// If this fails, a plan file that was saved in another encoding is a riddle.
#[test]
fn text_in_another_encoding_is_named_with_its_line() {
    let folder = folder(&[("plan.json", b"{\n\"a\": \"\xe9\"}")]);
    let path = folder.path().join("plan.json");
    let fault = read_text(&path).unwrap_err();
    assert_eq!(fault.to_string(), format!("could not read {}: line 2 is not UTF-8 text; save the file as UTF-8", path.display()));
}
