//! The record of a month as a table: a row a day, a column each half-hour.

use crate::hours::Month;
use crate::model::Problem;
use crate::out::csv::{Table, hours, text};
use crate::out::hours::month::{CELLS, Cell, cells, comments};
use crate::time::Minutes;

/// Columns: person, date, 48 half-hours (`X` work, `/` in part, `-` neither work nor rest, empty rest, `?` not
/// known), work and rest of the day, then those not for the seafarer, then comments. Read back as a record, the
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
        fields.extend(cells(problem, row).into_iter().map(|cell| match cell {
            Cell::Rest | Cell::Blank | Cell::Skipped => String::new(),
            Cell::Work | Cell::Part | Cell::Neither | Cell::Unknown => text(&cell.sign().to_string()),
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
