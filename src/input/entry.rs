//! The text of a log entry, from what was typed on a command line.

use crate::input::near::nearest;
use crate::input::raw::log::WORDS;

/// What was typed.
#[derive(Clone, Copy, Debug)]
pub struct EntryText<'a> {
    /// When it happened.
    pub at: &'a str,
    /// A word, what it is about, and `key=value` for the rest.
    pub what: &'a [String],
    /// In somebody's words.
    pub note: Option<&'a str>,
    /// TOML with `[task.CODE]` and `[duty.CODE]` tables that the entry adds.
    pub add: Option<&'a str>,
}

/// The entry as it stands in `log.toml`, each line ended. Whether it is sound shows when the file is read.
///
/// # Errors
/// In words, what cannot be written at all.
pub fn entry_text(entry: &EntryText<'_>) -> Result<String, String> {
    let (word, rest) = entry.what.split_first().map_or(("note", &[][..]), |(word, rest)| (word.as_str(), rest));
    let Some(known) = WORDS.iter().find(|w| w.text.eq_ignore_ascii_case(word)) else {
        let words = WORDS.map(|w| w.text);
        let near = nearest(word, words).map_or_else(String::new, |near| format!("; `{near}` comes near"));
        return Err(format!("`{word}` is not something the log can say{near}. The words are: {}", words.join(", ")));
    };
    let mut lines = vec!["[[entry]]".to_owned(), format!("at = {}", quoted(entry.at)), format!("what = {}", quoted(known.text))];
    let mut note = entry.note.map(str::to_owned);
    for (position, argument) in rest.iter().enumerate() {
        let pair = argument.split_once('=').filter(|(key, _)| key.bytes().all(|b| b.is_ascii_alphabetic() || b == b'_'));
        match (pair, known.subject()) {
            (Some((key, value)), _) => {
                let number = matches!(key, "hours" | "occurrence") && value.bytes().all(|b| b.is_ascii_digit() || b == b'.');
                let value = if number { value.to_owned() } else { quoted(value) };
                lines.push(format!("{key} = {value}"));
            }
            (None, Some(subject)) if position == 0 => lines.push(format!("{subject} = {}", quoted(argument))),
            (None, None) if note.is_none() => note = Some(argument.clone()),
            (None, _) => {
                let keys = known.keys().join("=..., ");
                return Err(format!("`{argument}` is one word too many after `{}`; the rest is written {keys}=...", known.text));
            }
        }
    }
    if known.text == "note" && entry.add.is_none() && note.as_ref().is_none_or(|note| note.trim().is_empty()) {
        return Err("a note says something: turnto log FOLDER note \"all well\" --at \"day 4 14:20\"".to_owned());
    }
    if let Some(note) = note {
        lines.push(format!("note = {}", quoted(&note)));
    }
    if let Some(add) = entry.add {
        lines.push(String::new());
        lines.extend(added(add)?);
    }
    Ok(lines.iter().flat_map(|line| [line.as_str(), "\n"]).collect())
}

/// The tables of a file of tasks and duties, as tables of the entry before them.
fn added(file: &str) -> Result<Vec<String>, String> {
    let mut lines = Vec::new();
    for (number, line) in file.lines().enumerate() {
        let start = line.trim_start();
        let header = start.starts_with('[') && start.trim_end().ends_with(']') && !start.contains('=') && !start.starts_with("[\"");
        match (start.strip_prefix("[task."), start.strip_prefix("[duty.")) {
            (Some(rest), _) => lines.push(format!("[entry.add.{rest}")),
            (None, Some(rest)) => lines.push(format!("[entry.add_duty.{rest}")),
            (None, None) if header => {
                return Err(format!("line {} of the added file: only [task.CODE] and [duty.CODE] tables can be added", number + 1));
            }
            (None, None) => lines.push(line.to_owned()),
        }
    }
    Ok(lines)
}

/// A TOML basic string.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            c if c.is_control() => quoted.push(' '),
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests;
