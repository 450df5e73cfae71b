//! A stream of recorded hours of many ships, read line by line: no row depends on another one, and a row that cannot
//! be read costs nothing but itself.

mod stamp;
#[cfg(test)]
mod tests;

use std::borrow::Cow;
use std::str;

pub use stamp::{Stamp, stream_day_one};

use crate::diag::unseen;
use crate::input::near::nearest;
use crate::input::raw::hours::{KINDS, kind_of};
use crate::model::RecordKind;
use crate::time::{Minutes, Span};

/// What the columns are called.
const COLUMNS: [&str; 6] = ["ship", "person", "from", "to", "kind", "note"];

/// How to begin a stream, for remedies.
const HEADER: &str = "begin with the line ship,person,from,to,kind,note";

/// Longest unbroken work that is believed, as for the record of one job.
const LONGEST: Minutes = Minutes::new(7 * 1440);

/// The columns of a stream, from its first line.
#[derive(Clone, Debug)]
pub struct StreamRows {
    separator: u8,
    /// Where each of [`COLUMNS`] stands.
    places: [Option<usize>; 6],
    count: usize,
}

/// One row of a stream.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StreamRow<'a> {
    /// Name of the ship.
    pub ship: Cow<'a, str>,
    /// Name or code of the person.
    pub person: Cow<'a, str>,
    /// From when.
    pub from: Stamp,
    /// From when to when, from 2000-01-01 00:00 UTC.
    pub span: Span,
    /// What it was.
    pub kind: RecordKind,
    /// Whether a note says more.
    pub noted: bool,
}

impl StreamRows {
    /// Reads the first line.
    ///
    /// # Errors
    /// It does not name the columns; what is wrong and what to do.
    pub fn begin(line: &[u8]) -> Result<Self, String> {
        let line = line.strip_prefix(b"\xef\xbb\xbf").unwrap_or(line);
        let text = str::from_utf8(trimmed(line)).map_err(|_| format!("the first line is not UTF-8 text; {HEADER}"))?;
        let count = |c: u8| text.bytes().filter(|b| *b == c).count();
        let separator = [b';', b'\t'].into_iter().fold(b',', |best, c| if count(c) > count(best) { c } else { best });
        let mut places = [None; 6];
        let mut number = 0;
        for field in text.split(char::from(separator)) {
            let field = field.trim().trim_matches('"');
            let column = COLUMNS.iter().position(|c| c.eq_ignore_ascii_case(field));
            let Some(column) = column else {
                let near =
                    nearest(field, COLUMNS).map_or_else(|| HEADER.to_owned(), |near| format!("write `{near}` if that is what is meant"));
                return Err(format!("`{field}` is not a column; {near}"));
            };
            if places[column].replace(number).is_some() {
                return Err(format!("the column `{field}` stands twice; take one of them out"));
            }
            number += 1;
        }
        let lacking: Vec<&str> = COLUMNS[..5].iter().zip(places).filter(|(_, at)| at.is_none()).map(|(name, _)| *name).collect();
        if !lacking.is_empty() {
            return Err(format!("the first line does not name the column {}; {HEADER}", lacking.join(", ")));
        }
        Ok(Self { separator, places, count: number })
    }

    /// Reads one line; `None` for one without anything in it. A row is one line: there are no line breaks in fields.
    ///
    /// # Errors
    /// The row cannot be read; what is wrong with it.
    pub fn row<'a>(&self, line: &'a [u8]) -> Result<Option<StreamRow<'a>>, String> {
        let line = trimmed(line);
        if line.is_empty() || line.iter().all(|b| *b == self.separator || *b == b' ') {
            return Ok(None);
        }
        let text = str::from_utf8(line).map_err(|_| "it is not UTF-8 text".to_owned())?;
        if text.contains('"') {
            let fields = self.quoted(text)?;
            let field = |i: usize| fields.get(i).map(|field| Cow::Owned(field.trim().to_owned()));
            return self.lower(fields.len(), field).map(Some);
        }
        let mut fields = [""; 6];
        let mut found = 0;
        let last_is_note = self.places[5] == Some(self.count - 1);
        let mut rest = Some(text);
        while let Some(left) = rest {
            if found == self.count {
                return Err(too_many());
            }
            // A note at the end of the line may hold separators.
            let whole = last_is_note && found + 1 == self.count;
            let (field, after) = match left.as_bytes().iter().position(|b| *b == self.separator) {
                Some(at) if !whole => (&left[..at], Some(&left[at + 1..])),
                _ => (left, None),
            };
            fields[found] = field.trim_ascii();
            found += 1;
            rest = after;
        }
        self.lower(found, |i| fields.get(i).filter(|_| i < found).map(|field| Cow::Borrowed(*field))).map(Some)
    }

    /// The fields of a line with quotation marks in it.
    fn quoted(&self, text: &str) -> Result<Vec<String>, String> {
        // Quotation marks that do not pair up would make the next lines part of this one.
        if text.bytes().filter(|b| *b == b'"').count() % 2 == 1 {
            return Err("a quotation mark is not closed; a row is one line".to_owned());
        }
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(self.separator)
            .has_headers(false)
            .flexible(true)
            .buffer_capacity(text.len().max(1))
            .from_reader(text.as_bytes());
        let record = reader.records().next().and_then(Result::ok).ok_or_else(|| "the fields cannot be told apart".to_owned())?;
        if record.len() > self.count && record.iter().skip(self.count).any(|field| !field.is_empty()) {
            return Err(too_many());
        }
        Ok(record.iter().map(str::to_owned).collect())
    }

    fn lower<'a>(&self, found: usize, field: impl Fn(usize) -> Option<Cow<'a, str>>) -> Result<StreamRow<'a>, String> {
        let get = |column: usize| self.places[column].and_then(&field).filter(|text| !text.is_empty());
        let need = |column: usize| {
            get(column).ok_or_else(|| {
                let short = if found < self.count { format!("; the row has {found} fields of {}", self.count) } else { String::new() };
                format!("it has no {}{short}", COLUMNS[column])
            })
        };
        let (ship, person) = (need(0)?, need(1)?);
        if let Some(found) = unseen(&ship).chain(unseen(&person)).next() {
            return Err(format!("in ship or person there is {}", found.text()));
        }
        let moment = |column: usize| {
            let text = need(column)?;
            stamp::stamp(&text).ok_or_else(|| format!("`{text}` is not a time; write it like 2027-03-04T08:00 or 2027-03-04T08:00+03:00"))
        };
        let (from, to) = (moment(2)?, moment(3)?);
        let kind = need(4)?;
        let kind = kind_of(&kind).ok_or_else(|| format!("`{kind}` is not a kind of work; {KINDS}"))?;
        if from.offset.is_some() != to.offset.is_some() {
            return Err("one of its times has an offset from UTC and the other has none".to_owned());
        }
        let span = Span::new(from.at, to.at).ok_or_else(|| "it ends before it begins".to_owned())?;
        if span.length() > LONGEST {
            return Err("it is longer than seven days".to_owned());
        }
        Ok(StreamRow { ship, person, from, span, kind, noted: get(5).is_some() })
    }
}

fn too_many() -> String {
    "it has more fields than the first line names; put a text with separators in it in quotation marks".to_owned()
}

fn trimmed(line: &[u8]) -> &[u8] {
    let line = line.strip_suffix(b"\n").unwrap_or(line);
    line.strip_suffix(b"\r").unwrap_or(line)
}
