//! One table of a file, read key by key.
//!
//! A [`Row`] remembers which keys it was asked for; whatever else stands in the table is an unknown key
//! when the row is finished. Every getter reports a value of the wrong kind and goes on, so that all
//! errors of a table come at once.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diag::{Code, Diagnostic, FileId, Place, unseen};
use crate::input::length::{decimal_minutes, length_minutes, with_point};
use crate::input::near::nearest;
use crate::input::sink::Sink;
use crate::input::syntax::{Document, say_unseen};
use crate::input::text::{At, Text};
use crate::input::when::{Written, moment_help, written_literal};
use crate::time::Minutes;

/// What every row of a file shares.
#[derive(Clone, Copy)]
pub(super) struct Page<'a> {
    /// The file.
    file: FileId,
    /// Its text.
    text: &'a str,
    /// Whether it had errors of syntax: then nothing is said about missing keys.
    broken: bool,
    /// Where diagnostics go.
    sink: &'a Sink,
}

impl Page<'_> {
    /// From the head of a table to its last value.
    fn extent(&self, head: Place, value: std::ops::Range<usize>) -> Place {
        let line = self.text.get(..head.start).and_then(|before| before.rfind('\n')).map_or(0, |end| end + 1);
        let headed = self.text.get(line..).is_some_and(|text| text.trim_start().starts_with('['));
        let end = if headed {
            self.text.get(head.start..).and_then(|text| text.find("\n[")).map_or(self.text.len(), |next| head.start + next)
        } else {
            value.end
        };
        Place { end: end.max(head.start + 1), ..head }
    }

    fn place(&self, span: std::ops::Range<usize>) -> Place {
        Place { file: self.file, start: span.start, end: span.end.max(span.start) }
    }

    /// The text at `span`, whose value is `value`: exact if it stands there without escapes.
    fn quoted(&self, span: std::ops::Range<usize>, value: &str) -> Text {
        let place = self.place(span.clone());
        let raw = self.text.get(span).unwrap_or("");
        // One that is written as an escape; what stands there itself is said of the file.
        for found in unseen(value).filter(|found| !raw.contains(found.character)) {
            say_unseen(found, place, self.sink);
        }
        if raw == value {
            return Text::exact(value, place);
        }
        let inside = Place { file: self.file, start: place.start + 1, end: place.end.saturating_sub(1).max(place.start + 1) };
        if self.text.get(inside.start..inside.end) == Some(value) && !value.is_empty() {
            return Text::exact(value, inside);
        }
        Text::loose(value, place)
    }
}

/// One table being read.
pub(super) struct Row<'a> {
    page: Page<'a>,
    /// What the table is, for messages (`task A12`).
    what: String,
    /// Where it stands, codes left out (`task.CODE`), for the list of keys.
    path: String,
    /// Where the table begins: its key, or the first line of the file.
    head: Place,
    table: Option<&'a DeTable<'a>>,
    asked: Vec<&'static str>,
}

impl<'a> Row<'a> {
    /// The whole of a document as one row; `what` names it in messages.
    pub(super) fn root(document: &'a Document<'a>, sink: &'a Sink, what: &str) -> Self {
        let page = Page { file: document.file, text: document.text, broken: document.broken, sink };
        let first = document.text.lines().next().map_or(0, |l| l.trim_end().len());
        let head = page.place(0..first);
        Self { page, what: what.to_owned(), path: String::new(), head, table: Some(document.root.get_ref()), asked: Vec::new() }
    }

    /// The path of what stands under `key`.
    fn under(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    /// Where the table begins.
    pub(super) const fn head(&self) -> Place {
        self.head
    }

    /// Where diagnostics go.
    pub(super) const fn sink(&self) -> &'a Sink {
        self.page.sink
    }

    /// Whether the file had errors of syntax.
    pub(super) const fn broken(&self) -> bool {
        self.page.broken
    }

    fn find(&mut self, key: &'static str) -> Option<(Place, &'a Spanned<DeValue<'a>>)> {
        self.asked.push(key);
        self.page.sink.asked(&self.path, key);
        let (found, value) = self.table?.iter().find(|(k, _)| k.get_ref() == key)?;
        Some((self.page.place(found.span()), value))
    }

    /// Whether the table has `key`, and where.
    pub(super) fn has(&self, key: &str) -> Option<Place> {
        let (found, _) = self.table?.iter().find(|(k, _)| k.get_ref() == key)?;
        Some(self.page.place(found.span()))
    }

    fn wrong(&self, key: &str, value: &Spanned<DeValue<'_>>, wanted: &str) {
        let place = self.page.place(value.span());
        if self.page.sink.is_unreadable(place) {
            if !wanted.contains("text") {
                self.page.sink.amend(place, format!("`{key}` takes {wanted}"));
            }
            return;
        }
        let message = format!("`{key}` of {} takes {wanted}, not {}", self.what, kind(value.get_ref()));
        self.page.sink.say(Code::WrongType, message, place, format!("this is {}", kind(value.get_ref())), format!("write {wanted}"));
    }

    /// Reports `key` as missing; `example` shows how to write it.
    pub(super) fn missing(&self, key: &str, example: &str) {
        if !self.page.broken {
            self.page.sink.say(Code::MissingKey, self.lacks(key), self.head, "", format!("add {example}"));
        }
    }

    /// `key` is not missing, as was said: it is misspelt.
    pub(super) fn is_misspelt(&self, key: &str) {
        self.page.sink.take_back(Code::MissingKey, &self.lacks(key), self.head);
    }

    fn lacks(&self, key: &str) -> String {
        format!("{} has no `{key}`", self.what)
    }

    /// Reports `key`, which must say something, where it is missing, and where it is there and says nothing: no text, or
    /// a list with nothing in it. `example` shows how to write it.
    pub(super) fn must_say(&self, key: &str, example: &str) {
        let Some((_, value)) = self.table.and_then(|table| table.iter().find(|(k, _)| k.get_ref() == key)) else {
            self.missing(key, example);
            return;
        };
        let nothing = |text: &str| text.split(',').all(|part| part.trim().is_empty());
        let says_nothing = match value.get_ref() {
            DeValue::String(text) => nothing(text),
            DeValue::Array(items) => items.iter().all(|item| matches!(item.get_ref(), DeValue::String(text) if nothing(text))),
            _ => false,
        };
        let place = self.page.place(value.span());
        if says_nothing && !self.page.sink.is_unreadable(place) {
            let message = format!("`{key}` of {} says nothing", self.what);
            self.page.sink.say(Code::MissingKey, message, place, "nothing here", format!("write {example}"));
        }
    }

    /// A piece of text.
    pub(super) fn text(&mut self, key: &'static str) -> Option<Text> {
        let (_, value) = self.find(key)?;
        if let DeValue::String(text) = value.get_ref() {
            return Some(self.page.quoted(value.span(), text));
        }
        self.wrong(key, value, "text in quotation marks");
        None
    }

    /// A piece of text that must be there.
    pub(super) fn need_text(&mut self, key: &'static str, example: &str) -> Option<Text> {
        if self.has(key).is_none() {
            self.asked.push(key);
            self.page.sink.asked(&self.path, key);
            self.missing(key, example);
            return None;
        }
        self.text(key)
    }

    /// Phrases: one piece of text, or a list of them.
    pub(super) fn phrases(&mut self, key: &'static str) -> Vec<Text> {
        let Some((_, value)) = self.find(key) else { return Vec::new() };
        match value.get_ref() {
            DeValue::String(text) => vec![self.page.quoted(value.span(), text)],
            DeValue::Array(items) => {
                let mut texts = Vec::new();
                for item in items {
                    match item.get_ref() {
                        DeValue::String(text) => texts.push(self.page.quoted(item.span(), text).trimmed()),
                        _ => self.wrong(key, item, "pieces of text in quotation marks"),
                    }
                }
                texts
            }
            _ => {
                self.wrong(key, value, "text in quotation marks, or a list of it");
                Vec::new()
            }
        }
    }

    /// Words: one piece of text with commas between them, or a list. Empty ones are left out.
    pub(super) fn words(&mut self, key: &'static str) -> Vec<Text> {
        self.phrases(key).iter().flat_map(|t| t.split(&[','])).filter(|t| !t.as_str().is_empty()).collect()
    }

    /// Yes or no.
    pub(super) fn flag(&mut self, key: &'static str) -> Option<At<bool>> {
        let (_, value) = self.find(key)?;
        if let DeValue::Boolean(flag) = value.get_ref() {
            return Some(At::new(*flag, self.page.place(value.span())));
        }
        self.wrong(key, value, "true or false");
        None
    }

    /// A whole number from `least` to `most`.
    pub(super) fn whole(&mut self, key: &'static str, least: i64, most: i64) -> Option<At<i64>> {
        let (_, value) = self.find(key)?;
        let place = self.page.place(value.span());
        let DeValue::Integer(number) = value.get_ref() else {
            self.wrong(key, value, "a whole number");
            return None;
        };
        let read = i64::from_str_radix(number.as_str(), number.radix()).ok().filter(|n| (least..=most).contains(n));
        if read.is_none() && !self.page.sink.is_unreadable(place) {
            let message = format!("`{key}` of {} is out of range", self.what);
            self.page.sink.say(Code::OutOfRange, message, place, "", format!("give a number from {least} to {most}"));
        }
        read.map(|n| At::new(n, place))
    }

    /// A length of time in hours, from more than nothing (or nothing, with `zero`) to `most` hours.
    pub(super) fn hours(&mut self, key: &'static str, zero: Zero, most: i32) -> Option<At<Minutes>> {
        let (_, value) = self.find(key)?;
        self.hours_of(key, value, zero, most)
    }

    /// One length of time in hours, or a list of them.
    pub(super) fn hours_list(&mut self, key: &'static str, zero: Zero, most: i32) -> Option<At<Vec<At<Minutes>>>> {
        let (_, value) = self.find(key)?;
        let place = self.page.place(value.span());
        let list = match value.get_ref() {
            DeValue::Array(items) => items.iter().map(|item| self.hours_of(key, item, zero, most)).collect::<Option<Vec<_>>>()?,
            _ => vec![self.hours_of(key, value, zero, most)?],
        };
        Some(At::new(list, place))
    }

    fn hours_of(&self, key: &str, value: &Spanned<DeValue<'_>>, zero: Zero, most: i32) -> Option<At<Minutes>> {
        let place = self.page.place(value.span());
        let read = match value.get_ref() {
            DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix()).ok().and_then(|h| h.checked_mul(60)),
            DeValue::Float(number) => decimal_minutes(number.as_str()),
            DeValue::String(text) => {
                let length = length_minutes(text);
                if length.is_none() {
                    let help = match with_point(text) {
                        Some(number) => format!("write {number}, with a point"),
                        None => "write hours, like 1.5, or \"1h30\"".to_owned(),
                    };
                    if self.page.sink.is_unreadable(place) {
                        self.page.sink.amend(place, help);
                        return None;
                    }
                    let message = format!("`{key}` of {}: `{text}` is no length of time", self.what);
                    self.page.sink.say(Code::NotUnderstood, message, place, "", help);
                    return None;
                }
                length
            }
            DeValue::Boolean(_) | DeValue::Datetime(_) | DeValue::Array(_) | DeValue::Table(_) => {
                self.wrong(key, value, "a number of hours");
                return None;
            }
        };
        let least = match zero {
            Zero::Allowed => 0,
            Zero::Barred => 1,
        };
        let read = read.filter(|m| (least..=i64::from(most) * 60).contains(m)).and_then(|m| i32::try_from(m).ok());
        if read.is_none() && !self.page.sink.is_unreadable(place) {
            let message = format!("`{key}` of {} is out of range", self.what);
            let from = if least == 0 { "from 0" } else { "above 0" };
            self.page.sink.say(Code::OutOfRange, message, place, "", format!("give hours {from} and up to {most}, like 1.5"));
        }
        read.map(|minutes| At::new(Minutes::new(minutes), place))
    }

    /// A moment: a date and time as TOML has it, or a piece of text.
    pub(super) fn moment(&mut self, key: &'static str) -> Option<At<Written>> {
        let (_, value) = self.find(key)?;
        let place = self.page.place(value.span());
        match value.get_ref() {
            DeValue::Datetime(literal) => match written_literal(literal) {
                Ok(written) => Some(At::new(written, place)),
                // A date that the parser could not make out has been reported.
                Err(_) if self.page.sink.is_unreadable(place) => None,
                Err(why) => {
                    self.page.sink.say(Code::TimeNotUnderstood, format!("`{key}` of {}: {why}", self.what), place, "", TIME_HELP);
                    None
                }
            },
            DeValue::String(text) => {
                let text = self.page.quoted(value.span(), text);
                let written = Written::parse(text.as_str());
                if written.is_none() {
                    let message = Written::why_not(text.as_str());
                    self.page.sink.say(Code::TimeNotUnderstood, message, text.place(), "", moment_help(text.as_str()));
                }
                written.map(|w| At::new(w, text.place()))
            }
            _ => {
                self.wrong(key, value, "a time");
                None
            }
        }
    }

    /// A date (2027-06-30), as written.
    pub(super) fn date(&mut self, key: &'static str) -> Option<At<chrono::NaiveDate>> {
        let at = self.moment(key)?;
        match at.value {
            Written::Date { date, .. } => Some(At::new(date, at.place)),
            Written::Day { .. } => {
                let message = format!("`{key}` of {} takes a date", self.what);
                self.page.sink.say(Code::TimeNotUnderstood, message, at.place, "", "write a date, like 2027-06-30");
                None
            }
        }
    }

    /// The tables inside the table `key`, by name: `[task.A12]`, or `A12 = { ... }` under `[task]`. A row
    /// whose value is plain text is given with that text instead.
    pub(super) fn named(&mut self, key: &'static str, word: &str) -> Vec<Named<'a>> {
        let Some((_, value)) = self.find(key) else { return Vec::new() };
        let DeValue::Table(table) = value.get_ref() else {
            self.wrong(key, value, &format!("tables: [{key}.CODE]"));
            return Vec::new();
        };
        let path = self.under(&format!("{key}.CODE"));
        let mut rows = Vec::new();
        for (name, value) in table {
            let name_text = self.page.quoted(name.span(), name.get_ref());
            let what = if word.is_empty() { format!("`{}`", name.get_ref()) } else { format!("{word} {}", name.get_ref()) };
            self.page.sink.table(self.page.extent(name_text.place(), value.span()));
            let row = |table| Row { page: self.page, what, path: path.clone(), head: name_text.place(), table, asked: Vec::new() };
            match value.get_ref() {
                DeValue::Table(inner) => rows.push(Named { code: name_text.clone(), plain: None, row: row(Some(inner)) }),
                DeValue::String(text) => {
                    let plain = Some(self.page.quoted(value.span(), text));
                    rows.push(Named { code: name_text.clone(), plain, row: row(None) });
                }
                _ => self.wrong(name.get_ref(), value, "text in quotation marks or a table"),
            }
        }
        rows
    }

    /// The table `key`.
    pub(super) fn table(&mut self, key: &'static str) -> Option<Self> {
        let (head, value) = self.find(key)?;
        if let DeValue::Table(inner) = value.get_ref() {
            let (what, path) = (format!("[{key}]"), self.under(key));
            return Some(Row { page: self.page, what, path, head, table: Some(inner), asked: Vec::new() });
        }
        self.wrong(key, value, &format!("a table: [{key}]"));
        None
    }

    /// The tables of the list `key`: `[[cover]]`; one single table is as good.
    pub(super) fn tables(&mut self, key: &'static str) -> Vec<Self> {
        let Some((head, value)) = self.find(key) else { return Vec::new() };
        let (page, what, path) = (self.page, format!("[[{key}]]"), self.under(key));
        let row = |table, head: Place, span| {
            page.sink.table(page.extent(head, span));
            Row { page, what: what.clone(), path: path.clone(), head, table: Some(table), asked: Vec::new() }
        };
        match value.get_ref() {
            DeValue::Table(inner) => vec![row(inner, head, value.span())],
            DeValue::Array(items) => {
                let mut rows = Vec::new();
                for item in items {
                    match item.get_ref() {
                        DeValue::Table(inner) => rows.push(row(inner, self.page.place(item.span()), item.span())),
                        _ => self.wrong(key, item, &format!("tables: [[{key}]]")),
                    }
                }
                rows
            }
            _ => {
                self.wrong(key, value, &format!("tables: [[{key}]]"));
                Vec::new()
            }
        }
    }

    /// What stands under keys the row was not asked for, as text (the posts of a line), taken as known.
    pub(super) fn others(&mut self) -> Vec<(Text, Text)> {
        self.page.sink.asked(&self.path, ANY);
        let Some(table) = self.table else { return Vec::new() };
        let mut pairs = Vec::new();
        for (name, value) in table {
            if self.asked.iter().any(|k| k == name.get_ref()) {
                continue;
            }
            match value.get_ref() {
                DeValue::String(text) => {
                    pairs.push((self.page.quoted(name.span(), name.get_ref()), self.page.quoted(value.span(), text)));
                }
                _ => self.wrong(name.get_ref(), value, "text in quotation marks"),
            }
        }
        self.table = None;
        pairs
    }

    /// Reports every key that was not asked for.
    pub(super) fn finish(self) {
        let Some(table) = self.table else { return };
        for (name, _) in table {
            let key: &str = name.get_ref();
            if self.asked.contains(&key) {
                continue;
            }
            let place = self.page.place(name.span());
            let mut diagnostic = Diagnostic::new(Code::UnknownKey, format!("{} has no key `{key}`", self.what)).at(place, "not known here");
            // One that is not there is more likely to be meant than one that is.
            let absent = nearest(key, self.asked.iter().copied().filter(|k| self.has(k).is_none()));
            if let Some(near) = absent {
                self.is_misspelt(near);
            }
            if let Some(near) = absent.or_else(|| nearest(key, self.asked.iter().copied())) {
                diagnostic = diagnostic.help(format!("write `{near}` if that is what is meant"));
            } else {
                let mut known = self.asked.clone();
                known.sort_unstable();
                known.dedup();
                diagnostic = diagnostic.help(format!("known keys: {}", known.join(", ")));
            }
            self.page.sink.put(diagnostic);
        }
    }
}

/// A table with the name it stands under.
pub(super) struct Named<'a> {
    /// The name.
    pub code: Text,
    /// The text that stands in place of a table, if it is one.
    pub plain: Option<Text>,
    /// The table; empty where there is plain text.
    pub row: Row<'a>,
}

/// Whether a length may be nothing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Zero {
    /// It may.
    Allowed,
    /// It must be more.
    Barred,
}

/// What is asked for where any name may stand as a key.
pub(super) const ANY: &str = "*";

/// How times are written, for remedies.
pub(super) const TIME_HELP: &str = "write \"day 4 14:20\", or a date and time like 2027-03-04T14:20";

fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
