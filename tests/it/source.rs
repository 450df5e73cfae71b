//! Reads the program's own source as text, without comments and without what stands in quotes, so that
//! the layer test can say what is not there.

use std::fs;
use std::path::{Path, PathBuf};

/// One source file.
pub(crate) struct Source {
    /// Where it is, from the top of the project, with forward slashes (`src/model/task.rs`).
    pub(crate) path: String,
    /// The text as it stands.
    pub(crate) text: String,
    /// The text with comments and the inside of string and character literals blanked out; line breaks stay.
    pub(crate) code: String,
}

impl Source {
    /// A file made up by a test, or read.
    pub(crate) fn new(path: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let code = blanked(&text);
        Self { path: path.into(), text, code }
    }

    /// The module of the crate it belongs to: the first part of the path below `src`.
    pub(crate) fn module(&self) -> &str {
        let below = self.path.strip_prefix("src/").unwrap_or(&self.path);
        below.split('/').next().unwrap_or(below).trim_end_matches(".rs")
    }

    /// Whether it holds tests only; those may look wherever they like.
    pub(crate) fn is_test(&self) -> bool {
        self.path.split('/').any(|part| part == "tests" || part == "tests.rs")
    }

    /// Line number of a position in the text, from 1.
    pub(crate) fn line(&self, at: usize) -> usize {
        self.text[..at].matches('\n').count() + 1
    }

    /// Every `crate::name` it uses: the name and where it stands. Lists in braces count one by one.
    pub(crate) fn uses(&self) -> Vec<(String, usize)> {
        let mut found = Vec::new();
        for (at, _) in self.code.match_indices("crate::") {
            let rest = &self.code[at + "crate::".len()..];
            if let Some(list) = rest.strip_prefix('{') {
                found.extend(first_names(list).into_iter().map(|name| (name, at)));
            } else {
                found.push((name_at(rest), at));
            }
        }
        found
    }

    /// Where `word` stands in the code, not as a part of a longer word.
    pub(crate) fn places(&self, word: &str) -> Vec<usize> {
        let letter = |c: char| c.is_alphanumeric() || c == '_';
        let open_start = !word.starts_with(letter);
        let open_end = !word.ends_with(letter);
        self.code
            .match_indices(word)
            .map(|(at, _)| at)
            .filter(|at| {
                let before = self.code[..*at].chars().next_back();
                let after = self.code[at + word.len()..].chars().next();
                (open_start || !before.is_some_and(letter)) && (open_end || !after.is_some_and(letter))
            })
            .collect()
    }
}

/// The name `text` begins with.
fn name_at(text: &str) -> String {
    text.trim_start().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
}

/// First names of the items of a list in braces, the opening brace already taken.
fn first_names(list: &str) -> Vec<String> {
    let mut names = Vec::new();
    let mut depth = 0;
    let mut item = 0;
    for (at, c) in list.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => {
                names.push(name_at(&list[item..at]));
                break;
            }
            '}' => depth -= 1,
            ',' if depth == 0 => {
                names.push(name_at(&list[item..at]));
                item = at + 1;
            }
            _ => {}
        }
    }
    names.retain(|name| !name.is_empty() && name != "self");
    names
}

/// Where the top of the project is.
pub(crate) fn top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// All Rust files under `folder` (from the top of the project), in order of path.
pub(crate) fn all(folder: &str) -> Vec<Source> {
    let mut files = Vec::new();
    collect(&top().join(folder), &mut files);
    files.sort();
    files
        .into_iter()
        .map(|file| {
            let path = file.strip_prefix(top()).expect("files lie in the project").to_string_lossy().replace('\\', "/");
            Source::new(path, fs::read_to_string(&file).expect("source files can be read"))
        })
        .collect()
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("folders can be read") {
        let path = entry.expect("entries can be read").path();
        if path.is_dir() {
            collect(&path, files);
        } else if path.extension().is_some_and(|e| e == "rs") {
            files.push(path);
        }
    }
}

/// `text` with comments and the inside of literals turned into blanks, every byte in its place.
fn blanked(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut out = bytes.to_vec();
    let mut at = 0;
    while at < bytes.len() {
        let end = match bytes[at] {
            b'/' if bytes.get(at + 1) == Some(&b'/') => find(bytes, at, b"\n"),
            b'/' if bytes.get(at + 1) == Some(&b'*') => block_end(bytes, at),
            b'"' => quote_end(bytes, at),
            b'r' if !follows_letter(bytes, at) => raw_end(bytes, at),
            b'\'' => char_end(bytes, at),
            _ => at,
        };
        for byte in &mut out[at..end] {
            if *byte != b'\n' {
                *byte = b' ';
            }
        }
        at = end.max(at + 1);
    }
    String::from_utf8(out).expect("whole characters were blanked")
}

fn follows_letter(bytes: &[u8], at: usize) -> bool {
    at > 0 && (bytes[at - 1].is_ascii_alphanumeric() || bytes[at - 1] == b'_') && bytes[at - 1] != b'b'
}

/// Position of `what` from `at` on, or the end.
fn find(bytes: &[u8], at: usize, what: &[u8]) -> usize {
    bytes[at..].windows(what.len()).position(|w| w == what).map_or(bytes.len(), |p| at + p)
}

/// End of a block comment that begins at `at`; block comments nest.
fn block_end(bytes: &[u8], at: usize) -> usize {
    let (mut i, mut depth) = (at, 0);
    while i < bytes.len() {
        if bytes[i..].starts_with(b"/*") {
            depth += 1;
            i += 2;
        } else if bytes[i..].starts_with(b"*/") {
            depth -= 1;
            i += 2;
            if depth == 0 {
                return i;
            }
        } else {
            i += 1;
        }
    }
    bytes.len()
}

/// End of a string that begins at `at`.
fn quote_end(bytes: &[u8], at: usize) -> usize {
    let mut i = at + 1;
    while i < bytes.len() && bytes[i] != b'"' {
        i += if bytes[i] == b'\\' { 2 } else { 1 };
    }
    (i + 1).min(bytes.len())
}

/// End of a raw string that begins at `at`; `at` itself if none begins there.
fn raw_end(bytes: &[u8], at: usize) -> usize {
    let hashes = bytes[at + 1..].iter().take_while(|b| **b == b'#').count();
    if bytes.get(at + 1 + hashes) != Some(&b'"') {
        return at;
    }
    let close: Vec<u8> = [b'"'].into_iter().chain(std::iter::repeat_n(b'#', hashes)).collect();
    (find(bytes, at + 2 + hashes, &close) + close.len()).min(bytes.len())
}

/// End of a character literal that begins at `at`; `at` itself if it is a lifetime.
fn char_end(bytes: &[u8], at: usize) -> usize {
    if bytes.get(at + 1) == Some(&b'\\') {
        return (find(bytes, at + 3, b"'") + 1).min(bytes.len());
    }
    let length = bytes[at + 1..].iter().take(5).position(|b| *b == b'\'');
    match length {
        Some(n) if n > 0 && std::str::from_utf8(&bytes[at + 1..at + 1 + n]).is_ok_and(|s| s.chars().count() == 1) => at + n + 2,
        _ => at,
    }
}
