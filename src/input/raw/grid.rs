//! `hours.csv` as a grid: one row a person and day, a column for each half-hour, as people keep it in
//! spreadsheets.

use crate::diag::{Code, Diagnostic, Place};
use crate::input::raw::hours::{Form, Row};
use crate::input::sink::Sink;
use crate::input::text::{At, Text};
use crate::input::when::Written;
use crate::model::RecordKind;

/// Half-hours of a day.
const HALVES: usize = 48;

/// Columns beside the half-hours that may stand there and say nothing about when somebody worked: the sums and
/// figures of a printed record.
const SUMS: [&str; 6] = [
    "work_hours",
    "rest_hours",
    "least_rest_any_24h_hours",
    "least_rest_any_7d_hours",
    "most_work_any_24h_hours",
    "most_work_any_7d_hours",
];

/// Which column of a grid is where.
pub(in crate::input) struct Grid {
    person: usize,
    date: usize,
    /// Column of each half-hour, 00:00 first.
    halves: Vec<usize>,
    note: Option<usize>,
}

/// A day of which the record says everything, at work or not.
#[derive(Clone, Debug)]
pub(in crate::input) struct DayCovered {
    /// Who.
    pub person: Text,
    /// The day, without a time.
    pub day: At<Written>,
    /// The whole row.
    pub place: Place,
}

/// Whether the first line of a file begins a grid: it names times of the day.
pub(in crate::input) fn begins(fields: &[&str]) -> bool {
    fields.iter().filter(|field| half(field).is_some()).count() >= 2
}

/// The half-hour that a heading names: `06:30`, `6:30`, `06.30`, `0630`, `06:30-07:00`, `6`, `6.5`.
fn half(heading: &str) -> Option<usize> {
    let from = heading.split(['-', '\u{2013}']).next()?.trim();
    let digits = |text: &str| !text.is_empty() && text.len() <= 2 && text.bytes().all(|b| b.is_ascii_digit());
    let (hour, minute) = match from.split_once([':', '.']) {
        Some((hour, "5")) => (hour, "30"),
        Some((hour, "0")) => (hour, "00"),
        Some(pair) => pair,
        None if from.len() == 4 && from.is_ascii() => from.split_at(2),
        None => (from, "00"),
    };
    if !digits(hour) || minute.len() != 2 || !digits(minute) {
        return None;
    }
    let (hour, minute): (usize, usize) = (hour.parse().ok()?, minute.parse().ok()?);
    (hour < 24 && (minute == 0 || minute == 30)).then_some(hour * 2 + minute / 30)
}

impl Grid {
    /// Reads the first line; `None`, with everything that is wrong said, where it is not that of a grid.
    pub(in crate::input) fn header(fields: &[&str], place: Place, sink: &Sink) -> Option<Self> {
        let (mut person, mut date, mut note) = (None, None, None);
        let mut halves: Vec<Option<usize>> = vec![None; HALVES];
        let mut good = true;
        for (column, field) in fields.iter().enumerate() {
            let lower = field.to_ascii_lowercase();
            let slot = match lower.as_str() {
                "" => continue,
                "person" => &mut person,
                "date" | "day" => &mut date,
                "note" | "comments" => &mut note,
                sum if SUMS.contains(&sum) => continue,
                _ => {
                    let Some(number) = half(field) else {
                        let message = format!("`{field}` is not a column of a grid of half-hours");
                        sink.put(Diagnostic::new(Code::BrokenRow, message).at(place, "").help(HELP));
                        good = false;
                        continue;
                    };
                    &mut halves[number]
                }
            };
            if slot.replace(column).is_some() {
                sink.say(Code::BrokenRow, format!("the column `{field}` stands twice"), place, "", "take one of them out");
                good = false;
            }
        }
        let found: Vec<usize> = halves.iter().flatten().copied().collect();
        if found.len() < HALVES {
            let first = halves.iter().position(Option::is_none).unwrap_or(0);
            let message = format!("the grid has {} half-hours, and a day has 48", found.len());
            let label = format!("{:02}:{:02} is the first that is missing", first / 2, first % 2 * 30);
            sink.say(Code::BrokenRow, message, place, label, HELP);
            good = false;
        }
        let (Some(person), Some(date)) = (person, date) else {
            sink.say(Code::BrokenRow, "the first line does not name the columns person and date", place, "", HELP);
            return None;
        };
        good.then_some(Self { person, date, halves: found, note })
    }

    /// Reads a day; what cannot be read is said, and then nothing of the day is used.
    pub(in crate::input) fn day(&self, texts: &[Text], place: Place, sink: &Sink) -> Option<(DayCovered, Vec<Row>)> {
        let field = |column: usize| texts.get(column).filter(|text| !text.as_str().is_empty());
        let (Some(person), Some(date)) = (field(self.person), field(self.date)) else {
            sink.say(Code::BrokenRow, "the row has no person or no date", place, "", "fill it in, or take the row out");
            return None;
        };
        let written = Written::parse(date.as_str()).filter(|written| written.minute().is_none());
        let Some(day) = written else {
            let message = format!("`{}` is not a day", date.as_str());
            sink.say(Code::TimeNotUnderstood, message, date.place(), "", "write a date like 2027-03-04, or \"day 4\"");
            return None;
        };
        let mut marks: Vec<Option<RecordKind>> = Vec::with_capacity(HALVES);
        let mut unknown = 0;
        for column in &self.halves {
            let text = texts.get(*column);
            match mark(text.map_or("", Text::as_str)) {
                Mark::Rest => marks.push(None),
                Mark::Work(kind) => marks.push(Some(kind)),
                Mark::Unknown => {
                    unknown += 1;
                    marks.push(None);
                }
                Mark::Nonsense => {
                    let (said, at) = text.map_or(("", place), |text| (text.as_str(), text.place()));
                    sink.say(Code::BrokenRow, format!("`{said}` is not a mark of a half-hour"), at, "", MARKS);
                    return None;
                }
            }
        }
        if unknown > 0 {
            // A day of which nothing is known is as good as no row; one known in part would pass for rest.
            if unknown < HALVES {
                let help = "fill the half-hours in, or mark the whole day as not known";
                sink.say(Code::BrokenRow, "some half-hours of this day are marked as not known", place, "", help);
            }
            return None;
        }
        let note = self.note.and_then(field).map_or(String::new(), |text| text.as_str().to_owned());
        let covered = DayCovered { person: person.clone(), day: At::new(day, date.place()), place };
        let rows = runs(&marks).into_iter().map(|(from, to, kind)| Row {
            place,
            person: person.clone(),
            from: At::new(day.with_minute(from), date.place()),
            to: At::new(day.with_minute(to), date.place()),
            kind,
            note: note.clone(),
            form: Form::Grid,
        });
        Some((covered, rows.collect()))
    }
}

/// Stretches of equal marks: from, to in minutes of the day, and the kind of work.
fn runs(marks: &[Option<RecordKind>]) -> Vec<(i32, i32, RecordKind)> {
    let mut all: Vec<(i32, i32, RecordKind)> = Vec::new();
    let mut from = 0;
    for mark in marks {
        let to = from + 30;
        if let Some(kind) = mark {
            match all.last_mut() {
                Some((_, end, known)) if *end == from && known == kind => *end = to,
                _ => all.push((from, to, *kind)),
            }
        }
        from = to;
    }
    all
}

/// What a cell says.
enum Mark {
    Rest,
    Work(RecordKind),
    /// The record does not say.
    Unknown,
    Nonsense,
}

/// Reads a cell. A half-hour worked in part counts as work: the record is then strict, never too kind.
fn mark(cell: &str) -> Mark {
    match cell.to_ascii_lowercase().as_str() {
        "" | "0" | "." | "-" | "r" | "rest" | "b" | "break" => Mark::Rest,
        "x" | "1" | "/" | "d" | "duty" | "work" => Mark::Work(RecordKind::Duty),
        "w" | "watch" => Mark::Work(RecordKind::Watch),
        "t" | "task" => Mark::Work(RecordKind::Task),
        "c" | "call" => Mark::Work(RecordKind::Call),
        "m" | "drill" => Mark::Work(RecordKind::Drill),
        "e" | "emergency" => Mark::Work(RecordKind::Emergency),
        "o" | "oncall" => Mark::Work(RecordKind::OnCall),
        "?" => Mark::Unknown,
        _ => Mark::Nonsense,
    }
}

const HELP: &str = "begin the file with person,date,00:00,00:30,... to 23:30, and note if there are any";

const MARKS: &str = "leave it empty for rest, b for a break; x or d for work, w watch, t task, c call-out, m drill, e emergency, o on call without a call, ? for a day not known";

#[cfg(test)]
mod tests;
