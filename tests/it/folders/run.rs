//! The program run on a folder, and what is asked of every run whatever it does.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

use super::mend;
use crate::commands::{Ran, Scratch};

/// Every file of a folder, by its path from the top of it.
type Tree = BTreeMap<String, Vec<u8>>;

/// How often a run is looked at before it is taken to hang, and how long each look waits: ten minutes in all.
const LOOKS: u32 = 200_000;
const LOOK: Duration = Duration::from_millis(3);

/// A job folder made by chance, with the program at hand.
pub(super) struct Site {
    scratch: Scratch,
    /// Another place in which the same command is to come to the same.
    twin: Scratch,
}

/// A run that came to what no run may come to.
#[derive(Debug)]
pub(super) struct Complaint {
    command: String,
    what: String,
    before: Tree,
}

impl Site {
    pub(super) fn new(files: &[(&str, String)]) -> Self {
        let site = Self { scratch: Scratch::new(), twin: Scratch::new() };
        for (name, text) in files {
            site.write(name, text);
        }
        site
    }

    pub(super) fn job(&self) -> PathBuf {
        self.scratch.path("job")
    }

    pub(super) fn write(&self, name: &str, text: &str) {
        self.scratch.write(&format!("job/{name}"), text);
    }

    /// A file of the folder; nothing where there is none.
    pub(super) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.job().join(name)).unwrap_or_default()
    }

    pub(super) fn remove(&self, name: &str) {
        fs::remove_file(self.job().join(name)).unwrap();
    }

    /// Numbers of the plans that were written.
    pub(super) fn plans(&self) -> Vec<String> {
        let mut plans: Vec<String> = if self.job().join("plan").exists() { self.scratch.names("job/plan") } else { Vec::new() };
        plans.retain(|name| name != "latest");
        plans
    }

    /// Runs `turnto` with the words of `line`; what it printed and what it left are judged.
    ///
    /// # Errors
    /// Something about the run is as it may never be.
    pub(super) fn run(&self, line: &str) -> Result<Ran, Complaint> {
        let before = tree(&self.job());
        let complain = |what: String| Complaint { command: line.to_owned(), what, before: before.clone() };
        let ran = watched(&self.scratch, line).map_err(&complain)?;
        judge(line, &ran).map_err(|what| complain(format!("{what}\n{}{}", ran.out, ran.err)))?;
        if ran.code == Some(2) && line.starts_with("check ") {
            mend::blamed(&ran.out).and_then(|places| self.there(places)).map_err(|what| complain(format!("{what}\n{}", ran.out)))?;
        }
        left(line, ran.code, &before, &tree(&self.job())).map_err(complain)?;
        Ok(ran)
    }

    /// The same, run once more on a copy, on one thread, where it must print and leave the same bytes.
    ///
    /// # Errors
    /// Something about the run is as it may never be.
    pub(super) fn run_twice(&self, line: &str) -> Result<Ran, Complaint> {
        let before = tree(&self.job());
        let ran = self.run(line)?;
        let complain = |what: String| Complaint { command: line.to_owned(), what, before: before.clone() };
        let twin = self.twin.path("job");
        if twin.exists() {
            fs::remove_dir_all(&twin).unwrap();
        }
        lay_out(&self.twin, "job", &before);
        let again = watched(&self.twin, &format!("{line} --threads 1")).map_err(&complain)?;
        if (ran.code, &ran.out) != (again.code, &again.out) {
            let said = format!("another time it ended with {:?} and not {:?}, and said", again.code, ran.code);
            return Err(complain(format!("{said}\n{}instead of\n{}", again.out, ran.out)));
        }
        let (ours, theirs) = (tree(&self.job()), tree(&twin));
        let differs = ours.keys().chain(theirs.keys()).find(|name| ours.get(*name) != theirs.get(*name));
        differs.map_or(Ok(ran), |name| Err(complain(format!("another time it wrote another {name}"))))
    }

    /// A complaint about what `line` left in the folder.
    pub(super) fn complaint(&self, line: &str, what: String) -> Complaint {
        Complaint { command: line.to_owned(), what, before: tree(&self.job()) }
    }

    /// Keeps the folder as it was before the run complained about (`job`) and after it (`after`); says what was wrong and where
    /// it is.
    pub(super) fn keep(self, seed: u64, complaint: &Complaint) -> String {
        fs::rename(self.job(), self.scratch.path("after")).unwrap();
        lay_out(&self.scratch, "job", &complaint.before);
        let kept = self.scratch.keep();
        let Complaint { command, what, .. } = complaint;
        format!("seed {seed}: turnto {command}\nin {} (`job` as it was before, `after` as it was left): {what}", kept.display())
    }

    /// Every place that is blamed is one there is.
    fn there(&self, places: impl IntoIterator<Item = mend::Blamed>) -> Result<(), String> {
        let lacking = |place: &mend::Blamed| place.line == 0 || place.line > self.read(&place.file).lines().count().max(1);
        places.into_iter().find(lacking).map_or(Ok(()), |place| Err(format!("there is no such place: {place:?}")))
    }
}

fn lay_out(scratch: &Scratch, folder: &str, tree: &Tree) {
    for (name, bytes) in tree {
        scratch.write(&format!("{folder}/{name}"), bytes);
    }
}

fn tree(folder: &Path) -> Tree {
    let mut files = Tree::new();
    collect(folder, "", &mut files);
    files
}

fn collect(folder: &Path, above: &str, files: &mut Tree) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = format!("{above}{}", path.file_name().unwrap().to_string_lossy());
        if path.is_dir() {
            collect(&path, &format!("{name}/"), files);
        } else {
            files.insert(name, fs::read(&path).unwrap());
        }
    }
}

/// Runs the program to its end, unless it does not come to one.
fn watched(scratch: &Scratch, line: &str) -> Result<Ran, String> {
    let words: Vec<&str> = line.split_whitespace().collect();
    let (out, err) = (scratch.path("out"), scratch.path("err"));
    let mut command = scratch.command(&words);
    let mut child = command.stdout(File::create(&out).unwrap()).stderr(File::create(&err).unwrap()).spawn().unwrap();
    for _ in 0..LOOKS {
        if let Some(status) = child.try_wait().unwrap() {
            let text = |path| String::from_utf8(fs::read(path).unwrap()).map_err(|why| format!("what it printed is no text: {why}"));
            return Ok(Ran { code: status.code(), out: text(&out)?, err: text(&err)? });
        }
        thread::sleep(LOOK);
    }
    child.kill().unwrap();
    child.wait().unwrap();
    Err("it does not come to an end".to_owned())
}

/// What a run said and how it ended.
fn judge(line: &str, ran: &Ran) -> Result<(), String> {
    if !matches!(ran.code, Some(0..=3)) || ran.err.contains("panicked") {
        return Err(format!("it ended with {:?}", ran.code));
    }
    let said_why = ran.code == Some(0) || !ran.out.is_empty() || !ran.err.is_empty();
    if !said_why {
        return Err(format!("it ended with {:?} and said nothing", ran.code));
    }
    let done = matches!(ran.code, Some(0 | 1));
    let document = line.split_whitespace().any(|word| word == "--json");
    if document && done {
        serde_json::from_str::<serde_json::Value>(&ran.out).map_err(|why| format!("what it printed is not JSON: {why}"))?;
    }
    let table = line.split_whitespace().any(|word| word == "--csv");
    if table && done {
        rows(&ran.out)?;
    }
    let shown = if document || table { "" } else { &ran.out };
    shown.lines().chain(ran.err.lines()).find(|l| l.chars().count() > 80).map_or(Ok(()), |wide| Err(format!("wider than 80: {wide}")))
}

/// A table for spreadsheets, in which every row has as many places as the first.
pub(super) fn rows(text: &str) -> Result<(), String> {
    csv::Reader::from_reader(text.as_bytes()).records().try_for_each(|row| row.map(|_| ()).map_err(|why| format!("a table: {why}")))
}

/// What a run left in the folder: nobody's file is another, nothing is half written, and what is new is a plan.
fn left(line: &str, code: Option<i32>, before: &Tree, after: &Tree) -> Result<(), String> {
    let command = line.split_whitespace().next().unwrap_or_default();
    let done = matches!(code, Some(0 | 1));
    let plans = matches!(command, "plan" | "replan") && done;
    for (name, bytes) in before {
        let now = after.get(name);
        let may_be_another = done
            && match (command, name.as_str()) {
                ("plan" | "replan", "plan/latest") | ("pin" | "unpin", "pins.toml") => true,
                ("log", "log.toml") => now.is_some_and(|now| now.starts_with(bytes)),
                _ => false,
            };
        if now != Some(bytes) && !may_be_another {
            return Err(format!("{name} is not what it was"));
        }
    }
    let may_be_new = |name: &str| match command {
        "plan" | "replan" => plans && name.starts_with("plan/") && !name.contains("/."),
        "log" => done && name == "log.toml",
        "pin" => done && name == "pins.toml",
        _ => false,
    };
    let new = after.keys().find(|name| !before.contains_key(*name) && !may_be_new(name));
    new.map_or(Ok(()), |name| Err(format!("it left {name}")))
}
