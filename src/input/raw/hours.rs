//! `hours.csv` as written: recorded work, one row a stretch, or a grid of half-hours.

use csv::{ByteRecord, ReaderBuilder, Terminator, Trim};

use crate::diag::{Code, Diagnostic, FileId, Place, Sources, unseen};
use crate::input::near::{nearest, remedy};
use crate::input::raw::grid::{self, DayCovered, Grid};
use crate::input::sink::Sink;
use crate::input::syntax::say_unseen;
use crate::input::text::{At, Text};
use crate::input::when::{Written, moment_help};
use crate::model::RecordKind;

/// A recorded stretch of work.
pub(in crate::input) struct Row {
    /// The whole row.
    pub place: Place,
    /// Who.
    pub person: Text,
    /// From when.
    pub from: At<Written>,
    /// To when.
    pub to: At<Written>,
    /// What it was.
    pub kind: RecordKind,
    /// Free text.
    pub note: String,
    /// How it was written.
    pub form: Form,
}

/// How a stretch of work was written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::input) enum Form {
    /// As a row with both ends.
    FromTo,
    /// As half-hours of a day.
    Grid,
}

/// What the file says.
#[derive(Default)]
pub(in crate::input) struct Hours {
    /// Stretches of work, in the order of the file.
    pub rows: Vec<Row>,
    /// Days of which a grid says everything, in the order of the file; empty for from-to rows.
    pub days: Vec<DayCovered>,
    /// Whether the first line could not be read, so that no row need not mean no work.
    pub broken: bool,
}

/// What the first line announces.
enum Columns {
    FromTo([Option<usize>; 5]),
    Grid(Grid),
}

/// The columns of rows from-to.
pub(in crate::input) const COLUMNS: [&str; 5] = ["person", "from", "to", "kind", "note"];

/// Reads `hours.csv`; rows that cannot be read are reported and left out.
pub(in crate::input) fn read(file: FileId, sources: &Sources, sink: &Sink) -> Hours {
    let text = sources.text(file);
    let skipped = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let body = &text[skipped..];
    for found in unseen(text) {
        say_unseen(found, found.place(file), sink);
    }
    let first = body.lines().next().unwrap_or("");
    let mut reader = ReaderBuilder::new()
        .delimiter(separator(first))
        .has_headers(false)
        .flexible(true)
        .trim(Trim::All)
        .terminator(Terminator::CRLF)
        .from_reader(body.as_bytes());
    let mut record = ByteRecord::new();
    let mut columns: Option<Columns> = None;
    let mut hours = Hours::default();
    let (mut named, mut note_last) = (0, false);
    loop {
        let before = usize::try_from(reader.position().byte()).unwrap_or(body.len());
        match reader.read_byte_record(&mut record) {
            Ok(false) => return hours,
            Err(error) => {
                sink.say(Code::BrokenRow, format!("the rows cannot be read: {error}"), line_at(file, text, skipped + before), "", "");
                return hours;
            }
            Ok(true) => {}
        }
        let start = record.position().map_or(before, |p| usize::try_from(p.byte()).unwrap_or(before));
        let after = usize::try_from(reader.position().byte()).unwrap_or(body.len());
        let place = row_place(file, text, skipped + start, skipped + after);
        if let Some(next) = text.get(place.start..place.end).and_then(|raw| raw.find('\n')) {
            let place = Place { end: place.start + text[place.start..place.start + next].trim_end().len(), ..place };
            let message = "a quotation mark is not closed on this line, so the lines after it would belong to this row";
            sink.say(Code::BrokenRow, message, place, "", "close or take out the quotation mark; a row is one line, its note too");
            return hours;
        }
        let mut fields: Vec<&str> = record.iter().map(|f| std::str::from_utf8(f).unwrap_or("")).collect();
        if fields.iter().all(|f| f.is_empty()) || fields.first().is_some_and(|f| f.starts_with('#')) {
            continue;
        }
        let joined;
        if columns.is_none() {
            named = fields.len();
            note_last = fields.last().is_some_and(|last| ["note", "comments"].iter().any(|note| last.eq_ignore_ascii_case(note)));
        } else if note_last && fields.len() > named {
            // A note at the end of the row may have separators in it, in quotation marks or not.
            joined = fields[named - 1..].join(", ").replace('"', "");
            fields.truncate(named - 1);
            fields.push(&joined);
        } else if fields.iter().skip(named).any(|field| !field.is_empty()) {
            let help = "take out what is too much, or put a text with separators in it in quotation marks";
            sink.say(Code::BrokenRow, "the row has more fields than the first line names", place, "", help);
            continue;
        }
        match &columns {
            None if grid::begins(&fields) => match Grid::header(&fields, place, sink) {
                Some(found) => columns = Some(Columns::Grid(found)),
                None => return Hours { broken: true, ..hours },
            },
            None => match header(&fields, place, sink) {
                Some(found) => columns = Some(Columns::FromTo(found)),
                None => return Hours { broken: true, ..hours },
            },
            Some(Columns::FromTo(columns)) => hours.rows.extend(row(&texts(&fields, place, sources), columns, place, sink)),
            Some(Columns::Grid(columns)) => {
                if let Some((day, rows)) = columns.day(&texts(&fields, place, sources), place, sink) {
                    hours.days.push(day);
                    hours.rows.extend(rows);
                }
            }
        }
    }
}

/// The separator that stands most often in the first line; a comma if none does.
fn separator(line: &str) -> u8 {
    let count = |c: u8| line.bytes().filter(|b| *b == c).count();
    let mut best = b',';
    for candidate in [b';', b'\t'] {
        if count(candidate) > count(best) {
            best = candidate;
        }
    }
    best
}

/// The line on which byte `at` stands.
fn line_at(file: FileId, text: &str, at: usize) -> Place {
    let at = at.min(text.len());
    let start = text.as_bytes()[..at].iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1);
    let end = text.as_bytes()[at..].iter().position(|b| *b == b'\n').map_or(text.len(), |i| at + i);
    Place { file, start, end: end.max(start) }
}

/// From `start` to `after`, without the white space around it.
fn row_place(file: FileId, text: &str, start: usize, after: usize) -> Place {
    let Some(raw) = text.get(start..after.min(text.len())) else { return line_at(file, text, start) };
    let start = start + (raw.len() - raw.trim_start().len());
    Place { file, start, end: start + raw.trim().len() }
}

/// Which column is where; `None` if one is missing.
fn header(fields: &[&str], place: Place, sink: &Sink) -> Option<[Option<usize>; 5]> {
    let mut columns = [None; 5];
    let mut good = true;
    if !fields.iter().any(|field| nearest(field, COLUMNS).is_some()) {
        let help = "begin the file with the line person,from,to,kind,note";
        sink.say(Code::BrokenRow, "the first line does not name the columns", place, "", help);
        return None;
    }
    for (i, field) in fields.iter().enumerate() {
        let known = COLUMNS.iter().position(|c| c.eq_ignore_ascii_case(field));
        match known {
            Some(column) => columns[column] = Some(i),
            None if field.is_empty() => {}
            None => {
                let mut diagnostic = Diagnostic::new(Code::BrokenRow, format!("`{field}` is not a column")).at(place, "");
                diagnostic = match nearest(field, COLUMNS) {
                    Some(near) => diagnostic.help(format!("write `{near}` if that is what is meant")),
                    None => diagnostic.help("the columns are person, from, to, kind, note"),
                };
                sink.put(diagnostic);
                good = false;
            }
        }
    }
    // A note may be left out.
    let lacking: Vec<&str> = COLUMNS[..4].iter().zip(columns).filter(|(_, at)| at.is_none()).map(|(name, _)| *name).collect();
    if !lacking.is_empty() && good {
        let message = format!("the first line does not name the column {}", lacking.join(", "));
        sink.say(Code::BrokenRow, message, place, "", "begin the file with the line person,from,to,kind,note");
        good = false;
    }
    good.then_some(columns)
}

/// The fields of a row with their places.
fn texts(fields: &[&str], place: Place, sources: &Sources) -> Vec<Text> {
    let raw = sources.excerpt(place);
    let mut cursor = 0;
    let mut texts: Vec<Text> = Vec::with_capacity(fields.len());
    for field in fields {
        // A field without quotation marks stands in the row as it is.
        let text = match raw.get(cursor..).and_then(|rest| rest.find(field)) {
            Some(at) if !field.is_empty() => {
                let start = place.start + cursor + at;
                cursor += at + field.len();
                Text::exact(*field, Place { file: place.file, start, end: start + field.len() })
            }
            _ => Text::loose(*field, place),
        };
        texts.push(text);
    }
    texts
}

fn row(texts: &[Text], columns: &[Option<usize>; 5], place: Place, sink: &Sink) -> Option<Row> {
    let get = |column: usize| columns[column].and_then(|i| texts.get(i)).filter(|t| !t.as_str().is_empty());
    let lacking: Vec<&str> = (0..4).filter(|c| get(*c).is_none()).map(|c| COLUMNS[c]).collect();
    if !lacking.is_empty() {
        sink.say(Code::BrokenRow, format!("the row has no {}", lacking.join(", ")), place, "", "fill it in, or take the row out");
        return None;
    }
    let (person, from, to, kind) = (get(0)?, get(1)?, get(2)?, get(3)?);
    let moment = |text: &Text| {
        let written = Written::parse(text.as_str()).filter(|w| w.minute().is_some());
        if written.is_none() {
            sink.say(Code::TimeNotUnderstood, Written::why_not(text.as_str()), text.place(), "", moment_help(text.as_str()));
        }
        written.map(|w| At::new(w, text.place()))
    };
    let (from, to) = (moment(from), moment(to));
    let kind_read = kind_of(kind.as_str());
    if kind_read.is_none() {
        let message = format!("`{}` is not a kind of work", kind.as_str());
        let near = remedy(kind.as_str(), [], &WORDS.map(|(word, _)| word));
        sink.say(Code::BrokenRow, message, kind.place(), "", near.unwrap_or_else(|| KINDS.to_owned()));
    }
    let note = get(4).map_or(String::new(), |t| t.as_str().to_owned());
    Some(Row { place, person: person.clone(), from: from?, to: to?, kind: kind_read?, note, form: Form::FromTo })
}

/// The words for kinds of work.
const WORDS: [(&str, RecordKind); 7] = [
    ("watch", RecordKind::Watch),
    ("task", RecordKind::Task),
    ("duty", RecordKind::Duty),
    ("call", RecordKind::Call),
    ("drill", RecordKind::Drill),
    ("emergency", RecordKind::Emergency),
    ("oncall", RecordKind::OnCall),
];

/// The kind of work that a word names, capitals or not.
pub(in crate::input) fn kind_of(word: &str) -> Option<RecordKind> {
    WORDS.iter().find(|(known, _)| known.eq_ignore_ascii_case(word)).map(|(_, kind)| *kind)
}

/// The kinds of work, for remedies.
pub(in crate::input) const KINDS: &str = "write watch, task, duty, call, drill, emergency or oncall";
