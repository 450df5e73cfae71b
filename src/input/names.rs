//! Codes of one kind of thing, and looking them up.

use std::collections::{BTreeMap, BTreeSet};

use crate::diag::{Code, Diagnostic, Place};
use crate::id::Id;
use crate::input::near::{meant, told};
use crate::input::sink::Sink;
use crate::input::text::Text;

/// Words that mean something in phrases and cannot be codes.
const RESERVED: [&str; 20] = [
    "all",
    "none",
    "nobody",
    "open",
    "or",
    "but",
    "in",
    "turn",
    "not",
    "of",
    "from",
    "to",
    "until",
    "and",
    "mode",
    "otherwise",
    "always",
    "start",
    "end",
    "daily",
];

/// What is said of one of them.
const TAKEN: &str = "this word has a meaning of its own, in capitals or not";

/// Longest code.
const LONGEST: usize = 24;

/// The codes of one kind of thing, with where each is defined.
#[derive(Debug)]
pub(super) struct Names<I> {
    /// What the thing is called (`person`).
    word: &'static str,
    /// The code for one that is not there.
    unknown: Code,
    /// What to do about one that is not there.
    remedy: &'static str,
    known: BTreeMap<String, (I, Option<Place>)>,
    next: usize,
    /// Codes that were refused: that is said once, where they are defined.
    refused: BTreeSet<String>,
    /// Whether the list may lack some, so that nothing is said about unknown ones.
    unsure: bool,
    /// Whether phrases never name one, so that words of phrases may be codes.
    apart: bool,
}

impl<I: Id> Names<I> {
    /// No names yet.
    pub(super) const fn new(word: &'static str, unknown: Code, remedy: &'static str, unsure: bool) -> Self {
        Self { word, unknown, remedy, known: BTreeMap::new(), next: 0, refused: BTreeSet::new(), unsure, apart: false }
    }

    /// The same for things that no phrase ever names: the words of phrases may be their codes.
    pub(super) const fn apart_from_phrases(mut self) -> Self {
        self.apart = true;
        self
    }

    /// Gives `code` the next id; reports it if it is no code or is taken (a taken one keeps its id).
    pub(super) fn define(&mut self, code: &Text, sink: &Sink) -> Option<I> {
        let word = code.as_str();
        if let Err(why) = check(word)
            && !(why == TAKEN && self.apart)
        {
            let message = format!("`{word}` cannot be the code of a {}", self.word);
            let help = if why == TAKEN {
                format!("use another word; phrases need these: {}", RESERVED.join(", "))
            } else {
                "use a short word of letters, digits, `_`, `-`, `.` and `/`".to_owned()
            };
            sink.say(Code::NotACode, message, code.place(), why, help);
            self.refused.insert(word.to_owned());
            return None;
        }
        if let Some((_, place)) = self.known.get(word) {
            let message = format!("there are two of {} `{word}`", self.word);
            let mut diagnostic = Diagnostic::new(Code::UsedTwice, message).at(code.place(), "second");
            if let Some(place) = place {
                diagnostic = diagnostic.also(*place, "first");
            }
            sink.put(diagnostic.help("give each its own code"));
            return None;
        }
        Some(self.insert(word, Some(code.place())))
    }

    /// Gives `code`, which stands in no file, the next id; `None` if it is taken.
    pub(super) fn build_in(&mut self, code: &str) -> Option<I> {
        (!self.known.contains_key(code)).then(|| self.insert(code, None))
    }

    fn insert(&mut self, code: &str, place: Option<Place>) -> I {
        let id = I::from_index(self.next);
        self.next += 1;
        self.known.insert(code.to_owned(), (id, place));
        id
    }

    /// The id of `code`; reports it if there is none.
    pub(super) fn find(&self, code: &Text, sink: &Sink) -> Option<I> {
        self.find_or_say(code, "not known", sink)
    }

    /// The id of `code`, where one of `words` could have stood in its place; reports it if there is none.
    pub(super) fn find_beside(&self, words: &[&str], code: &Text, sink: &Sink) -> Option<I> {
        self.look_up(code, words, "not known", sink)
    }

    /// The id of `code`; reports it with this label if there is none.
    pub(super) fn find_or_say(&self, code: &Text, label: &str, sink: &Sink) -> Option<I> {
        self.look_up(code, &[], label, sink)
    }

    fn look_up(&self, code: &Text, words: &[&str], label: &str, sink: &Sink) -> Option<I> {
        if let Some(id) = self.get(code.as_str()) {
            return Some(id);
        }
        if !self.unsure && !self.refused.contains(code.as_str()) {
            let message = format!("there is no {} `{}`", self.word, code.as_str());
            let mut diagnostic = Diagnostic::new(self.unknown, message).at(code.place(), label);
            if let Some(help) = self.joined(code.as_str()) {
                sink.put(diagnostic.help(help));
                return None;
            }
            let near = meant(code.as_str(), self.known.keys().map(String::as_str), words);
            let names = near.iter().filter(|near| !words.contains(near));
            for (name, place) in names.filter_map(|name| Some((name, self.place(name)?))) {
                diagnostic = diagnostic.also(place, format!("`{name}` is here"));
            }
            sink.put(diagnostic.help(told(&near).unwrap_or_else(|| self.remedy.to_owned())));
        }
        None
    }

    /// `2GEN` is `2 GEN` without the blank, where `GEN` is known.
    fn joined(&self, word: &str) -> Option<String> {
        let code = word.trim_start_matches(|c: char| c.is_ascii_digit());
        let number = &word[..word.len() - code.len()];
        (!number.is_empty() && self.known.contains_key(code)).then(|| format!("write `{number} {code}`, with a blank between"))
    }

    /// The ids of `codes`, unknown ones reported, repeats reported and left out, in the order written.
    pub(super) fn find_all(&self, codes: &[Text], sink: &Sink) -> Vec<I> {
        self.find_all_beside(&[], codes, sink)
    }

    /// The same where one of `words` could have stood in place of them all.
    pub(super) fn find_all_beside(&self, words: &[&str], codes: &[Text], sink: &Sink) -> Vec<I> {
        let words = if codes.len() == 1 { words } else { &[] };
        let mut ids = Vec::new();
        for code in codes {
            match self.find_beside(words, code, sink) {
                Some(id) if ids.contains(&id) => {
                    let message = format!("{} `{}` is listed twice", self.word, code.as_str());
                    sink.say(Code::NamedTwice, message, code.place(), "a second time", "list each once");
                }
                Some(id) => ids.push(id),
                None => {}
            }
        }
        ids
    }

    /// The id of `code`, saying nothing if there is none.
    pub(super) fn get(&self, code: &str) -> Option<I> {
        self.known.get(code).map(|(id, _)| *id)
    }

    /// Where each is defined, by code.
    pub(super) fn places(&self) -> impl Iterator<Item = (&str, Place)> {
        self.known.iter().filter_map(|(code, (_, place))| Some((code.as_str(), (*place)?)))
    }

    /// Where the thing with `code` is defined.
    pub(super) fn place(&self, code: &str) -> Option<Place> {
        self.known.get(code).and_then(|(_, place)| *place)
    }

    /// From now on nothing is said about unknown ones: the list lacks some, and that has been said.
    pub(super) const fn set_unsure(&mut self) {
        self.unsure = true;
    }

    /// Whether the list may lack some.
    pub(super) const fn unsure(&self) -> bool {
        self.unsure
    }
}

fn check(word: &str) -> Result<(), &'static str> {
    if word.is_empty() {
        return Err("it is empty");
    }
    if word.chars().count() > LONGEST {
        return Err("it is longer than 24 characters");
    }
    if !word.chars().all(|c| c.is_alphanumeric() || matches!(c, '_' | '-' | '.' | '/')) {
        return Err("it has other characters in it");
    }
    if RESERVED.iter().any(|r| r.eq_ignore_ascii_case(word)) {
        return Err(TAKEN);
    }
    Ok(())
}
