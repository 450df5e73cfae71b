//! `tasks.toml`.

use super::{Cast, Hours, Page};
use crate::support::dice::Dice;

/// Tags, so that bans know them whatever task has them.
const TAGS: [&str; 5] = ["hot_work", "lift", "running", "pressure", "x"];

/// The machine that is out while the tasks are written one after another.
struct Opened(Option<&'static str>);

pub(super) fn page(dice: &mut Dice, cast: &Cast) -> String {
    let mut page = Page::default();
    page.table("phase");
    page.words("A", "first");
    page.words("B", "second");
    page.table("tag");
    for tag in TAGS {
        page.words(tag, "take care");
    }
    let mut opened = Opened(None);
    for at in 0..cast.tasks.len() {
        task(dice, cast, at, &mut opened, &mut page);
    }
    page.text()
}

fn task(dice: &mut Dice, cast: &Cast, at: usize, opened: &mut Opened, page: &mut Page) {
    let (before, later) = (&cast.tasks[..at], &cast.tasks[at + 1..]);
    page.table(format_args!("task.{}", cast.tasks[at]));
    page.words("text", format_args!("do {}", cast.tasks[at]));
    page.words("phase", dice.pick(&["A", "B"]));
    let longest = if cast.odd(dice, 30) { 600 } else { 180 };
    let minutes = dice.pick(&[30, 45, 60, 60, 90, 120, 120, 180, 240, 300, 400]).min(longest);
    let unmanned = cast.watches && cast.odd(dice, 10);
    if unmanned {
        page.words("needs", "none");
        page.words("attended_by", "ER");
        page.value("hours", Hours(2 * minutes));
    } else {
        manned(dice, cast, minutes, before, page);
    }
    if !before.is_empty() && dice.percent(50) {
        let count = dice.pick(&[1, 1, 2]);
        let wait = |dice: &mut Dice| if dice.percent(30) { dice.pick(&[" + 1h", " + 12h", " + 45 min", " + 20 min"]) } else { "" };
        let after: Vec<String> = dice.several(before, count).into_iter().map(|task| task + wait(dice)).collect();
        page.words("after", after.join(", "));
    }
    if !cast.tools.is_empty() && dice.percent(35) {
        page.words("tools", dice.pick(&cast.tools));
    } else if !cast.tools.is_empty() && !later.is_empty() && dice.percent(10) {
        page.words("hold", format_args!("{} until {}", dice.pick(&cast.tools), dice.pick(later)));
    }
    for key in ["not_before", "not_after"] {
        if cast.odd(dice, 5) {
            page.words(key, cast.time(dice));
        }
    }
    if dice.percent(25) {
        let count = dice.pick(&[1, 1, 2]);
        page.words("tags", dice.several(&TAGS, count).join(", "));
    }
    if !unmanned && let Some(unit) = opened.turn(dice, cast, later.is_empty()) {
        page.words(if opened.0.is_some() { "takes_out" } else { "hands_back" }, unit);
    }
    if dice.percent(20) {
        page.words("close_up", dice.pick(&["needed", "leave out"]));
    }
}

impl Opened {
    /// The machine that the next task takes out or hands back, if it does.
    fn turn(&mut self, dice: &mut Dice, cast: &Cast, last: bool) -> Option<&'static str> {
        let turns = match self.0 {
            None => !last && !cast.units.is_empty() && dice.percent(25),
            Some(_) => dice.percent(45),
        };
        if !turns {
            return None;
        }
        let unit = self.0.take();
        if unit.is_none() {
            self.0 = Some(dice.pick(&cast.units));
        }
        unit.or(self.0)
    }
}

/// What a task has that people are at.
fn manned(dice: &mut Dice, cast: &Cast, minutes: i32, before: &[String], page: &mut Page) {
    // A team that there is: each place is one that somebody else can take.
    let count = dice.pick(&[1, 1, 1, 1, 1, 2, 3]);
    let mut team: Vec<&str> = dice.several(&cast.people, count).iter().map(|hand| dice.pick(&hand.can)).collect();
    team.sort_unstable();
    let needs: Vec<String> = team.chunk_by(|a, b| a == b).map(|like| format!("{} {}", like.len(), like[0])).collect();
    page.words("needs", needs.join(" + "));
    if dice.percent(80) {
        page.value("hours", Hours(minutes));
    } else {
        page.value("hours", format_args!("[{}, {}, {}]", Hours(minutes / 2), Hours(minutes), Hours(2 * minutes)));
    }
    match dice.number(1, 10) {
        1..=2 => page.words("stop", "never"),
        3..=4 => page.value("parts", dice.pick(&[1, 2, 2, 3, 4])),
        5..=6 => page.value("min_spell", dice.pick(&["0.5", "2", "1.5"])),
        _ => {}
    }
    if dice.percent(20) {
        page.value("pause", dice.percent(50));
    }
    if cast.odd(dice, 15) {
        page.words("same", team[0]);
    }
    if !before.is_empty() && cast.odd(dice, 15) {
        page.words("different", format_args!("{} not from {}", team[0], dice.pick(before)));
    }
    if dice.percent(6) {
        page.value("emergency", true);
    }
}
