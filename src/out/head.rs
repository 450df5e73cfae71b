//! The first lines: which plan, which rest rules and readings, and what comes before any plan.

use crate::out::page::Page;
use crate::out::words;
use crate::report::Report;

/// What comes first, before any plan.
const FIRST: &str = "The rules of the flag state, the company's procedures, permits to work and the judgement of the master and \
     of the chief engineer come first.";

/// The usual cautions.
const USUAL: &str = "Before work: isolate, lock out and prove it; nobody under a load; vent pressure; test the air and post a \
     stand-by before entering; hot work by permit only.";

/// Writes the first lines.
pub(super) fn write(page: &mut Page, report: &Report<'_>) {
    let (problem, solved) = (report.problem(), report.solved());
    page.text(&format!("{} - {}", problem.ship, problem.title));
    let based = solved.based_on.map_or_else(String::new, |n| format!(", made from plan {n}"));
    let last = crate::time::Moment::new(report.end().minutes() - 1);
    let days = format!(
        "Plan {}{based}: {} to {}, ship's time {}",
        solved.plan_no,
        words::full(report, problem.start),
        words::full(report, report.end()),
        zone(report, problem.start),
    );
    page.text(&days);
    if zone(report, last) != zone(report, problem.start) {
        page.text(&format!("The ship's clock changes on the way, to {} at the end.", zone(report, last)));
    }
    for rules in report.rules_in_use() {
        let some: Vec<String> = rules.readings.iter().take(3).map(|(_, text)| text.clone()).collect();
        let more = if rules.readings.len() > some.len() { "; all readings at the end" } else { "" };
        let read = if some.is_empty() { String::new() } else { format!(". Read: {}{more}", some.join("; ")) };
        let whose = if rules.people.len() == problem.people.len() {
            String::new()
        } else {
            format!(" for {}", words::people(report, &rules.people))
        };
        page.text(&format!("Rest rules{whose}: {} ({}){read}.", rules.name, rules.code));
    }
    page.text(FIRST);
    page.text(USUAL);
}

fn zone(report: &Report<'_>, at: crate::time::Moment) -> String {
    let minutes = report.problem().clock.offset_at(at).get();
    let sign = if minutes < 0 { '-' } else { '+' };
    format!("UTC{sign}{:02}:{:02}", minutes.abs() / 60, minutes.abs() % 60)
}

/// Writes all readings of all rule sets in use.
pub(super) fn readings(page: &mut Page, report: &Report<'_>) {
    page.heading("Rest rules and readings");
    for rules in report.rules_in_use() {
        let source = if rules.source.is_empty() { String::new() } else { format!(". Source: {}", rules.source) };
        page.text(&format!("{} ({}), for {}{source}", rules.name, rules.code, words::people(report, &rules.people)));
        let least = words::hours(rules.min_rest);
        page.text(&format!("Rest is at least {least} in one piece; a shorter gap and a named break are neither work nor rest."));
        for (name, text) in &rules.readings {
            page.item(&format!("  {name}"), 7, text);
        }
    }
    page.text("Beyond the days laid out after the end of the plan, rest is assumed.");
}
