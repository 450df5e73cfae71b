//! `rest.csv`.

use crate::out::csv::table::{Table, hours, optional, stamps, text};
use crate::report::Report;

/// `rest.csv`: a row of margins for each person, and a row for each finding.
#[must_use]
pub fn rest_csv(report: &Report<'_>) -> String {
    let header = [
        "row",
        "person",
        "rule_set",
        "rule",
        "least_24h_hours",
        "least_24h_from",
        "best_two_24h_hours",
        "longest_24h_hours",
        "least_7d_hours",
        "least_7d_from",
        "not_checkable_before",
        "window_from",
        "window_to",
        "found_hours",
        "required_hours",
    ];
    let mut table = Table::new(&header);
    for (id, who) in report.problem().people.pairs() {
        let rest = &report.account().people[id].rest;
        let set = text(&report.problem().rule_sets[who.rest].code);
        let start = |row: &str, rule: &str| vec![row.to_owned(), text(&who.code), set.clone(), text(rule)];
        let mut row = start("margin", "");
        row.extend([hours(rest.least_24h), optional(report, rest.least_24h_from), hours(rest.best_two_24h), hours(rest.longest_24h)]);
        row.extend([hours(rest.least_7d), optional(report, rest.least_7d_from), optional(report, rest.not_checkable_before)]);
        row.extend(std::iter::repeat_n(String::new(), 4));
        table.push(row);
        for finding in &rest.recorded_findings {
            let mut row = start("finding", &report.rule_name(id, finding));
            row.extend(std::iter::repeat_n(String::new(), 7));
            row.extend(stamps(report, finding.window));
            row.extend([hours(finding.found), hours(finding.required)]);
            table.push(row);
        }
    }
    table.finish()
}
