//! What there is in a folder as it stands, read without the program.

use std::fs;
use std::path::Path;

use toml::{Table, Value};

/// Codes of everything that the log may speak of.
pub(super) struct Facts {
    pub(super) tasks: Vec<String>,
    /// People with what they can do.
    pub(super) people: Vec<(String, Vec<String>)>,
    pub(super) units: Vec<String>,
    /// Tools with how many there are.
    pub(super) tools: Vec<(String, usize)>,
    pub(super) duties: Vec<String>,
    pub(super) milestones: Vec<String>,
    pub(super) modes: Vec<String>,
    /// Tasks with one that comes before.
    pub(super) after: Vec<(String, String)>,
    /// Tasks the log speaks of.
    pub(super) logged: Vec<String>,
}

impl Facts {
    pub(super) fn read(job: &Path) -> Self {
        let file = |name: &str| fs::read_to_string(job.join(name)).unwrap_or_default().parse::<Table>().unwrap_or_default();
        let (tasks, log) = (file("tasks.toml"), file("log.toml"));
        let crew = file("crew.toml");
        let plant = file("machinery.toml");
        let entries: Vec<&Value> = log.get("entry").and_then(Value::as_array).into_iter().flatten().collect();
        let mut facts = Self {
            tasks: codes(&tasks, "task"),
            people: rows(&crew, "person").map(|(code, row)| (code, list(row, "can"))).collect(),
            units: codes(&plant, "unit"),
            tools: rows(&file("tools.toml"), "tool").map(|(code, row)| (code, number(row))).collect(),
            duties: codes(&file("duties.toml"), "duty"),
            milestones: codes(&file("job.toml"), "milestone"),
            modes: codes(&plant, "mode"),
            after: Vec::new(),
            logged: entries.iter().filter_map(|entry| entry.get("task")?.as_str().map(str::to_owned)).collect(),
        };
        for (code, row) in rows(&tasks, "task") {
            let before = list(row, "after").into_iter().map(|before| before.split(" + ").next().unwrap_or_default().to_owned());
            facts.after.extend(before.map(|before| (code.clone(), before)));
        }
        for added in entries.iter().filter_map(|entry| entry.get("add")?.as_table()) {
            facts.tasks.extend(added.keys().cloned());
        }
        facts
    }
}

fn rows<'a>(file: &'a Table, kind: &str) -> impl Iterator<Item = (String, &'a Value)> {
    file.get(kind).and_then(Value::as_table).into_iter().flatten().map(|(code, row)| (code.clone(), row))
}

fn codes(file: &Table, kind: &str) -> Vec<String> {
    rows(file, kind).map(|(code, _)| code).collect()
}

/// Words that are separated by commas.
fn list(row: &Value, key: &str) -> Vec<String> {
    let text = row.get(key).and_then(Value::as_str).unwrap_or_default();
    text.split(", ").filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

fn number(tool: &Value) -> usize {
    tool.get("number").and_then(Value::as_integer).map_or(1, |n| usize::try_from(n).expect("a small number"))
}
