//! The record of a month as text.

use crate::hours::{DayRow, Month};
use crate::model::{Problem, RecordKind};
use crate::out::hours::words::{self, FIRST};
use crate::out::page::{self, Page};
use crate::rest::rule::Limit;
use crate::time::{Minutes, Moment, Span};

/// Half-hours of a day.
pub(super) const CELLS: i32 = 48;

/// The record as text of at most 80 columns: a line a day with 48 half-hours.
///
/// The layout follows the model record of the IMO/ILO guidelines of 1999: days down, hours across, the
/// seafarer's sum, then the columns that are not for the seafarer, comments and signatures.
#[must_use]
pub fn month_text(problem: &Problem, month: &Month) -> String {
    let mut page = Page::default();
    for line in heading(problem, month) {
        page.text(&line);
    }
    page.text("X work, / work in part, - a break too short to be rest, . rest, ? not known, blank no record.");
    page.blank();
    page.row("                                                    |      |not for the");
    page.row("   |                  ship's time                   |rest  | seafarer");
    page.row("   |0   2   4   6   8   10  12  14  16  18  20  22  |in day|any24h any7d");
    for row in &month.days {
        let cells: String = cells(problem, row).into_iter().map(Cell::sign).collect();
        let rest = if row.known.is_some_and(|known| known == row.span) { hours(Some(row.rest)) } else { String::new() };
        let (day, week) = (hours(row.least_24h), hours(row.least_7d));
        let mark = if row.findings.is_empty() { "" } else { " !" };
        let number = row.date.format("%d");
        page.row(&format!("{number} |{cells}|{}|{} {}{mark}", page::right(&rest, 6), page::right(&day, 6), page::right(&week, 5)));
    }
    page.text(
        "Hours and hundredths. Not for the seafarer: least rest of any 24 h and any 7 days that end on the day, where all of it is known.",
    );
    let comments: Vec<(String, String)> = month.days.iter().flat_map(|row| comments(problem, month, row)).collect();
    if !comments.is_empty() {
        page.heading("Comments");
        for (day, text) in comments {
            page.item(&day, 4, &text);
        }
    }
    page.blank();
    page.text(&words::read_as(words::set(problem, month.person)));
    for line in closing() {
        page.text(line);
    }
    page.blank();
    page.row("Master or person authorised: ______________________   Date: ____________");
    page.blank();
    page.row("Seafarer: _________________________________________   Date: ____________");
    page.finish()
}

/// What stands above the days: ship, seafarer, month, limits.
pub(super) fn heading(problem: &Problem, month: &Month) -> Vec<String> {
    let who = &problem.people[month.person];
    let set = words::set(problem, month.person);
    let keeper = if month.watchkeeper { "yes" } else { "no" };
    let rules: Vec<String> = set.rules.iter().map(|rule| rule.kind.text()).collect();
    vec![
        "RECORD OF HOURS OF REST".to_owned(),
        format!("Ship: {}; IMO number: ____________; flag: ____________", problem.ship),
        format!("Seafarer: {}; position: {}; watchkeeper: {keeper}", who.name, if who.role.is_empty() { &who.code } else { &who.role }),
        format!("Month: {}; limits: {} ({}): {}.", month.first.format("%B %Y"), set.name, set.code, rules.join("; ")),
    ]
}

/// What stands below the days.
pub(super) const fn closing() -> [&'static str; 3] {
    [
        "I agree that this record is an accurate reflection of the hours of work and rest of the seafarer concerned.",
        "One copy is for the seafarer. This form may be examined by the authority under its own procedures.",
        FIRST,
    ]
}

/// What a half-hour is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Cell {
    /// All of it work.
    Work,
    /// Some of it work.
    Part,
    /// A break too short to be rest, and no work.
    Neither,
    /// Rest.
    Rest,
    /// Before the record begins.
    Unknown,
    /// After its end.
    Blank,
    /// Skipped by the ship's clock.
    Skipped,
}

impl Cell {
    /// One letter for it; colour or shade is never needed to read it.
    pub(super) const fn sign(self) -> char {
        match self {
            Self::Work => 'X',
            Self::Part => '/',
            Self::Neither => '-',
            Self::Rest => '.',
            Self::Unknown => '?',
            Self::Blank | Self::Skipped => ' ',
        }
    }
}

/// The time in which ship's clock shows a half-hour of a day: none where it leaves it out, two stretches where it shows it
/// twice. What it shows of another day in the time of this one, set back over midnight, is of the half-hour beside it.
pub(super) fn half(problem: &Problem, row: &DayRow, half: i32) -> Vec<Span> {
    let still = problem.clock.unchanged();
    let face = |half: i32| match half {
        0 => Moment::FAR_PAST,
        CELLS => Moment::FAR_FUTURE,
        _ => still.at(row.day, Minutes::new(30 * half)),
    };
    let faces = Span::new(face(half), face(half + 1));
    faces.into_iter().flat_map(|faces| problem.clock.showings(faces)).filter_map(|span| span.intersection(row.span)).collect()
}

/// How long some stretches are together.
fn length(spans: &[Span]) -> Minutes {
    spans.iter().map(|span| span.length()).sum()
}

/// The 48 half-hours of a day by ship's clock. The model record has one place for each, so one that the clock shows twice stands
/// once, for both: it is marked as worked on in part where only one of the two was.
pub(super) fn cells(problem: &Problem, row: &DayRow) -> Vec<Cell> {
    let work: Vec<Span> = crate::time::union(row.recorded.iter().map(|r| r.span).collect());
    let shared = |spans: &[Span], with: Span| -> Minutes { spans.iter().filter_map(|s| s.intersection(with)).map(Span::length).sum() };
    let of_it = |spans: &[Span], shown: &[Span]| -> Minutes { shown.iter().map(|span| shared(spans, *span)).sum() };
    (0..CELLS)
        .map(|number| {
            let shown = half(problem, row, number);
            let Some(last) = shown.last() else { return Cell::Skipped };
            let worked = of_it(&work, &shown);
            if worked == length(&shown) {
                Cell::Work
            } else if worked > Minutes::ZERO {
                Cell::Part
            } else if of_it(&row.neither, &shown) > Minutes::ZERO {
                Cell::Neither
            } else {
                match row.known {
                    Some(known) if shown.iter().any(|span| known.overlaps(*span)) => Cell::Rest,
                    Some(known) if last.end() <= known.start() => Cell::Unknown,
                    Some(_) | None => Cell::Blank,
                }
            }
        })
        .collect()
}

/// `10.5`; `?` where it is not known.
pub(super) fn hours(length: Option<Minutes>) -> String {
    length.map_or_else(|| "?".to_owned(), |length| if length.is_zero() { "0.0".to_owned() } else { crate::out::words::decimal(length) })
}

/// Remarks on a day: the number of the day where it is the first, and the text.
pub(super) fn comments(problem: &Problem, month: &Month, row: &DayRow) -> Vec<(String, String)> {
    let clock = &problem.clock;
    let mut texts = Vec::new();
    let change = row.span.length() - Minutes::DAY;
    if !change.is_zero() {
        let twice: Vec<i32> = (0..CELLS).filter(|number| length(&half(problem, row, *number)) > Minutes::new(30)).collect();
        let time = |half: i32| format!("{:02}:{:02}", half / 2, half % 2 * 30);
        let both = match (twice.first(), twice.last()) {
            (Some(first), Some(last)) => format!("; {}-{} is shown twice, and marked once for both", time(*first), time(*last + 1)),
            _ => String::new(),
        };
        texts.push(format!("the clock changes: this day has {}{both}", words::hours(row.span.length())));
    }
    if row.known.is_some_and(|known| known != row.span) {
        texts.push("recorded in part only".to_owned());
    }
    for recorded in row.recorded.iter().filter(|r| row.span.contains(r.span.start())) {
        let said = match recorded.kind {
            RecordKind::Drill | RecordKind::Call | RecordKind::Emergency => true,
            RecordKind::Watch | RecordKind::Task | RecordKind::Duty | RecordKind::OnCall => false,
        };
        if said {
            let note = if recorded.note.is_empty() { String::new() } else { format!(" ({})", recorded.note) };
            let end = clock.hour(recorded.span.end());
            texts.push(format!("{} {}-{end}{note}", words::kind(recorded.kind), clock.hour(recorded.span.start())));
        }
    }
    let hours = |span: Span| {
        let end = if span.end() == row.span.end() { "24:00".to_owned() } else { clock.hour(span.end()) };
        format!("{}-{end}", clock.hour(span.start()))
    };
    let away = problem.people[month.person].away.iter().filter_map(|span| span.intersection(row.span));
    texts.extend(away.filter(|_| row.known.is_some()).map(|span| format!("not aboard {}", hours(span))));
    let on_call = problem.people[month.person].on_call.iter().filter_map(|span| span.intersection(row.span));
    texts.extend(on_call.map(|span| format!("on call {}", hours(span))));
    let set = words::set(problem, month.person);
    let mut broken = Vec::new();
    for (number, rule) in set.rules.iter().enumerate() {
        let worst = row.findings.iter().filter(|f| f.rule == number).max_by_key(|f| f.shortfall());
        if let Some(worst) = worst {
            let asked = match rule.kind.limit() {
                Limit::AtLeast(_) => "at least",
                Limit::AtMost(_) => "at most",
            };
            broken.push(format!("{} {}, {asked} {}", rule.code, words::hours(worst.found), words::hours(worst.required)));
        }
    }
    if !broken.is_empty() {
        texts.push(format!("! {}", broken.join("; ")));
    }
    let first = row.date.format("%d").to_string();
    texts.into_iter().enumerate().map(|(i, text)| (if i == 0 { first.clone() } else { String::new() }, text)).collect()
}
