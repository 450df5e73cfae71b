//! `crew.toml` and `watches.toml`.

use super::cast::{Hand, WATCHKEEPING};
use super::{Cast, Page};
use crate::support::dice::Dice;

/// Ordinary hours, by the names `job.toml` has for them or in full, and overtime that goes with them.
const HOURS: [(&str, &[&str]); 7] = [
    ("day", &["17:00-21:00", "17:00-24:00", "06:00-08:00, 17:00-20:00", "00:00-08:00, 17:00-24:00", "day 1 17:00-22:00"]),
    ("long", &[]),
    ("night", &["06:00-08:00", "18:00-20:00, 06:00-07:00"]),
    ("split", &["10:00-18:00", "22:00-24:00"]),
    ("all", &[]),
    ("odd", &["17:40-20:30", "06:00-07:10"]),
    ("05:00-09:00, 10:00-14:00", &["14:00-16:00", "00:00-05:00"]),
];

pub(super) fn page(dice: &mut Dice, cast: &Cast) -> String {
    let mut page = Page::default();
    for hand in &cast.people {
        person(dice, cast, hand, &mut page);
    }
    page.text()
}

fn person(dice: &mut Dice, cast: &Cast, hand: &Hand, page: &mut Page) {
    page.table(format_args!("person.{}", hand.code));
    page.words("name", format_args!("Name of {}", hand.code));
    page.words("can", hand.can.join(", "));
    if !cast.odd(dice, 8) {
        let (ordinary, overtime) = if cast.odd(dice, 40) { dice.pick(&HOURS) } else { HOURS[0] };
        page.words("hours", ordinary);
        if !overtime.is_empty() && dice.percent(60) {
            page.words("overtime", dice.pick(overtime));
            if dice.percent(30) {
                page.value("evenings", dice.number(0, 2));
            }
        }
    }
    if cast.odd(dice, 25) {
        page.value("cap", dice.pick(&["4", "6", "8", "10", "\"7h30\""]));
    }
    if cast.odd(dice, 15) {
        page.words("away", if dice.percent(50) { cast.long_window(dice) } else { cast.window(dice) });
    }
    if cast.odd(dice, 5) {
        page.value("age", dice.pick(&[16, 17, 40]));
    }
    if dice.percent(25) {
        let count = dice.below(cast.breaks.len() + 1);
        let names: Vec<&str> = cast.breaks.iter().take(count).map(|(name, _)| *name).collect();
        page.words("breaks", names.join(", "));
    }
    if cast.odd(dice, 10) {
        page.words("rest", dice.pick(&["stcw-mlc-rest", "mlc-work", "both", "under-18"]));
    }
}

/// When a post is manned, and the hours of its lines; some lines reach past that.
const LINES: [(&str, &[&str]); 7] = [
    ("always", &["00:00-08:00", "08:00-16:00", "16:00-24:00"]),
    ("always", &["00:00-04:00, 12:00-16:00", "04:00-08:00, 16:00-20:00", "08:00-12:00, 20:00-24:00"]),
    ("always", &["00:00-06:00, 12:00-18:00", "06:00-12:00, 18:00-24:00"]),
    ("daily 08:00-16:00", &["08:00-16:00"]),
    ("daily 20:00-08:00", &["20:00-08:00"]),
    ("day 1", &["00:00-08:00", "08:00-16:00", "16:00-24:00"]),
    ("daily 20:00-08:00", &["00:00-08:00", "08:00-16:00", "16:00-24:00"]),
];

pub(super) fn watches(dice: &mut Dice, cast: &Cast) -> String {
    let mut page = Page::default();
    if !cast.watches {
        return page.text();
    }
    page.table("post.ER");
    page.words("needs", WATCHKEEPING);
    page.value("attends", dice.number(1, 2));
    let (manned, lines) = dice.pick(&LINES);
    page.words("manned", manned);
    for (n, hours) in lines.iter().enumerate() {
        page.table(format_args!("line.L{n}"));
        page.words("hours", hours);
        page.words("ER", stander(dice, cast));
    }
    for (kind, often) in [("cover", 20), ("stand", 5)] {
        if dice.percent(often) {
            page.item(kind);
            page.words("post", "ER");
            page.words("when", cast.window(dice));
            page.words("by", stander(dice, cast));
        }
    }
    page.text()
}

/// Who stands a line: somebody, whoever of two, whoever may, or several in turn.
fn stander(dice: &mut Dice, cast: &Cast) -> String {
    let who = cast.watchkeepers();
    match dice.number(1, 10) {
        1..=3 => dice.pick(&who).to_owned(),
        4..=5 if who.len() > 1 => dice.several(&who, 2).join(" or "),
        6..=7 if who.len() > 1 => {
            let count = dice.number(2, 3).unsigned_abs() as usize;
            dice.several(&who, count).join(", ") + " in turn"
        }
        _ => "open".to_owned(),
    }
}
