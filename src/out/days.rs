//! The printed daily plan.

use crate::clock::Day;
use crate::out::page::Page;
use crate::out::{answers, head, labour, sheet};
use crate::report::Report;

/// The whole plan as text, at most 80 columns: first lines, first answers, a sheet for each day, totals,
/// readings, and the answers once more in short.
#[must_use]
pub fn days_text(report: &Report<'_>) -> String {
    let mut page = Page::default();
    head::write(&mut page, report);
    answers::write(&mut page, report);
    for day in report.days() {
        sheet::write(&mut page, report, &report.sheet(day));
    }
    labour::write(&mut page, report);
    head::readings(&mut page, report);
    answers::closing(&mut page, report);
    page.finish()
}

/// The first lines and the first answers alone.
#[must_use]
pub fn first_screen(report: &Report<'_>) -> String {
    let mut page = Page::default();
    head::write(&mut page, report);
    answers::write(&mut page, report);
    page.finish()
}

/// The first lines and the sheet of one day, to be pinned up.
#[must_use]
pub fn day_text(report: &Report<'_>, day: Day) -> String {
    let mut page = Page::default();
    head::write(&mut page, report);
    sheet::write(&mut page, report, &report.sheet(day));
    page.finish()
}
