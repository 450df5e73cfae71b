//! `turnto rest --arrangements`: the table of shipboard working arrangements, printed or written.

use crate::cli::args::{Rest, WhereWorked};
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::write::write_set;
use crate::hours::arrangements;
use crate::model::Problem;
use crate::out;
use crate::verify::Asked;

/// Prints or writes the table; usual days that break a rule need attention.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(
    asked: &Rest,
    place: WhereWorked,
    problem: &Problem,
    plan: Option<&str>,
    hours: Option<&Asked<'_>>,
    console: &Console,
) -> Result<Exit, Vec<Fault>> {
    let rows = arrangements(problem, hours);
    let place = match place {
        WhereWorked::Sea => out::Where::Sea,
        WhereWorked::Port => out::Where::Port,
    };
    let table = out::ArrangementTable { problem, plan, place, rows: &rows };
    if let Some(folder) = &asked.write {
        let forms =
            [("txt", out::arrangements_text(&table)), ("csv", out::arrangements_csv(&table)), ("html", out::arrangements_html(&table))];
        let files = forms.map(|(ending, text)| (format!("arrangements.{ending}"), text));
        write_set(folder, &files)?;
        console.note(&format!("wrote 3 files to {}", folder.display()));
    } else {
        let text = if asked.csv { out::arrangements_csv(&table) } else { out::arrangements_text(&table) };
        console::answer(&text).map_err(|fault| vec![fault])?;
    }
    Ok(if rows.iter().any(|row| !row.findings.is_empty()) { Exit::Attention } else { Exit::Done })
}
