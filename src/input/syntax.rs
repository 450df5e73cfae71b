//! From text to a TOML tree, going on after errors.

use std::collections::BTreeSet;

use toml::Spanned;
use toml::de::DeTable;

use crate::diag::{Code, Diagnostic, FileId, Place, Sources, Unseen, unseen};
use crate::input::length::with_point;
use crate::input::sink::Sink;
use crate::input::when::Written;

/// A file read as TOML as far as it could be.
pub(super) struct Document<'a> {
    /// Which file it is.
    pub file: FileId,
    /// Its text.
    pub text: &'a str,
    /// What could be read.
    pub root: Spanned<DeTable<'a>>,
    /// Whether there were errors, so that what is missing may only be unreadable.
    pub broken: bool,
}

/// Reads `file`, reporting every error of syntax, one a line.
pub(super) fn parse<'a>(file: FileId, sources: &'a Sources, sink: &Sink) -> Document<'a> {
    let text = sources.text(file);
    let (root, errors) = DeTable::parse_recoverable(text);
    let mut lines = BTreeSet::new();
    let mut repeated_to = 0;
    for error in &errors {
        let span = error.span().unwrap_or(text.len()..text.len());
        let place = visible(file, text, span);
        // One slip often makes several errors on its line; the first says it.
        if !lines.insert(sources.line(place)) {
            continue;
        }
        let message = error.message();
        if !message.contains("duplicate key") {
            let number = decimal_comma(&text[line_of(text, place.start)]);
            let (what, help) = match (Written::no_such_date(&text[place.start..place.end]), number) {
                (Some(what), _) => (what, "write a day that is in the calendar, like 2027-02-28".to_owned()),
                (None, Some(number)) => (format!("not TOML: {}", plainly(message)), format!("write {number}, with a point")),
                (None, None) => (format!("not TOML: {}", plainly(message)), remedy(message).to_owned()),
            };
            sink.say(Code::Syntax, what, place, "", help);
        } else if place.start >= repeated_to {
            let line = line_of(text, place.start);
            if text[line.clone()].trim_start().starts_with('[') {
                // The keys of a table that stands twice are not worth a word of their own.
                repeated_to = next_header(text, line.end);
            }
            sink.put(twice(file, text, place));
        }
    }
    // Control characters are no TOML, which was said.
    for found in unseen(text).filter(|found| !found.character.is_control()) {
        say_unseen(found, found.place(file), sink);
    }
    Document { file, text, root, broken: !errors.is_empty() }
}

/// Reports a character that does not show.
pub(super) fn say_unseen(found: Unseen, place: Place, sink: &Sink) {
    let help = "take it out, or type the words again where they were pasted";
    sink.say(Code::UnseenCharacter, format!("there is {}", found.text()), place, "here", help);
}

/// Something that stands twice, with the first place where that is a table.
fn twice(file: FileId, text: &str, place: Place) -> Diagnostic {
    let name = text.get(place.start..place.end).unwrap_or("");
    let header = text[line_of(text, place.start)].trim();
    let mut diagnostic = Diagnostic::new(Code::UsedTwice, format!("`{name}` stands twice")).at(place, "second");
    if header.starts_with('[') {
        let mut from = 0;
        for line in text.split_inclusive('\n') {
            if from < place.start && line.trim() == header {
                let start = from + (line.len() - line.trim_start().len());
                diagnostic = diagnostic.also(Place { file, start, end: start + header.len() }, "first");
                break;
            }
            from += line.len();
        }
    }
    diagnostic.help("give each its own code, or put the two together")
}

/// The number with a point, where a line gives one with a comma: `hours = 0,5`.
fn decimal_comma(line: &str) -> Option<String> {
    let (_, value) = line.split_once('=')?;
    with_point(value.split('#').next().unwrap_or(""))
}

/// The line in which byte `at` stands, without its end.
fn line_of(text: &str, at: usize) -> std::ops::Range<usize> {
    let bytes = text.as_bytes();
    let start = bytes[..at].iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1);
    let end = bytes[at..].iter().position(|b| *b == b'\n').map_or(text.len(), |i| at + i);
    start..end
}

/// Where the first table header after byte `from` begins; the end of the text if there is none.
fn next_header(text: &str, from: usize) -> usize {
    let mut at = from;
    for line in text[from..].split_inclusive('\n') {
        if line.trim_start().starts_with('[') {
            return at;
        }
        at += line.len();
    }
    text.len()
}

/// A stretch of at least one visible character, so that there is something to point at.
fn visible(file: FileId, text: &str, span: std::ops::Range<usize>) -> Place {
    let mut start = span.start.min(text.len());
    let mut end = span.end.min(text.len()).max(start);
    while start > 0 && !text.is_char_boundary(start) {
        start -= 1;
    }
    while end < text.len() && !text.is_char_boundary(end) {
        end += 1;
    }
    if start == end && start == text.len() {
        // The end of the file: point at its last visible character.
        let kept = text.trim_end();
        let last = kept.char_indices().next_back().map_or(0, |(i, _)| i);
        return Place { file, start: last, end: kept.len() };
    }
    Place { file, start, end }
}

/// The parser's words without its jargon.
fn plainly(message: &str) -> String {
    const WORDS: [(&str, &str); 8] = [
        // A word that begins like one of the two.
        ("invalid boolean, expected `true`", "text without quotation marks"),
        ("invalid boolean, expected `false`", "text without quotation marks"),
        ("invalid basic string", "text in quotation marks that does not end"),
        ("invalid literal string", "text in quotation marks that does not end"),
        ("invalid multi-line basic string", "text in quotation marks that does not end"),
        ("invalid key-value pair", "this is no `key = value`"),
        ("invalid unquoted string", "text without quotation marks"),
        ("invalid ", "unreadable "),
    ];
    WORDS.iter().fold(message.to_owned(), |text, (jargon, plain)| text.replace(jargon, plain))
}

fn remedy(message: &str) -> &'static str {
    if ["quote", "string", "boolean"].iter().any(|word| message.contains(word)) {
        "text stands in quotation marks, both on the same line: \"like this\""
    } else if message.contains("array") || message.contains(']') {
        "a list stands in square brackets with commas between: [1.5, 2, 4]"
    } else if message.contains("key") {
        "a line is a table header [in brackets], or `key = value`"
    } else {
        "see the line above as well; a slip is often noticed only at the next word"
    }
}
