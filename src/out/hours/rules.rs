//! Rule sets: a table of all of them, and one in full.

use crate::out::hours::words::{FIRST, hours};
use crate::out::page::Page;
use crate::rest::RuleSet;
use crate::time::Minutes;

/// Column at which a set's rules begin.
const COLUMN: usize = 18;

/// All of `sets`: code, name, and each rule in words; then what is common to them.
#[must_use]
pub fn rule_sets_text(sets: &[RuleSet]) -> String {
    let mut page = Page::default();
    page.text("Sets of rest rules. Name one in job.toml for everybody: rules = \"CODE\" under [rest]; or in crew.toml for one person.");
    for set in sets {
        page.blank();
        page.item(&set.code, COLUMN, &format!("{}. Source: {}.", set.name, set.source));
        for rule in &set.rules {
            page.item(&format!("  {}", rule.code), COLUMN, &rule.kind.text());
        }
    }
    page.blank();
    page.text("`turnto rules CODE` gives the source of each rule, the readings, and when a set may be used.");
    page.text(FIRST);
    page.finish()
}

/// One set in full: rules with sources and limits, least rest, readings.
#[must_use]
pub fn rule_set_text(set: &RuleSet) -> String {
    let mut page = Page::default();
    page.text(&format!("{} ({})", set.name, set.code));
    page.text(&format!("Source: {}.", set.source));
    page.text(&least(set.min_rest));
    page.heading("Rules");
    for rule in &set.rules {
        page.item(&rule.code, COLUMN, &format!("{}. {}.", rule.kind.text(), rule.source));
        if let Some(windows) = rule.kind.windows() {
            page.item("", COLUMN, &format!("Windows: {}.", windows.text()));
        }
    }
    page.heading("Readings");
    for (number, text) in set.reading_lines() {
        page.item(&format!("  {number}"), 7, &text);
    }
    page.blank();
    page.text(EXCEPTIONS);
    page.text(FIRST);
    page.finish()
}

/// What counts as rest.
pub(super) fn least(min_rest: Minutes) -> String {
    format!(
        "Rest is at least {} without work, in one piece (A5); a shorter gap is neither work nor rest. Drills count as work (A8), \
         call-outs count as work and are owed as rest (A9).",
        hours(min_rest)
    )
}

/// What is off unless a flag state allows it.
const EXCEPTIONS: &str = "Not applied: the exceptions that a flag state and an agreement may allow (70 h in 7 days for at most two \
     weeks, three periods on at most two days in seven; STCW Code A-VIII/1 paragraph 9), and the suspension in an emergency \
     (paragraph 4). A planned overhaul that runs late is no emergency (Code B-VIII/1 paragraph 1).";
