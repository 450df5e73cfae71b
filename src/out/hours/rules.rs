//! Rule sets: a table of all of them, and one in full.

use crate::out::hours::words::FIRST;
use crate::out::page::Page;
use crate::rest::RuleSet;

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
    choices(&mut page);
    page.blank();
    page.text("`turnto rules CODE` gives the source of each rule, the readings, and when a set may be used.");
    page.text("Sets of your own stand in rules.toml of the job folder; --folder lists them too.");
    page.text(FIRST);
    page.finish()
}

/// One set in full: rules with sources and limits, least rest, readings.
#[must_use]
pub fn rule_set_text(set: &RuleSet) -> String {
    let mut page = Page::default();
    page.text(&format!("{} ({})", set.name, set.code));
    page.text(&format!("Source: {}.", set.source));
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

/// What is off unless a flag state allows it.
const EXCEPTIONS: &str = "Off until flag and agreement are named under [rest.exceptions] in job.toml: 70 h in 7 days for at most two \
     weeks, three periods on at most two days in seven (STCW Code A-VIII/1 paragraph 9). A planned overhaul that runs late is no \
     emergency (Code B-VIII/1 paragraph 1).";

/// How readings are chosen: key, number, choices with the default first.
const CHOICES: [(&str, &str, &str); 16] = [
    ("day", "A1", "every moment | after 6 h of rest | first work of day | calendar | back from work"),
    ("week", "A2", "every moment | calendar"),
    ("split", "A3", "starts and ends of work | every minute | calendar | ... as for day"),
    ("divided", "A4", "least hours | all rest"),
    ("least_rest", "A5", "1, or other hours: the shortest gap that is rest"),
    ("short_gap", "A6", "neither | work"),
    ("edge", "A7", "part | whole"),
    ("drill", "A8", "work | exempt"),
    ("on_call", "A9", "rest | work: on call without a call"),
    ("call_out", "A9", "rest lost | below least: what is owed for a call-out"),
    ("emergency", "A10", "excused | removes | nothing"),
    ("exception_gap", "A12", "longer of two | first | leave waives | hours"),
    ("clock_change", "A14", "elapsed | as shown"),
    ("before_record", "A15", "unknown | rest"),
    ("exactly", "A16", "passes | fails: ten hours where ten are asked for"),
    ("departure", "A17", "10 h in 24 | 6 h in 12"),
];

/// How readings are chosen and exceptions allowed.
fn choices(page: &mut Page) {
    page.heading("Readings, under [rest.readings] in job.toml");
    for (key, number, words) in CHOICES {
        page.item(&format!("  {key}"), COLUMN, &format!("{number}: {words}"));
    }
    page.text(
        "Those that are chosen are printed with every result. A11 is [rest.exceptions], A13 is the set itself. Under \
         drill = \"exempt\", divided = \"all rest\" and some choices of windows, records can be checked and jobs not planned; \
         `turnto plan` says why.",
    );
}
