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
    let mut text = String::from("[[entry]]\n");
    text.push_str(&format!("at = {}\nwhat = {}\n", quoted(entry.at), quoted(known.text)));
    let mut note = entry.note.map(str::to_owned);
    for (position, argument) in rest.iter().enumerate() {
        let pair = argument.split_once('=').filter(|(key, _)| key.bytes().all(|b| b.is_ascii_alphabetic() || b == b'_'));
        match (pair, known.subject()) {
            (Some((key, value)), _) => {
                let number = matches!(key, "hours" | "occurrence") && value.bytes().all(|b| b.is_ascii_digit() || b == b'.');
                let value = if number { value.to_owned() } else { quoted(value) };
                text.push_str(&format!("{key} = {value}\n"));
            }
            (None, Some(subject)) if position == 0 => text.push_str(&format!("{subject} = {}\n", quoted(argument))),
            (None, None) if note.is_none() => note = Some(argument.clone()),
            (None, _) => {
                let keys = known.keys().join("=..., ");
                return Err(format!("`{argument}` is one word too many after `{}`; the rest is written {keys}=...", known.text));
            }
        }
    }
    if let Some(note) = note {
        text.push_str(&format!("note = {}\n", quoted(&note)));
    }
    if let Some(add) = entry.add {
        text.push_str(&added(add)?);
    }
    Ok(text)
}

/// The tables of a file of tasks and duties, as tables of the entry before them.
fn added(file: &str) -> Result<String, String> {
    let mut text = String::from("\n");
    for (number, line) in file.lines().enumerate() {
        let start = line.trim_start();
        let header = start.starts_with('[') && start.trim_end().ends_with(']') && !start.contains('=') && !start.starts_with("[\"");
        match (start.strip_prefix("[task."), start.strip_prefix("[duty.")) {
            (Some(rest), _) => text.push_str(&format!("[entry.add.{rest}\n")),
            (None, Some(rest)) => text.push_str(&format!("[entry.add_duty.{rest}\n")),
            (None, None) if header => {
                return Err(format!("line {} of the added file: only [task.CODE] and [duty.CODE] tables can be added", number + 1));
            }
            (None, None) => text.push_str(&format!("{line}\n")),
        }
    }
    Ok(text)
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
