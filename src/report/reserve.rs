//! Who can be called by day and in the night after it.

use crate::account::ReserveRow;
use crate::clock::Day;
use crate::id::PersonId;
use crate::report::Report;
use crate::time::{Minutes, Span, union};

/// The night runs from this minute of the day.
const NIGHT_FROM: Minutes = Minutes::hours(20);
/// The night runs to this minute of the next day.
const NIGHT_TO: Minutes = Minutes::hours(6);

/// The reserve of one ship's day.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ReserveDay {
    /// Periods in time order: the end of the night before where the plan starts in it, the day, and the
    /// night that follows it to 06:00 of the next day. Periods in which no mode asks for people are left
    /// out.
    pub periods: Vec<Period>,
    /// Unbooked time there is.
    pub unbooked: Minutes,
    /// Unbooked time asked for.
    pub unbooked_needed: Minutes,
}

/// Part of the day of a period.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Part {
    /// Rest of the night before, to 06:00.
    SmallHours,
    /// From 06:00 to 20:00.
    Day,
    /// From 20:00 to 06:00.
    Night,
}

/// Who can be called in one period.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Period {
    /// Which.
    pub part: Part,
    /// From when to when.
    pub span: Span,
    /// By kind, in the order in which the modes list them.
    pub kinds: Vec<KindPeriod>,
}

/// Who can be called as one kind of the reserve in one period.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct KindPeriod {
    /// Code of the kind.
    pub kind: String,
    /// Callable whenever the kind is asked for in the period.
    pub throughout: Vec<PersonId>,
    /// Callable in part of it, with the times.
    pub in_part: Vec<(PersonId, Vec<Span>)>,
    /// Where fewest can be called beyond what is asked for.
    pub weakest: Weakest,
}

/// The weakest stretch of a kind.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Weakest {
    /// From when to when.
    pub span: Span,
    /// Who can be called then.
    pub callable: Vec<PersonId>,
    /// How many are asked for.
    pub needed: u32,
    /// Whether all kinds together are filled by different people then.
    pub met: bool,
}

/// The reserve of `day`, of which `span` lies in the plan.
pub(super) fn of(report: &Report<'_>, day: Day, span: Span) -> ReserveDay {
    let clock = &report.problem().clock;
    let (six, twenty, morning) = (clock.at(day, NIGHT_TO), clock.at(day, NIGHT_FROM), clock.at(day.next(), NIGHT_TO));
    let parts = [
        (Part::SmallHours, Span::new(clock.day_span(day).start(), six)),
        (Part::Day, Span::new(six, twenty)),
        (Part::Night, Span::new(twenty, morning)),
    ];
    let first = clock.day(report.problem().start) == day;
    let clipped = parts.into_iter().filter_map(|(part, whole)| Some((part, whole?.intersection(report.span())?)));
    let periods = clipped
        .filter(|(part, _)| *part != Part::SmallHours || first)
        .map(|(part, span)| Period { part, span, kinds: kinds(report, span) })
        .filter(|p| !p.kinds.is_empty())
        .collect();
    let row = report.account().days.iter().find(|d| d.day == day && span.length() > Minutes::ZERO);
    ReserveDay {
        periods,
        unbooked: row.map_or(Minutes::ZERO, |r| r.unbooked),
        unbooked_needed: row.map_or(Minutes::ZERO, |r| r.unbooked_needed),
    }
}

fn kinds(report: &Report<'_>, span: Span) -> Vec<KindPeriod> {
    let mut codes: Vec<&str> = Vec::new();
    let asked = report.problem().modes.iter().filter_map(|m| m.reserve.as_ref());
    for row in asked.flat_map(|r| &r.kinds) {
        if !codes.contains(&row.code.as_str()) {
            codes.push(&row.code);
        }
    }
    codes.into_iter().filter_map(|code| kind(&report.account().reserve, code, span)).collect()
}

fn kind(rows: &[ReserveRow], code: &str, span: Span) -> Option<KindPeriod> {
    let mine = rows.iter().filter(|r| r.kind == code && r.needed > 0);
    let here: Vec<(Span, &ReserveRow)> = mine.filter_map(|r| Some((r.span.intersection(span)?, r))).collect();
    let asked = union(here.iter().map(|(s, _)| *s).collect());
    let mut people: Vec<PersonId> = here.iter().flat_map(|(_, r)| r.callable.iter().copied()).collect();
    people.sort_unstable();
    people.dedup();
    let mut throughout = Vec::new();
    let mut in_part = Vec::new();
    for person in people {
        let when = union(here.iter().filter(|(_, r)| r.callable.contains(&person)).map(|(s, _)| *s).collect());
        if when == asked {
            throughout.push(person);
        } else {
            in_part.push((person, when));
        }
    }
    Some(KindPeriod { kind: code.to_owned(), throughout, in_part, weakest: weakest(&here)? })
}

/// The stretch with the fewest callable people beyond those asked for, one that is not met before any
/// other; the first such, as long as the same people can be called without a break.
fn weakest(here: &[(Span, &ReserveRow)]) -> Option<Weakest> {
    let spare = |row: &ReserveRow| i64::try_from(row.callable.len()).unwrap_or(i64::MAX) - i64::from(row.needed);
    let (at, _) = here.iter().enumerate().min_by_key(|(_, (span, row))| (row.met, spare(row), span.start()))?;
    let (mut span, row) = here[at];
    let same = here[at + 1..].iter().take_while(|(_, r)| (&r.callable, r.needed, r.met) == (&row.callable, row.needed, row.met));
    for (next, _) in same {
        if next.start() == span.end() {
            span = span.hull(*next);
        }
    }
    Some(Weakest { span, callable: row.callable.clone(), needed: row.needed, met: row.met })
}
