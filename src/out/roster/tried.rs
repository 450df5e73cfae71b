//! What was tried, side by side.

use crate::model::Problem;
use crate::out::page::Page;
use crate::out::roster::{Came, JobFigures, RosterView, Tried, words};
use crate::time::Minutes;

/// Things tried and planned, each against the first, as text of at most 80 columns.
#[must_use]
pub fn tried_text(problem: &Problem, head: &str, tried: &[Tried], notes: &[String]) -> String {
    let mut page = Page::default();
    page.text(&format!("{} - {}", problem.ship, problem.title));
    page.heading(head);
    rows(&mut page, problem, tried);
    for note in notes {
        page.blank();
        page.text(note);
    }
    page.finish()
}

pub(super) fn write(page: &mut Page, view: &RosterView<'_>) {
    if view.tried.is_empty() {
        return;
    }
    page.heading("Tried side by side; nothing of it is applied");
    rows(page, view.problem, view.tried);
}

/// Column at which what came of it begins.
const COLUMN: usize = 4;

fn rows(page: &mut Page, problem: &Problem, tried: &[Tried]) {
    let base = tried.first().and_then(|t| t.came.as_ref().ok());
    for (i, one) in tried.iter().enumerate() {
        page.item(&format!("{}.", i + 1), COLUMN, &one.what);
        match &one.came {
            Err(why) => page.item("", COLUMN, &format!("Cannot be: {why}.")),
            Ok(came) => {
                let watch = watch(problem, came);
                if !watch.is_empty() {
                    page.item("", COLUMN, &format!("Watches: {watch}."));
                }
                if let Some(job) = &came.job {
                    let before = base.filter(|_| i > 0).and_then(|b| b.job.as_ref());
                    page.item("", COLUMN, &format!("Job: {}.", work(problem, job, before)));
                }
            }
        }
    }
}

fn watch(problem: &Problem, came: &Came) -> String {
    let mut said = Vec::new();
    if came.uncovered > Minutes::ZERO {
        let first = came.first_hole.map_or_else(String::new, |at| format!(", first {}", words::at(problem, at)));
        said.push(format!("NOBODY for {}{first}", words::hours(came.uncovered)));
    }
    if came.changes > 0 {
        said.push(format!("lines taken over: {}", came.changes));
    }
    if let Some((who, more)) = &came.nights {
        said.push(format!("nights of {who} up by {}", words::hours(*more)));
    }
    if let Some((who, least)) = &came.least_rest {
        said.push(format!("least rest in 7 days {} ({who})", words::hours(*least)));
    }
    said.join(", ")
}

/// What a plan comes to, and the difference from the first where there is one.
fn work(problem: &Problem, job: &Result<JobFigures, String>, before: Option<&Result<JobFigures, String>>) -> String {
    let now = match job {
        Err(why) => return why.trim_end_matches('.').to_owned(),
        Ok(now) => now,
    };
    let mut said = vec![format!("finish {}", words::at(problem, now.finish)), format!("overtime {}", words::hours(now.overtime))];
    if now.night > Minutes::ZERO {
        said.push(format!("night work {}", words::hours(now.night)));
    }
    if now.late > Minutes::ZERO {
        said.push(format!("LATE by {}", words::hours(now.late)));
    }
    if now.machinery > 0 {
        said.push(format!("MACHINERY SHORT by {}", now.machinery));
    }
    if now.reserve > 0 {
        said.push(format!("RESERVE SHORT by {}", now.reserve));
    }
    let mut text = said.join(", ");
    if let Some(Ok(first)) = before {
        text = format!("{text} - {}", difference(now, first));
    }
    text
}

/// `6 h earlier, 2 h less overtime`, or `unchanged`.
pub(super) fn difference(now: &JobFigures, first: &JobFigures) -> String {
    let mut said = Vec::new();
    let mut compare = |by: Minutes, more: &str, less: &str| {
        if by > Minutes::ZERO {
            said.push(format!("{} {more}", words::hours(by)));
        } else if by < Minutes::ZERO {
            said.push(format!("{} {less}", words::hours(-by)));
        }
    };
    compare(now.finish - first.finish, "later", "earlier");
    compare(now.overtime - first.overtime, "more overtime", "less overtime");
    compare(now.night - first.night, "more night work", "less night work");
    compare(now.late - first.late, "more late", "less late");
    for (what, now, first) in [("machinery", now.machinery, first.machinery), ("reserve", now.reserve, first.reserve)] {
        match now.cmp(&first) {
            std::cmp::Ordering::Greater => said.push(format!("{what} shorter by {}", now - first)),
            std::cmp::Ordering::Less => said.push(format!("{what} less short by {}", first - now)),
            std::cmp::Ordering::Equal => {}
        }
    }
    if said.is_empty() { "unchanged".to_owned() } else { said.join(", ") }
}
