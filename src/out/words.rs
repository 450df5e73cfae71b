//! Times, lengths and lists in words. Numbers and their units are tied, so that no line breaks between.

use std::cmp::Ordering;

use crate::bound::EarliestDate;
use crate::clock::Day;
use crate::id::{CompetenceId, PersonId, TaskId};
use crate::model::Named;
use crate::out::page::TIE;
use crate::report::{Report, tools_of};
use crate::time::{Minutes, Moment, Span};

/// `7 h 30`.
pub(super) fn hours(length: Minutes) -> String {
    tied(&length.to_string())
}

/// `7 h 30`, of minutes (never fewer than none) that may be more than a stretch of time has.
pub(super) fn long_hours(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (whole, 0) => tied(&format!("{whole} h")),
        (whole, rest) => tied(&format!("{whole} h {rest:02}")),
    }
}

/// `7.5`, for tables; `-` for nothing.
pub(super) fn decimal(length: Minutes) -> String {
    if length.is_zero() {
        return "-".to_owned();
    }
    // Hundredths of an hour, rounded to the nearest: a table has no room for minutes.
    let hundredths = (i64::from(length.get()) * 100 + 30 * i64::from(length.get().signum())) / 60;
    let (whole, part) = (hundredths.abs() / 100, hundredths.abs() % 100);
    let sign = if hundredths < 0 { "-" } else { "" };
    if part % 10 == 0 { format!("{sign}{whole}.{}", part / 10) } else { format!("{sign}{whole}.{part:02}") }
}

/// The name of a phase; its code where it has none.
pub(super) fn phase(phase: &Named) -> &str {
    if phase.name.is_empty() { &phase.code } else { &phase.name }
}

/// Text in which no line is broken.
pub(super) fn tied(text: &str) -> String {
    text.replace(' ', &TIE.to_string())
}

/// What is proven about a milestone that is met after its date: that it must be, how far, or nothing.
pub(super) fn proven_late(due: Moment, met_at: Moment, earliest: EarliestDate, day: impl Fn(Moment) -> String) -> String {
    let EarliestDate { at, by } = earliest;
    if met_at <= at {
        format!("proven: it cannot be met earlier ({by})")
    } else if at > due {
        format!("proven only that it cannot be met before {} ({by})", day(at))
    } else {
        "whether it can be met in time is open".to_owned()
    }
}

/// What is proven about machines that fall short by so many unit slots, where no plan falls short by fewer than `least`.
pub(super) fn proven_short(short: i64, least: i64) -> String {
    if short <= least {
        "proven: no plan has fewer".to_owned()
    } else if least > 0 {
        format!("proven only that no plan has fewer than {least}")
    } else {
        "whether a plan has fewer is open".to_owned()
    }
}

/// `day 9, Tue 9 Mar 10:30`; the end of a day is its 24:00.
pub(super) fn full(report: &Report<'_>, moment: Moment) -> String {
    let clock = &report.problem().clock;
    let day = clock.day(moment);
    format!("{},{TIE}{}", tied(&format!("day {}", day.number())), tied(&format!("{} {}", clock.weekday_date(day), clock.hour(moment))))
}

/// `day 9 10:30`.
pub(super) fn short(report: &Report<'_>, moment: Moment) -> String {
    tied(&report.problem().clock.day_time(moment))
}

/// `08:30-10:00` for a span inside one ship's day; with the day where it ends on another.
pub(super) fn from_to(report: &Report<'_>, span: Span) -> String {
    let clock = &report.problem().clock;
    let day = clock.day(span.start());
    let from = clock.hour(span.start());
    let whole = clock.day_span(day);
    match span.end().cmp(&whole.end()) {
        Ordering::Equal => format!("{from}-24:00"),
        Ordering::Less => format!("{from}-{}", clock.hour(span.end())),
        Ordering::Greater => format!("{from}-{}", short(report, span.end())),
    }
}

/// `22:00-02:00`, days left out: for spans of a period that is named beside it.
pub(super) fn from_to_plain(report: &Report<'_>, span: Span) -> String {
    let clock = &report.problem().clock;
    format!("{}-{}", clock.hour(span.start()), clock.hour(span.end()))
}

/// `day 3 08:30-10:00`.
pub(super) fn day_from_to(report: &Report<'_>, span: Span) -> String {
    let day = report.problem().clock.day(span.start());
    format!("{}{TIE}{}", tied(&format!("day {}", day.number())), from_to(report, span))
}

/// `Mon 1 Mar 2027`.
pub(super) fn date(report: &Report<'_>, day: Day) -> String {
    let clock = &report.problem().clock;
    tied(&format!("{} {}", clock.weekday_date(day), clock.date(day).format("%Y")))
}

/// Codes of people, apart by commas.
pub(super) fn people(report: &Report<'_>, people: &[PersonId]) -> String {
    if people.is_empty() {
        return "nobody".to_owned();
    }
    people.iter().map(|p| report.person_code(*p)).collect::<Vec<_>>().join(", ")
}

/// `FT as HYD`, or the code alone where the competence is not known.
pub(super) fn member(report: &Report<'_>, person: PersonId, need: Option<CompetenceId>) -> String {
    let code = report.person_code(person);
    need.map_or_else(|| code.clone(), |need| format!("{code}{TIE}({})", report.problem().competences[need].code))
}

/// Codes of tasks, apart by spaces.
pub(super) fn tasks(report: &Report<'_>, tasks: &[TaskId]) -> String {
    tasks.iter().map(|t| report.task_code(*t)).collect::<Vec<_>>().join(" ")
}

/// `[CRANE, 2 HYDT]`, or nothing where the task blocks no tool.
pub(super) fn tools(report: &Report<'_>, task: TaskId) -> String {
    let names: Vec<String> = tools_of(report.problem(), task)
        .into_iter()
        .map(|(tool, n)| {
            let code = &report.problem().tools[tool].code;
            if n == 1 { code.clone() } else { format!("{n}{TIE}{code}") }
        })
        .collect();
    if names.is_empty() { String::new() } else { format!("[{}]", names.join(", ")) }
}

/// `1 task`, `2 tasks`.
pub(super) fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n}{TIE}{}", if n == 1 { one } else { many })
}
