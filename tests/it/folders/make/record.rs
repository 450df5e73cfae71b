//! `hours.csv`, `pins.toml`, and an option to be laid over the job.

use std::fmt::Write;

use chrono::{NaiveDateTime, TimeDelta};

use super::{Cast, Clock, Page};
use crate::support::dice::Dice;

pub(super) fn hours(dice: &mut Dice, cast: &Cast) -> String {
    let mut text = String::new();
    if !cast.odd(dice, 60) {
        return text;
    }
    text.push_str("person,from,to,kind,note\n");
    for hand in &cast.people {
        let days = dice.pick(&[1, 2, 7]);
        let mut used: Vec<(NaiveDateTime, NaiveDateTime)> = Vec::new();
        for _ in 0..dice.number(0, 2 * days - 1) {
            let from = cast.start - TimeDelta::minutes(i64::from(5 * dice.number(1, days * 24 * 12)));
            let whole = from + TimeDelta::minutes(dice.pick(&[60, 120, 240, 360, 480, 95]));
            let to = if whole > cast.start && dice.percent(70) { cast.start } else { whole };
            let kind = dice.pick(&["watch", "task", "duty", "call", "drill", "emergency", "oncall"]);
            if used.iter().any(|(a, b)| from < *b && *a < to) {
                continue;
            }
            used.push((from, to));
            let note = if kind == "emergency" { "water in the hold" } else { "" };
            let show = |time: NaiveDateTime| time.format("%Y-%m-%dT%H:%M");
            writeln!(text, "{},{},{},{kind},{note}", hand.code, show(from), show(to)).expect("text can be written to");
        }
    }
    text
}

pub(super) fn pins(dice: &mut Dice, cast: &Cast) -> String {
    let mut page = Page::default();
    if cast.odd(dice, 25) {
        for _ in 0..dice.pick(&[1, 1, 2, 3]) {
            page.item("pin");
            page.words("task", dice.pick(&cast.tasks));
            match dice.number(1, 5) {
                1..=2 => page.words("by", dice.pick(&cast.codes())),
                3 => page.words("not", dice.pick(&cast.codes())),
                _ => page.words("at", format_args!("day {} {}", dice.number(1, cast.days), Clock(60 * dice.number(6, 17)))),
            }
        }
    }
    page.text()
}

/// An option under which one task takes another time.
pub(super) fn option(dice: &mut Dice, cast: &Cast) -> String {
    let mut page = Page::default();
    page.table(format_args!("tasks.task.{}", dice.pick(&cast.tasks)));
    page.value("hours", dice.pick(&["0.5", "2", "5"]));
    page.text()
}
