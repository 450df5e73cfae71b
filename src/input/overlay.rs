//! Options: small TOML files laid over the files of a job.
//!
//! An option has a table for each file it changes, named after it (`[tasks.task.A59]`, `[job.milestone.G2-back]`).
//! Tables are laid into one another key by key, a list of tables (`[[log.entry]]`) is added to the one that is
//! there, anything else takes the place of what was there; a name in quotation marks that meets a table becomes
//! its `name`. `drop` lists what is taken out (`"tasks.task.A18"`).

use toml::{Table, Value};

use crate::diag::unseen;
use crate::input::FILES;
use crate::input::folder::Folder;
use crate::input::near::nearest;

/// An option, laid over a job.
#[derive(Clone, Debug)]
pub struct Overlaid {
    /// What it is about, in the words of who wrote it; may be empty.
    pub title: String,
    /// The job with the option laid over it.
    pub folder: Folder,
    /// What it takes out of the job, and what it gives tables to that the job does not have, one sentence each: worth
    /// knowing where the job with the option is wrong.
    pub odd: Vec<String>,
}

/// Lays the option `text` over `folder`.
///
/// # Errors
/// Everything in it that cannot be laid over the job, in words, each with its line where it has one.
pub fn overlay(folder: &Folder, text: &str) -> Result<Overlaid, Vec<String>> {
    let option: Table = text.parse().map_err(|error: toml::de::Error| vec![located(text, &error)])?;
    let mut faults: Vec<String> = unseen(text)
        .map(|found| format!("line {}: there is {}; take it out", text[..found.at].matches('\n').count() + 1, found.text()))
        .collect();
    let mut overlaid = Overlaid { title: String::new(), folder: folder.clone(), odd: Vec::new() };
    let mut dropped: Vec<Vec<String>> = Vec::new();
    for (key, value) in &option {
        match (key.as_str(), value) {
            ("title", Value::String(title)) => {
                let escaped = unseen(title).filter(|found| !text.contains(found.character));
                faults.extend(escaped.map(|found| format!("in `title` there is {}; take it out", found.text())));
                title.clone_into(&mut overlaid.title);
            }
            ("drop", Value::String(path)) => dropped.push(path.split('.').map(str::to_owned).collect()),
            ("drop", Value::Array(paths)) => {
                let paths = paths.iter().filter_map(Value::as_str);
                dropped.extend(paths.map(|p| p.split('.').map(str::to_owned).collect::<Vec<_>>()));
            }
            (_, Value::Table(table)) if file_of(key).is_some() => {
                let file = file_of(key).unwrap_or_default();
                match base(&overlaid.folder, &file) {
                    Ok(mut merged) => {
                        overlaid.odd.extend(added(key, &merged, table));
                        lay(&mut merged, table);
                        overlaid.folder = overlaid.folder.with(file, merged.to_string());
                    }
                    Err(fault) => faults.push(fault),
                }
            }
            _ => faults.push(unknown(key)),
        }
    }
    for path in dropped {
        match take_out(&mut overlaid.folder, &path) {
            Ok(()) => overlaid.odd.push(format!("the option takes out `{}`, which the rest of the job may still name", path.join("."))),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(overlaid) } else { Err(faults) }
}

fn located(text: &str, error: &toml::de::Error) -> String {
    let line = error.span().map_or(1, |span| text[..span.start.min(text.len())].matches('\n').count() + 1);
    format!("line {line}: {}", error.message())
}

fn file_of(key: &str) -> Option<String> {
    let file = format!("{key}.toml");
    FILES.contains(&file.as_str()).then_some(file)
}

fn unknown(key: &str) -> String {
    let known: Vec<&str> = FILES.iter().filter_map(|f| f.strip_suffix(".toml")).chain(["title", "drop"]).collect();
    let near = nearest(key, known.iter().copied()).map_or_else(String::new, |near| format!("; `{near}` comes near"));
    format!("`{key}` is not a file of the job, `title` or `drop`{near} (files: {})", known[..known.len() - 2].join(", "))
}

/// A file of the job as a table; empty if it is not there.
fn base(folder: &Folder, file: &str) -> Result<Table, String> {
    let bytes = folder.files().iter().find(|f| f.path == file).map_or(&[][..], |f| f.bytes.as_slice());
    String::from_utf8_lossy(bytes).parse().map_err(|error: toml::de::Error| format!("{file}: {}", error.message()))
}

/// The named tables (`tasks.task.A59`) of an option that the file does not have.
fn added(file: &str, under: &Table, over: &Table) -> Vec<String> {
    let mut said = Vec::new();
    for (topic, names) in over.iter().filter_map(|(topic, value)| Some((topic, value.as_table()?))) {
        let known = under.get(topic).and_then(Value::as_table);
        let new = names.iter().filter(|(name, value)| value.is_table() && known.is_none_or(|known| !known.contains_key(*name)));
        for (name, _) in new {
            let near = known.and_then(|known| nearest(name, known.keys().map(String::as_str)));
            let near = near.map_or_else(String::new, |near| format!("; `{near}` comes near"));
            said.push(format!("the option names `{file}.{topic}.{name}`, which the job does not have: it is taken for a new one{near}"));
        }
    }
    said
}

fn lay(under: &mut Table, over: &Table) {
    for (key, value) in over {
        match (under.get_mut(key), value) {
            (Some(Value::Table(below)), Value::Table(above)) => lay(below, above),
            (Some(Value::Array(below)), Value::Array(above)) if tables(below) && tables(above) => below.extend(above.iter().cloned()),
            (Some(slot @ Value::String(_)), Value::Table(above)) => {
                let mut table = Table::new();
                table.insert("name".to_owned(), slot.clone());
                lay(&mut table, above);
                *slot = Value::Table(table);
            }
            _ => {
                under.insert(key.clone(), value.clone());
            }
        }
    }
}

fn tables(list: &[Value]) -> bool {
    !list.is_empty() && list.iter().all(Value::is_table)
}

/// Takes out what `path` names, its first part being the file.
fn take_out(folder: &mut Folder, path: &[String]) -> Result<(), String> {
    let words = path.join(".");
    let missing = || format!("drop: there is no `{words}`");
    let (first, keys) = path.split_first().ok_or_else(missing)?;
    let file = file_of(first).ok_or_else(missing)?;
    let (last, between) = keys.split_last().ok_or_else(missing)?;
    let mut table = base(folder, &file)?;
    let mut at = &mut table;
    for key in between {
        at = at.get_mut(key).and_then(Value::as_table_mut).ok_or_else(missing)?;
    }
    at.remove(last).ok_or_else(missing)?;
    *folder = std::mem::take(folder).with(file, table.to_string());
    Ok(())
}

#[cfg(test)]
mod tests;
