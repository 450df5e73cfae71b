//! `machinery.toml` and `tools.toml`.

use super::{Cast, Page};
use crate::support::dice::Dice;

pub(super) fn machinery(dice: &mut Dice, cast: &Cast) -> String {
    let mut page = Page::default();
    if cast.units.is_empty() {
        return page.text();
    }
    for unit in &cast.units {
        page.table(format_args!("unit.{unit}"));
        page.words("name", format_args!("Set {unit}"));
        if cast.odd(dice, 10) {
            page.words("out", cast.long_window(dice));
        }
    }
    page.table("group.SETS");
    page.words("units", cast.units.join(", "));
    if dice.percent(30) {
        page.value("lasts", dice.pick(&[2, 4, 8]));
        page.value("recover", dice.pick(&[0, 2, 6]));
    }
    if cast.units.len() > 1 && dice.percent(30) {
        page.item("never_together");
        page.words("units", "G1, G2");
    }
    let mut needs =
        |page: &mut Page| page.words("needs", format_args!("{} SETS", dice.pick(&[0, 0, 1, 1, 2]).min(cast.units.len() - dice.below(2))));
    page.table("mode.sea");
    page.words("when", "otherwise");
    needs(&mut page);
    if cast.port {
        page.table("mode.port");
        needs(&mut page);
        page.words("when", cast.long_window(dice));
    }
    page.text()
}

pub(super) fn tools(dice: &mut Dice, cast: &Cast) -> String {
    let mut page = Page::default();
    for tool in &cast.tools {
        page.table(format_args!("tool.{tool}"));
        page.value("number", dice.pick(&[1, 1, 2, 3]));
        if cast.odd(dice, 20) {
            page.words("away", cast.long_window(dice));
        }
        if dice.percent(10) {
            page.words("from", cast.time(dice));
        }
    }
    page.text()
}
