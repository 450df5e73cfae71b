//! Options side by side: what each plan comes to.

mod json;

use crate::account::Account;
use crate::id::UnitId;
use crate::model::Problem;
use crate::out::page::{Page, left, right};
use crate::out::words::{decimal, tied};
use crate::time::{Minutes, Moment};

pub use json::options_json;

/// One option.
#[derive(Clone, Debug)]
pub struct OptionRow {
    /// Its name.
    pub name: String,
    /// What it is about; may be empty.
    pub title: String,
    /// The problem and what its verified plan comes to, or why there is none.
    pub result: Result<(Problem, Account), String>,
}

/// All options.
#[derive(Clone, Debug)]
pub struct OptionSheet<'a> {
    /// The ship.
    pub ship: String,
    /// From when on was planned, where the job was running.
    pub from: Option<String>,
    /// The options, in the order of the table.
    pub rows: &'a [OptionRow],
}

/// The table.
#[must_use]
pub fn options_text(sheet: &OptionSheet<'_>) -> String {
    let mut page = Page::default();
    let from = sheet.from.as_ref().map_or_else(String::new, |from| format!(", planned from {} on", tied(from)));
    page.text(&format!("{}: options side by side{from}", sheet.ship));
    page.blank();
    page.row(&line("option", "all done", "late", "machines", "reserve", "over-", "changed", "least"));
    page.row(&line("", "", "h", "short", "short", "time h", "h", "rest/24h"));
    page.rule('-');
    for row in sheet.rows {
        match &row.result {
            Ok((problem, account)) => option(row, problem, account, &mut page),
            Err(why) => {
                page.row(&left(&row.name, 20));
                for line in why.lines() {
                    page.row_at(2, line);
                }
            }
        }
    }
    page.blank();
    page.text("late: weighted hours at the milestones. machines short: missing machines x slots x weight of the mode.");
    page.text("reserve short: missing people x slots, and missing unbooked time. changed: told work and watches that are not as told, within a day four times, within three days twice.");
    page.text("Every row is a verified plan of its own search; another seed or more time may find a better one. Nothing is recommended.");
    page.finish()
}

#[expect(clippy::too_many_arguments, reason = "one for each column")]
fn line(name: &str, done: &str, late: &str, machines: &str, reserve: &str, overtime: &str, changed: &str, rest: &str) -> String {
    let cells = [right(late, 6), right(machines, 9), right(reserve, 8), right(overtime, 7), right(changed, 8), right(rest, 9)];
    format!("{} {} {}", left(name, 18), left(done, 12), cells.concat())
}

fn option(row: &OptionRow, problem: &Problem, account: &Account, page: &mut Page) {
    let figures = Figures::of(problem, account);
    page.row(&line(
        &row.name,
        &problem.clock.day_time(account.finish),
        &decimal(figures.late),
        &account.machinery_shortfall.to_string(),
        &account.reserve_shortfall.to_string(),
        &decimal(figures.overtime),
        &decimal(account.told_changed),
        &decimal(figures.least_rest),
    ));
    if !row.title.is_empty() {
        page.item("", 2, &row.title);
    }
    let day = |at: Moment| tied(&problem.clock.day_time(at));
    let met: Vec<String> = problem.milestones.pairs().map(|(id, m)| format!("{} {}", m.code, day(account.milestones[id].met_at))).collect();
    let back: Vec<String> = figures.back.iter().map(|(unit, at)| format!("{} back {}", problem.units[*unit].code, day(*at))).collect();
    page.item("", 2, &met.into_iter().chain(back).collect::<Vec<_>>().join("; "));
}

/// Sums of a plan.
struct Figures {
    late: Minutes,
    overtime: Minutes,
    least_rest: Minutes,
    /// When machines that the plan hands back are back.
    back: Vec<(UnitId, Moment)>,
}

impl Figures {
    fn of(problem: &Problem, account: &Account) -> Self {
        let weight = |n: u32| i32::try_from(n).unwrap_or(i32::MAX);
        let late =
            problem.milestones.pairs().map(|(id, m)| Minutes::new(account.milestones[id].late.get().saturating_mul(weight(m.weight))));
        let back = problem.units.ids().filter_map(|unit| {
            let by = problem.tasks.pairs().filter(|(_, t)| t.hands_back.contains(&unit));
            Some((unit, by.map(|(id, _)| account.tasks[id].end).max()?))
        });
        Self {
            late: late.sum(),
            overtime: account.people.iter().map(|p| p.overtime).sum(),
            least_rest: account.people.iter().map(|p| p.rest.least_24h).min().unwrap_or(Minutes::ZERO),
            back: back.collect(),
        }
    }
}
