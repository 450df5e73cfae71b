//! From text to a TOML tree, going on after errors.

use std::collections::BTreeSet;

use toml::Spanned;
use toml::de::DeTable;

use crate::diag::{Code, FileId, Place, Sources};
use crate::input::sink::Sink;

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
    for error in &errors {
        let span = error.span().unwrap_or(text.len()..text.len());
        let place = visible(file, text, span);
        // One slip often makes several errors on its line; the first says it.
        if lines.insert(sources.line(place)) {
            let message = error.message();
            if message.contains("duplicate key") {
                let name = sources.excerpt(place);
                let help = "give each its own code, or put the two together";
                sink.say(Code::UsedTwice, format!("`{name}` stands twice"), place, "stands here a second time", help);
            } else {
                sink.say(Code::Syntax, format!("not TOML: {}", plainly(message)), place, "", remedy(message));
            }
        }
    }
    Document { file, text, root, broken: !errors.is_empty() }
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
    const WORDS: [(&str, &str); 6] = [
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
    if message.contains("quote") || message.contains("string") {
        "text stands in quotation marks, both on the same line: \"like this\""
    } else if message.contains("array") || message.contains(']') {
        "a list stands in square brackets with commas between: [1.5, 2, 4]"
    } else if message.contains("key") {
        "a line is a table header [in brackets], or `key = value`"
    } else {
        "see the line above as well; a slip is often noticed only at the next word"
    }
}
