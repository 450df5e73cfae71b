//! Every diagnostic once: a folder that triggers it, and what is printed.
//!
//! A fixture holds only the files in which it differs from `sound/`, a small job without a fault;
//! `without.txt` lists files it does not have. `SNAPSHOTS=overwrite` writes what is printed now.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use turnto::diag::{Code, Severity};
use turnto::input::{Folder, Reading, read};
use turnto::ui::diagnostics::{Look, render};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/diagnostics")
}

fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).expect("the fixture is there") {
        let path = entry.expect("it can be listed").path();
        let name = path.file_name().expect("it has a name").to_string_lossy().into_owned();
        if name != "expected.txt" && name != "without.txt" {
            files.push((name, fs::read(&path).expect("it can be read")));
        }
    }
    files
}

fn folder(fixture: &str) -> Folder {
    let place = root().join(fixture);
    let without = fs::read_to_string(place.join("without.txt")).unwrap_or_default();
    let mut folder = Folder::new();
    for (name, bytes) in files(&root().join("sound")) {
        if !without.lines().any(|line| line == name) {
            folder.add(name, bytes);
        }
    }
    for (name, bytes) in files(&place) {
        folder.add(name, bytes);
    }
    if fixture == Code::TooLarge.text() {
        // A file of more than four megabytes would be a burden to everybody who fetches the source.
        folder.add("tools.toml", vec![b'#'; 4 * 1024 * 1024 + 1]);
    }
    folder
}

fn codes(reading: &Reading) -> BTreeSet<&'static str> {
    reading.diagnostics.iter().map(|d| d.code.text()).collect()
}

/// If this fails, fixtures are measured against a job that has faults of its own.
#[test]
fn the_sound_job_reads_without_a_word() {
    let reading = read(&folder("sound"));
    assert_eq!(render(&reading.diagnostics, &reading.sources, Look::PLAIN), "");
    assert!(reading.problem.is_some());
}

/// If this fails, a code is never tried, or a fixture tries nothing.
#[test]
fn every_code_has_a_fixture_and_every_fixture_a_code() {
    let fixtures: BTreeSet<String> = fs::read_dir(root())
        .expect("the fixtures are there")
        .map(|entry| entry.expect("it can be listed").file_name().to_string_lossy().into_owned())
        .filter(|name| name != "sound")
        .collect();
    let codes: BTreeSet<String> = Code::ALL.iter().map(|code| code.text().to_owned()).collect();
    assert_eq!(fixtures, codes);
}

/// If this fails, a fault is no longer found, is found as something else, or brings others in its train that
/// nobody made; or a wrong job is planned, or a doubtful one is not.
#[test]
fn every_fixture_has_its_own_fault_alone() {
    let mut wrong = Vec::new();
    for code in Code::ALL {
        let reading = read(&folder(code.text()));
        let planned = reading.problem.is_some();
        if codes(&reading) != BTreeSet::from([code.text()]) || planned != (code.severity() == Severity::Doubtful) {
            wrong.push(format!("{} (planned: {planned}):\n{}", code.text(), plain(&reading)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// If this fails, what people read about a fault has changed; look whether it is still plain and true.
#[test]
#[expect(clippy::disallowed_methods, reason = "a person may ask the test to record what is printed now")]
fn every_fixture_is_printed_as_recorded() {
    let mut wrong = Vec::new();
    for code in Code::ALL {
        let printed = plain(&read(&folder(code.text())));
        let path = root().join(code.text()).join("expected.txt");
        if std::env::var_os("SNAPSHOTS").is_some_and(|v| v == "overwrite") {
            fs::write(&path, &printed).expect("the fixture can be written");
        }
        if fs::read_to_string(&path).unwrap_or_default() != printed {
            wrong.push(format!("{}:\n{printed}", code.text()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn plain(reading: &Reading) -> String {
    render(&reading.diagnostics, &reading.sources, Look::PLAIN)
}

/// If this fails, a diagnostic is wider than the terminal of an old laptop.
#[test]
fn what_is_printed_fits_eighty_columns() {
    for code in Code::ALL {
        let printed = plain(&read(&folder(code.text())));
        for line in printed.lines() {
            assert!(line.chars().count() <= 80, "{}: {line}", code.text());
        }
    }
}

/// If this fails, a diagnostic blames, shouts or ends in a full stop, or says nothing of what to do.
#[test]
fn diagnostics_keep_to_the_tone_of_the_house() {
    for code in Code::ALL {
        assert!(code.explanation().len() > 60 && code.explanation().ends_with('.'), "{}", code.text());
        assert_eq!(Code::parse(&code.text().to_lowercase()), Some(*code));
        for diagnostic in read(&folder(code.text())).diagnostics {
            let message = &diagnostic.message;
            assert!(!message.ends_with('.') && !message.to_lowercase().contains("invalid"), "{message}");
            assert!(!diagnostic.help.is_empty(), "{}: {message}", code.text());
        }
    }
}
