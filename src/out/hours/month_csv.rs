//! The record of a month as a table: a row a day, a column each half-hour.

use crate::hours::{DayRow, Month};
use crate::model::{Problem, RecordKind};
use crate::out::csv::{Table, hours, text};
use crate::out::hours::month::{self, CELLS, Cell, cells, comments};
use crate::time::Minutes;

/// Columns: person, date, 48 half-hours (`X` work of all of it and `/` of a part; `w` watch, `t` task, `c` call-out, `m`
/// drill, `e` emergency, whole or in part; `o` on call without a call; `b` break, neither work nor rest; empty rest; `?` not known, before the record and after its last entry, as all of a day
/// without a record is), work and rest of the day, then those not for the seafarer, then comments. Read back as a record, the
/// half-hours say the same to within half an hour.
#[must_use]
pub fn month_csv(problem: &Problem, month: &Month) -> String {
    let halves = (0..CELLS).map(|half| format!("{:02}:{:02}", half / 2, half % 2 * 30));
    let before = ["person", "date"].map(str::to_owned);
    let after = [
        "work_hours",
        "rest_hours",
        "least_rest_any_24h_hours",
        "least_rest_any_7d_hours",
        "most_work_any_24h_hours",
        "most_work_any_7d_hours",
        "comments",
    ];
    let header: Vec<String> = before.into_iter().chain(halves).chain(after.map(str::to_owned)).collect();
    let mut table = Table::new(&header.iter().map(String::as_str).collect::<Vec<_>>());
    let code = text(&problem.people[month.person].code);
    for row in &month.days {
        let mut fields = vec![code.clone(), row.date.to_string()];
        // A day without marks reads as a day of rest, so one that is not known says so in every half-hour.
        let known_at_all = row.known == Some(row.span) || !row.recorded.is_empty();
        fields.extend(cells(problem, row).into_iter().zip(0..CELLS).map(|(cell, half)| match cell {
            _ if !known_at_all => "?".to_owned(),
            Cell::Rest if on_call(problem, month, row, half) => "o".to_owned(),
            Cell::Rest | Cell::Skipped => String::new(),
            // A hyphen would be taken for the beginning of a formula.
            Cell::Neither => "b".to_owned(),
            Cell::Work | Cell::Part => kind(problem, row, half).unwrap_or(cell.sign()).to_string(),
            // After the last entry nothing is known either, and an empty half-hour reads as rest.
            Cell::Unknown | Cell::Blank => "?".to_owned(),
        }));
        let all = row.known == Some(row.span);
        let known = |length: Minutes| if all { hours(length) } else { String::new() };
        let figure = |length: Option<Minutes>| length.map_or_else(String::new, hours);
        fields.extend([known(row.work), known(row.rest), figure(row.least_24h), figure(row.least_7d)]);
        fields.extend([figure(row.most_24h), figure(row.most_7d)]);
        let said: Vec<String> = comments(problem, month, row).into_iter().map(|(_, said)| said.replace('\u{a0}', " ")).collect();
        fields.push(text(&said.join("; ")));
        table.push(fields);
    }
    table.finish()
}

/// Whether the person is on call in a half-hour of rest.
fn on_call(problem: &Problem, month: &Month, row: &DayRow, half: i32) -> bool {
    let shown = month::half(problem, row, half);
    problem.people[month.person].on_call.iter().any(|span| shown.iter().any(|half| span.overlaps(*half)))
}

/// The letter of what is recorded in a half-hour; `None` for a duty. Of several things the rarest counts.
fn kind(problem: &Problem, row: &DayRow, half: i32) -> Option<char> {
    let shown = month::half(problem, row, half);
    let kinds = row.recorded.iter().filter(|r| shown.iter().any(|half| r.span.overlaps(*half))).map(|r| r.kind);
    let order = [
        (RecordKind::Emergency, Some('e')),
        (RecordKind::Call, Some('c')),
        (RecordKind::Drill, Some('m')),
        (RecordKind::Watch, Some('w')),
        (RecordKind::Task, Some('t')),
        (RecordKind::Duty, None),
        (RecordKind::OnCall, Some('o')),
    ];
    let found: Vec<RecordKind> = kinds.collect();
    order.iter().find(|(kind, _)| found.contains(kind)).and_then(|(_, letter)| *letter)
}
