//! Rules for seafarers under 18. They come on top of the rest rules for everybody.

use crate::rest::RuleSet;
use crate::rest::Windows;
use crate::rest::builtin::{rule, set, stcw_mlc, unbroken_rest, work_at_most};
use crate::rest::rule::{Between, Kind, NightWork, RestCount, Rule, UnbrokenWork};
use crate::time::Minutes;

/// The guideline of the Convention: 8 h of work a day and 40 h a week, 15 minutes off after every 2 h, no
/// work at night, which is at least nine hours; read here as 21:00 to 06:00.
///
/// Not tested: an hour for the main meal, and that overtime is only for safety. May be set aside for
/// watchkeepers and training, with the reason on record (paragraphs 2 and 3).
pub(super) fn mlc() -> RuleSet {
    let guideline = "MLC 2006 Guideline B2.3.1 paragraph 1";
    let rules = vec![
        work_at_most("young-24h", Minutes::DAY, 8, &format!("{guideline}(a)")),
        work_at_most("young-7d", Minutes::WEEK, 40, &format!("{guideline}(a)")),
        unbroken("young-2h", Minutes::hours(2), 15, &format!("{guideline}(c)")),
        night(21, 6, "MLC 2006 Standard A1.1 paragraph 2 (from memory); ILO C180 article 6"),
    ];
    with_rest("under-18", "under 18, MLC guideline", "MLC 2006 Guideline B2.3.1 and Standard A1.1", rules)
}

/// Germany, at sea: 8 h a day, 48 h over six days of a week, no work from 20:00 to 06:00, at most 4.5 h
/// without a break of half an hour.
///
/// Not tested: an hour of breaks on days of more than 6 h.
pub(super) fn german_at_sea() -> RuleSet {
    with_rest("under-18-de-sea", "under 18, Germany, at sea", "German Seearbeitsgesetz section 53", german(48, 6))
}

/// Germany, in port: 8 h a day, 40 h over five days of a week; otherwise as at sea.
pub(super) fn german_in_port() -> RuleSet {
    with_rest("under-18-de-port", "under 18, Germany, in port", "German Seearbeitsgesetz section 53", german(40, 5))
}

fn german(hours: i32, days: i32) -> Vec<Rule> {
    let law = "German Seearbeitsgesetz section 53";
    vec![
        work_at_most("young-24h", Minutes::DAY, 8, law),
        work_at_most("young-7d", Minutes::WEEK, hours, law),
        unbroken("young-4h30", Minutes::new(270), 30, law),
        night(20, 6, law),
        days_off(7 - days, law),
    ]
}

/// Denmark: 12 h of rest in 24 h and two days off in seven.
///
/// Not tested: that the rest normally covers 20:00 to 06:00.
pub(super) fn danish() -> RuleSet {
    let order = "Danish Order 676 of 2015, rules for those under 18";
    let rules = vec![unbroken_rest("young-12h", Minutes::DAY, 12, order), days_off(2, order)];
    with_rest("under-18-dk", "under 18, Denmark", order, rules)
}

fn unbroken(code: &str, at_most: Minutes, minutes: i32, source: &str) -> Rule {
    rule(code, Kind::UnbrokenWork(UnbrokenWork { at_most, least_break: Minutes::new(minutes), between: Between::Counts }), source)
}

fn night(from: i32, to: i32, source: &str) -> Rule {
    let work = NightWork { from: Minutes::hours(from), to: Minutes::hours(to), at_most: Minutes::ZERO };
    rule("young-night", Kind::NightWork(work), source)
}

/// A day off is a rest of 24 h; two in a row are one rest of 48 h.
fn days_off(count: i32, source: &str) -> Rule {
    let days = RestCount { window: Minutes::WEEK, unit: Minutes::DAY, count, windows: Windows::Anchored };
    rule("young-days-off", Kind::RestCount(days), source)
}

/// The rest rules for everybody, then `rules`.
fn with_rest(code: &str, name: &str, source: &str, rules: Vec<Rule>) -> RuleSet {
    let mut all = stcw_mlc::rest().into_parts().rules;
    all.extend(rules);
    set(code, name, source, all)
}
