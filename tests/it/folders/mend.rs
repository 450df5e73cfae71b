//! What `check` refuses, taken out line by line, so that a folder made by chance becomes one that is read.

use std::collections::{BTreeMap, BTreeSet};

/// A place that an error names.
#[derive(PartialEq, Eq, PartialOrd, Ord, Clone, Debug)]
pub(super) struct Blamed {
    pub(super) file: String,
    /// From 1.
    pub(super) line: usize,
}

/// The place that each error in what `check` printed names first.
///
/// # Errors
/// One names none.
pub(super) fn blamed(printed: &str) -> Result<BTreeSet<Blamed>, String> {
    let mut places = BTreeSet::new();
    let mut lines = printed.lines().peekable();
    while let Some(line) = lines.next() {
        if !line.starts_with("error") {
            continue;
        }
        let mut place = None;
        while let Some(below) = lines.next_if(|l| place.is_none() && !l.is_empty() && !l.starts_with("error") && !l.starts_with("doubtful"))
        {
            place = below.trim_start().strip_prefix("--> ").map(place_of);
        }
        places.insert(place.flatten().ok_or_else(|| format!("an error names no file and line: {line}"))?);
    }
    Ok(places)
}

/// `tasks.toml:3:9`.
fn place_of(text: &str) -> Option<Blamed> {
    let mut parts = text.split(':');
    let (file, line) = (parts.next()?, parts.next()?.parse().ok()?);
    Some(Blamed { file: file.to_owned(), line })
}

/// Keys without which what they are said of cannot be: with the line the whole table goes.
const ESSENTIAL: [(&str, &[&str]); 7] = [
    ("job.toml", &["text", "tasks", "due", "callable", "at", "clock"]),
    ("crew.toml", &["name", "can"]),
    ("tasks.toml", &["text", "needs", "hours", "attended_by"]),
    ("duties.toml", &["when", "within", "hours", "who", "tags"]),
    ("watches.toml", &["needs", "hours", "ER", "post", "when", "by"]),
    ("machinery.toml", &["units", "when"]),
    ("pins.toml", &["task", "by", "not", "at"]),
];

/// Takes the blamed lines out of the files, at most two of each, the last first; where a table cannot do without the line, the
/// table.
pub(super) fn mend(blamed: &BTreeSet<Blamed>, mut read: impl FnMut(&str) -> String) -> BTreeMap<String, String> {
    let mut files: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for place in blamed.iter().rev() {
        files.entry(place.file.clone()).or_default().push(place.line);
    }
    let mended = |(file, places): (String, Vec<usize>)| {
        let mut lines: Vec<String> = read(&file).lines().map(str::to_owned).collect();
        for line in places.into_iter().take(2) {
            let line = line.min(lines.len());
            take_out(&file, &mut lines, line);
        }
        (file, lines.join("\n") + "\n")
    };
    files.into_iter().map(mended).collect()
}

fn take_out(file: &str, lines: &mut Vec<String>, line: usize) {
    let Some(at) = line.checked_sub(1) else { return };
    let heads = |text: &String| text.starts_with('[');
    let key = lines[at].split([' ', '=']).next().unwrap_or_default();
    let essential = ESSENTIAL.iter().any(|(of, keys)| *of == file && keys.contains(&key));
    if !heads(&lines[at]) && !essential {
        lines.remove(at);
        return;
    }
    let Some(from) = lines[..=at].iter().rposition(heads) else {
        lines.remove(at);
        return;
    };
    let to = lines[from + 1..].iter().position(heads).map_or(lines.len(), |after| from + 1 + after);
    lines.drain(from..to);
}
