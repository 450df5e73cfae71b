//! `job.toml`.

use chrono::TimeDelta;

use super::{Cast, Page};
use crate::support::dice::Dice;

pub(super) fn page(dice: &mut Dice, cast: &Cast) -> String {
    let mut page = Page::default();
    let zone = dice.pick(&[0, 1, 3, -5]);
    page.words("ship", "Folder");
    page.words("title", "made by chance");
    page.words("start", cast.start.format("%Y-%m-%dT%H:%M"));
    page.value("days", cast.days);
    page.value("slot", cast.slot);
    page.words("clock", format_args!("UTC{zone:+}"));
    if dice.percent(15) {
        page.words("days_off", dice.pick(&["Sunday", "day 2", "day 1", "Saturday, Sunday"]));
    }
    if dice.percent(15) {
        let all = ["shortfall", "lateness", "overtime", "told", "finish", "fairness", "steady"];
        let count = dice.pick(&[2, 4, 7, 7, 7]);
        page.words("aims", dice.several(&all, count).join(", "));
    }
    if cast.days > 1 && dice.percent(15) {
        page.item("clock_change");
        page.words("at", "day 2 02:00");
        page.words("clock", format_args!("UTC{:+}", zone + dice.pick(&[1, -1])));
    }
    hours(dice, cast, &mut page);
    rest(dice, cast, &mut page);
    if cast.odd(dice, 60) {
        reserve(dice, cast, &mut page);
    }
    for n in 1..=dice.pick(&[0, 0, 1, 1, 2]) {
        let count = dice.number(1, 3).unsigned_abs() as usize;
        page.table(format_args!("milestone.M{n}"));
        page.words("text", "ready");
        page.words("tasks", dice.several(&cast.tasks, count).join(", "));
        page.words("due", if cast.odd(dice, 60) { cast.time(dice) } else { format!("day {} 24:00", cast.days + 1) });
        if dice.percent(30) {
            page.value("weight", dice.pick(&[1, 5, 1000]));
        }
    }
    page.text()
}

fn hours(dice: &mut Dice, cast: &Cast, page: &mut Page) {
    page.table("breaks");
    for (name, when) in &cast.breaks {
        page.words(name, when);
    }
    page.table("hours");
    page.words("day", "08:00-12:00, 13:00-17:00");
    page.words("long", dice.pick(&["07:00-19:00", "08:00-20:00", "06:00-18:00"]));
    page.words("night", "20:00-06:00");
    page.words("split", "06:00-10:00, 18:00-22:00");
    page.words("all", "00:00-24:00");
    page.words("odd", "07:10-11:50, 13:20-17:40");
    if dice.percent(15) {
        page.table("short_days");
        page.words("\"day 2\"", "08:00-12:00");
    }
}

/// What may be chosen for some of the readings.
const READINGS: [(&str, &[&str]); 10] = [
    ("day", &["every moment", "after 6 h of rest", "first work of day", "calendar", "back from work"]),
    ("split", &["starts and ends of work", "every minute"]),
    ("divided", &["least hours", "all rest"]),
    ("short_gap", &["neither", "work"]),
    ("edge", &["part", "whole"]),
    ("drill", &["work", "exempt"]),
    ("on_call", &["rest", "work"]),
    ("call_out", &["rest lost", "below least"]),
    ("before_record", &["unknown", "rest"]),
    ("departure", &["10 h in 24", "6 h in 12"]),
];

fn rest(dice: &mut Dice, cast: &Cast, page: &mut Page) {
    page.table("rest");
    if dice.percent(60) {
        page.words("rules", dice.pick(&["stcw-mlc-rest", "mlc-work", "both"]));
    }
    if dice.percent(40) {
        let from = cast.start - TimeDelta::days(dice.pick(&[7, 8, 14]));
        page.words("recorded_from", from.format("%Y-%m-%dT00:00"));
    }
    if cast.odd(dice, 25) {
        page.table("rest.readings");
        for (reading, choices) in READINGS {
            if dice.percent(12) {
                page.words(reading, dice.pick(choices));
            }
        }
    }
    if dice.percent(15) {
        page.table("rest.exceptions");
        page.words("flag", "Xanadu");
        page.words("agreement", "an agreement");
        page.value("seventy_hours", dice.percent(50));
        page.value("three_periods", dice.percent(50));
    }
}

fn reserve(dice: &mut Dice, cast: &Cast, page: &mut Page) {
    page.item("reserve");
    let callable = dice.percent(80);
    if callable {
        let count = dice.pick(&[1, 1, 2]);
        let needs: Vec<String> =
            dice.several(&cast.held(), count).iter().map(|c| format!("{} {c}", dice.pick(&[1, 1, 1, 1, 1, 2]))).collect();
        page.words("callable", needs.join(", "));
        page.value("call", dice.pick(&["1", "2", "3", "4", "\"1h30\"", "8"]));
    }
    if !callable || dice.percent(50) {
        page.value("unbooked", dice.pick(&["2", "4", "6", "8", "\"2h30\""]));
        if dice.percent(60) {
            page.words("between", dice.pick(&["08:00-18:00", "06:00-22:00", "12:00-14:00", "09:10-16:50"]));
        }
    }
    if cast.port && dice.percent(40) {
        page.words("modes", dice.pick(&["all but port", "sea"]));
    }
}
