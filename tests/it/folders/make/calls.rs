//! `duties.toml`: what calls on people, and what forbids work for a while.

use super::{Cast, Page};
use crate::support::dice::Dice;

pub(super) fn page(dice: &mut Dice, cast: &Cast) -> String {
    let mut page = Page::default();
    for n in 0..dice.pick(&[0, 0, 1, 2, 3]) {
        duty(dice, cast, n, &mut page);
    }
    let bans = if cast.odd(dice, 40) { dice.number(1, 2) } else { 0 };
    for _ in 0..bans {
        page.item("ban");
        page.words("when", if dice.percent(30) { cast.long_window(dice) } else { cast.window(dice) });
        page.words("tags", dice.pick(&["lift", "hot_work", "x", "running"]));
        if dice.percent(50) {
            page.words("why", "weather");
        }
    }
    page.text()
}

fn duty(dice: &mut Dice, cast: &Cast, number: i32, page: &mut Page) {
    page.table(format_args!("duty.D{number}"));
    page.words("name", "called");
    if dice.percent(60) {
        page.words("when", daily(dice, cast, &["daily 08:00-08:30", "daily 10:00-11:00", "daily 23:00-24:00"]));
        if dice.percent(10) {
            page.value("all_hands", true);
        }
    } else {
        let within = if dice.percent(50) { cast.long_window(dice) } else { "daily 08:00-17:00".to_owned() };
        page.words("within", within);
        page.value("hours", dice.pick(&["1", "0.5", "2"]));
    }
    let people = cast.codes();
    let who = match dice.number(1, 4) {
        1 => "all".to_owned(),
        2 => "all OOW".to_owned(),
        3 => dice.pick(&people).to_owned(),
        _ => dice.several(&people, 2).join(", "),
    };
    page.words("who", who);
    if !cast.odd(dice, 60) {
        page.value("may_be_left", true);
    }
    page.words("on_watch", dice.pick(&["excused", "excused", "excused", "excused", "done", "no"]));
    if dice.percent(20) {
        page.value("drill", true);
    }
    if dice.percent(20) {
        page.words("bans", "hot_work, lift");
    }
}

/// One of the times of every day, or once a stretch of some day.
fn daily(dice: &mut Dice, cast: &Cast, times: &[&str]) -> String {
    if dice.percent(30) { cast.window(dice) } else { dice.pick(times).to_owned() }
}
