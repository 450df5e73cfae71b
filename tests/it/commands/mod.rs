//! The commands as a user runs them: what they print on which stream, what they leave behind, how they end.

mod check;
mod disk;
mod line;
mod log;
mod new;
mod pin;
mod plan;
mod refused;
mod replan;
mod rest;
mod rest_readings;
mod short;
mod stops;
mod stream;
mod watches;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A folder of its own for one test; `turnto` is run in it, so that what it prints names no other place.
pub(crate) struct Scratch(tempfile::TempDir);

/// What one run came to.
#[derive(PartialEq, Eq, Debug)]
pub(crate) struct Ran {
    /// Exit code.
    pub(crate) code: Option<i32>,
    /// Standard output.
    pub(crate) out: String,
    /// Standard error.
    pub(crate) err: String,
}

impl Scratch {
    pub(crate) fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// With the demonstration job in `job`, and a plan of it that took no long search.
    pub(crate) fn planned() -> Self {
        let scratch = Self::new();
        scratch.copy("demo-crew", "job");
        let ran = scratch.run(&["plan", "job", "--time-limit", "1"]);
        assert!(matches!(ran.code, Some(0 | 1)), "{}", ran.err);
        scratch
    }

    /// With the small job of `turnto new` in `job`, and a plan of it.
    pub(crate) fn small() -> Self {
        let scratch = Self::new();
        for args in [["new", "job", "--quiet"], ["plan", "job", "--quiet"]] {
            let ran = scratch.run(&args);
            assert_eq!(ran.code, Some(0), "{}", ran.err);
        }
        scratch
    }

    /// The same, with a second plan made at `now`, from when on `OL` is unfit until day 3.
    pub(crate) fn small_replanned(now: &str) -> Self {
        let scratch = Self::small();
        let unfit = scratch.run(&["log", "job", "--at", now, "unfit", "OL", "until=day 3 08:00", "--quiet"]);
        assert_eq!(unfit.code, Some(0), "{}", unfit.err);
        let ran = scratch.run(&["replan", "job", "--now", now, "--quiet"]);
        assert!(matches!(ran.code, Some(0 | 1)) && scratch.path("job/plan/002").exists(), "{}", ran.err);
        scratch
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Leaves the folder where it is when the test is over, and says where.
    pub(crate) fn keep(self) -> PathBuf {
        self.0.keep()
    }

    /// Writes a file, making its folder.
    pub(crate) fn write(&self, name: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// Names in a folder, sorted.
    pub(crate) fn names(&self, folder: &str) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(self.path(folder)).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    /// A command that is not started yet, in surroundings that ask for nothing.
    pub(crate) fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_turnto"));
        command.args(args).current_dir(self.0.path()).env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").stdin(Stdio::null());
        command
    }

    /// Runs `turnto`.
    pub(crate) fn run(&self, args: &[&str]) -> Ran {
        let output = self.command(args).output().unwrap();
        Ran { code: output.status.code(), out: String::from_utf8(output.stdout).unwrap(), err: String::from_utf8(output.stderr).unwrap() }
    }

    /// A copy of a folder of the project.
    pub(crate) fn copy(&self, from: &str, to: &str) {
        copy(&crate::source::top().join(from), &self.path(to));
    }
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap();
        if path.is_file() {
            fs::copy(&path, to.join(name)).unwrap();
        } else if name != "plan" {
            copy(&path, &to.join(name));
        }
    }
}
