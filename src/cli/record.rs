//! `turnto rest --record`: the record per person and month, printed or written.

use std::collections::BTreeSet;
use std::path::Path;

use chrono::{Datelike, NaiveDate};

use crate::cli::args::Rest;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::words::{counted, wrapped};
use crate::cli::write::write_set;
use crate::hours::{Month, covers, month, months};
use crate::id::PersonId;
use crate::model::Problem;
use crate::out;

/// Years of which a record may be asked for.
const YEARS: std::ops::RangeInclusive<i32> = 1900..=2199;

/// Prints or writes the months asked for.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Rest, person: &str, problem: &Problem, console: &Console) -> Result<Exit, Vec<Fault>> {
    let people: Vec<PersonId> = if person == "all" {
        problem.people.ids().collect()
    } else {
        problem.people.pairs().filter(|(_, p)| p.code == person).map(|(id, _)| id).collect()
    };
    if people.is_empty() {
        let codes: Vec<&str> = problem.people.iter().map(|p| p.code.as_str()).collect();
        console::complain(&format!("there is no `{person}` in the crew; there are {}, or `all` of them", codes.join(", ")));
        return Ok(Exit::Wrong);
    }
    // A year of two figures would be one long past, of which no ship kept a record.
    let month_of = |text: &String| NaiveDate::parse_from_str(&format!("{text}-01"), "%Y-%m-%d").ok().filter(|d| YEARS.contains(&d.year()));
    let first = asked.month.as_ref().and_then(month_of);
    if let (None, Some(text)) = (first, &asked.month) {
        console::complain(&format!("`{text}` is not a month; write it like 2027-03"));
        return Ok(Exit::Wrong);
    }
    let chosen = |id: PersonId| match first {
        None => months(problem, id),
        Some(first) => Some(first).filter(|first| covers(problem, id, *first)).into_iter().collect(),
    };
    let sheets: Vec<Month> = people.iter().flat_map(|id| chosen(*id).into_iter().map(|m| month(problem, *id, m))).collect();
    if sheets.is_empty() {
        console::complain(&wrapped(&nothing(problem, person, &people, first)));
        return Ok(Exit::Wrong);
    }
    let without: Vec<&str> =
        people.iter().filter(|id| sheets.iter().all(|s| s.person != **id)).map(|id| problem.people[*id].code.as_str()).collect();
    if !without.is_empty() {
        let when = first.map_or_else(String::new, |first| format!(" in {}", first.format("%Y-%m")));
        console.note(&wrapped(&format!("nothing is recorded of {}{when}", without.join(", "))));
    }
    if let Some(folder) = &asked.write {
        write(folder, problem, &sheets, console)?;
    } else {
        let form: fn(&Problem, &Month) -> String = if asked.csv { out::month_csv } else { out::month_text };
        let texts: Vec<String> = sheets.iter().map(|sheet| form(problem, sheet)).collect();
        // Pages of text are parted by a form feed, tables by nothing a spreadsheet would trip over.
        let text = if asked.csv { one_table(&texts) } else { texts.join("\u{c}\n") };
        console::answer(&text).map_err(|fault| vec![fault])?;
    }
    let found = sheets.iter().flat_map(|sheet| &sheet.days).any(|day| !day.findings.is_empty());
    Ok(if found { Exit::Attention } else { Exit::Done })
}

/// That there is no record of those asked for, and of which months there is one.
fn nothing(problem: &Problem, person: &str, people: &[PersonId], first: Option<NaiveDate>) -> String {
    let whom = if person == "all" { "anybody" } else { person };
    let there: BTreeSet<NaiveDate> = people.iter().flat_map(|id| months(problem, *id)).collect();
    let list: Vec<String> = there.iter().map(|month| month.format("%Y-%m").to_string()).collect();
    match first {
        Some(first) if !list.is_empty() => {
            format!("nothing is recorded of {whom} in {}; there are {}", first.format("%Y-%m"), list.join(", "))
        }
        _ => format!("nothing is recorded of {whom} in hours.csv"),
    }
}

/// Tables one after the other under the header of the first.
fn one_table(tables: &[String]) -> String {
    let rows =
        |i: usize, table: &String| if i == 0 { table.clone() } else { table.split_once('\n').map_or("", |(_, rest)| rest).to_owned() };
    tables.iter().enumerate().map(|(i, table)| rows(i, table)).collect()
}

/// Writes each month in three forms; nothing that is there is overwritten.
fn write(folder: &Path, problem: &Problem, sheets: &[Month], console: &Console) -> Result<(), Vec<Fault>> {
    let mut files = Vec::new();
    for sheet in sheets {
        let code = problem.people[sheet.person].code.replace('/', "_");
        let stem = format!("record-{code}-{}", sheet.first.format("%Y-%m"));
        let forms =
            [("txt", out::month_text(problem, sheet)), ("csv", out::month_csv(problem, sheet)), ("html", out::month_html(problem, sheet))];
        files.extend(forms.map(|(ending, text)| (format!("{stem}.{ending}"), text)));
    }
    write_set(folder, &files)?;
    console.note(&format!("wrote {} to {}", counted(files.len(), "file"), folder.display()));
    Ok(())
}
