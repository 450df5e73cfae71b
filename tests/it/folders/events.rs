//! What happens while a job runs: entries of the log, made by chance.

use chrono::{NaiveDateTime, TimeDelta};

use super::facts::Facts;
use super::make::{Cast, Page};
use crate::support::dice::Dice;

/// Something to be logged.
pub(super) struct Event {
    at: NaiveDateTime,
    what: &'static str,
    /// What it is about, and anything more that is said of it.
    said: Vec<(&'static str, String)>,
    /// Tables of what it adds.
    added: String,
}

/// A time as the command line and the files take it.
pub(super) fn written(time: NaiveDateTime) -> String {
    time.format("%Y-%m-%dT%H:%M").to_string()
}

/// A word of the log and the key under which it names what it is about; those that come often stand twice.
const WORDS: [(&str, &str); 22] = [
    ("started", "task"),
    ("stopped", "task"),
    ("done", "task"),
    ("done", "task"),
    ("to_go", "task"),
    ("dropped", "task"),
    ("found", "task"),
    ("out", "unit"),
    ("out", "unit"),
    ("back", "unit"),
    ("unfit", "person"),
    ("unfit", "person"),
    ("limited", "person"),
    ("fit", "person"),
    ("call", "person"),
    ("gone", "tool"),
    ("returned", "tool"),
    ("moved", "duty"),
    ("due", "milestone"),
    ("mode", "mode"),
    ("note", "a task more"),
    ("note", "a duty more"),
];

impl Event {
    /// Something that happened at `now` or up to four hours before; nothing where the job has nothing of the kind.
    pub(super) fn draw(dice: &mut Dice, cast: &Cast, facts: &Facts, now: NaiveDateTime) -> Option<Self> {
        let at = (now - TimeDelta::minutes(dice.pick(&[0, 0, 5, 10, 30, 60, 120, 240]))).max(cast.start);
        let (what, about) = dice.pick(&WORDS);
        let mut event = Self { at, what, said: Vec::new(), added: String::new() };
        if what == "note" {
            event.said.push(("note", "as-told".to_owned()));
            event.added = if about == "a task more" { task(dice, facts)? } else { duty(dice, cast, facts)? };
            return Some(event);
        }
        let one = |dice: &mut Dice, list: &[String]| if list.is_empty() { None } else { Some(dice.pick(list)) };
        let people: Vec<String> = facts.people.iter().map(|(code, _)| code.clone()).collect();
        let tools: Vec<String> = facts.tools.iter().map(|(code, _)| code.clone()).collect();
        let of = match about {
            "task" => &facts.tasks,
            "unit" => &facts.units,
            "tool" => &tools,
            "duty" => &facts.duties,
            "milestone" => &facts.milestones,
            "mode" => &facts.modes,
            _ => &people,
        };
        let code = one(dice, of)?;
        event.said.push((about, code.clone()));
        let later = |dice: &mut Dice, minutes: &[i64]| written(at + TimeDelta::minutes(dice.pick(minutes)));
        match what {
            "to_go" | "found" => event.said.push(("hours", dice.pick(&["0.5", "1", "2", "4", "8", "1h30"]).to_owned())),
            "call" => event.said.push(("to", later(dice, &[30, 60, 120, 240, 95]))),
            "moved" | "due" => event.said.push(("to", later(dice, &[60, 600, 1440, 4500]))),
            "limited" => {
                let (_, can) = facts.people.iter().find(|(person, _)| *person == code)?;
                event.said.push(("without", one(dice, can)?));
            }
            _ => {}
        }
        if matches!(what, "out" | "unfit" | "limited" | "gone" | "mode") && dice.percent(50) {
            event.said.push(("until", later(dice, &[60, 240, 600, 1440, 2880, 100])));
        }
        Some(event)
    }

    /// The entry as it is written by hand.
    pub(super) fn text(&self) -> String {
        let mut page = Page::default();
        page.item("entry");
        page.words("at", written(self.at));
        page.words("what", self.what);
        for (key, value) in &self.said {
            if value.parse::<f64>().is_ok() { page.value(key, value) } else { page.words(key, value) }
        }
        page.text() + &self.added
    }

    /// The command line that writes it, for what one can be said by one.
    pub(super) fn command(&self) -> Option<String> {
        let (about, more) = self.said.split_first().filter(|_| self.added.is_empty())?;
        let more: Vec<String> = more.iter().map(|(key, value)| format!(" {key}={value}")).collect();
        Some(format!("log job --at {} {} {}{}", written(self.at), self.what, about.1, more.concat()))
    }
}

/// A task that is added.
fn task(dice: &mut Dice, facts: &Facts) -> Option<String> {
    let mut page = Page::default();
    let (_, can) = dice.pick(&facts.people);
    page.table(format_args!("entry.add.N{}", dice.number(100, 999)));
    page.words("text", "more");
    page.words("needs", (!can.is_empty()).then(|| dice.pick(&can))?);
    page.value("hours", dice.pick(&[1, 2, 4]));
    for (key, often) in [("after", 40), ("before", 20)] {
        if dice.percent(often) && !facts.tasks.is_empty() {
            page.words(key, dice.pick(&facts.tasks));
        }
    }
    if !facts.units.is_empty() && dice.percent(20) {
        page.words("hands_back", dice.pick(&facts.units));
    }
    if dice.percent(20) {
        page.value("emergency", true);
    }
    Some(page.text())
}

/// A duty that is added.
fn duty(dice: &mut Dice, cast: &Cast, facts: &Facts) -> Option<String> {
    let mut page = Page::default();
    page.table(format_args!("entry.add_duty.X{}", dice.number(100, 999)));
    page.words("name", "called as well");
    page.words("when", cast.window(dice));
    page.words("who", (!facts.people.is_empty()).then(|| dice.pick(&facts.people).0)?);
    page.words("on_watch", "excused");
    Some(page.text())
}
