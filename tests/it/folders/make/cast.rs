//! Who and what there is in a job: drawn first, for every file speaks of it.

use chrono::{NaiveDate, NaiveDateTime, Timelike};

use super::page::Clock;
use crate::support::dice::Dice;

/// The competence without which nobody stands a watch.
pub(crate) const WATCHKEEPING: &str = "OOW";

/// Minutes of a day.
const DAY: i32 = 24 * 60;

/// Somebody aboard.
#[derive(Clone)]
pub(crate) struct Hand {
    pub(crate) code: String,
    pub(crate) can: Vec<&'static str>,
}

/// What the files of a folder have in common.
pub(crate) struct Cast {
    pub(crate) start: NaiveDateTime,
    pub(crate) days: i32,
    pub(crate) slot: i32,
    pub(crate) competences: Vec<&'static str>,
    pub(crate) people: Vec<Hand>,
    pub(crate) breaks: Vec<(&'static str, &'static str)>,
    pub(crate) tasks: Vec<String>,
    pub(crate) units: Vec<&'static str>,
    /// Whether there is a second mode beside the sea.
    pub(crate) port: bool,
    pub(crate) tools: Vec<&'static str>,
    /// Whether little stands in the way of a plan, as on most ships: more than half of the folders are so, so that what comes after the
    /// first plan is tried often enough.
    pub(crate) tame: bool,
    /// Whether somebody stands watches.
    pub(crate) watches: bool,
}

impl Cast {
    pub(crate) fn draw(dice: &mut Dice) -> Self {
        let slot = dice.pick(&[30, 30, 30, 30, 15, 60, 60]);
        let start = NaiveDate::from_ymd_opt(2027, 3, u32::try_from(dice.number(1, 27)).expect("a day of a month"))
            .and_then(|day| {
                day.and_hms_opt(dice.pick(&[0, 6, 7, 8, 8, 8, 12, 20]), if slot <= 30 { dice.pick(&[0, 0, 0, 30]) } else { 0 }, 0)
            })
            .expect("a time of the calendar");
        let mut competences = ["LEAD", "GEN", "ELEC", WATCHKEEPING][..dice.number(1, 4).unsigned_abs() as usize].to_vec();
        if !competences.contains(&WATCHKEEPING) {
            competences.push(WATCHKEEPING);
        }
        let people: Vec<Hand> = (1..=dice.number(2, 6)).map(|n| hand(dice, n, &competences)).collect();
        let breaks = [("lunch", 80, "12:00-13:00"), ("smoko", 40, "10:00-10:15"), ("tea", 30, "15:00-15:20"), ("night", 20, "00:00-01:00")];
        let units = if dice.percent(60) { dice.number(1, 3) } else { 0 };
        let stands = people.iter().any(|hand| hand.can.contains(&WATCHKEEPING));
        Self {
            start,
            days: dice.pick(&[1, 2, 2, 3, 3, 4]),
            slot,
            breaks: breaks.into_iter().filter(|(_, often, _)| dice.percent(*often)).map(|(name, _, when)| (name, when)).collect(),
            tasks: (1..=dice.number(1, 7)).map(|n| format!("T{n}")).collect(),
            units: ["G1", "G2", "G3"].into_iter().take(units.unsigned_abs() as usize).collect(),
            port: units > 0 && dice.percent(50),
            tools: ["CR", "RK"].into_iter().take(dice.below(3)).collect(),
            tame: dice.percent(60),
            watches: stands && dice.percent(45),
            competences,
            people,
        }
    }

    /// True as often as `often` in a hundred; seldom in a tame folder. Asked for what may leave no plan.
    pub(crate) fn odd(&self, dice: &mut Dice, often: i32) -> bool {
        dice.percent(if self.tame { often / 5 } else { often })
    }

    /// Minutes by which a time may lie off the hour.
    fn off_the_hour(dice: &mut Dice) -> i32 {
        dice.pick(&[0, 0, 0, 30, 30, 15, 10, 5])
    }

    /// Minutes from the first midnight to the start.
    fn begins(&self) -> i32 {
        i32::try_from(self.start.hour() * 60 + self.start.minute()).expect("less than a day")
    }

    /// A moment within the job, in minutes from the first midnight.
    fn moment(&self, dice: &mut Dice) -> i32 {
        (self.begins() + 60 * dice.number(0, 24 * self.days - 1)) / 60 * 60 + Self::off_the_hour(dice)
    }

    /// A time within the job, as the files have it.
    pub(crate) fn time(&self, dice: &mut Dice) -> String {
        day_time(self.moment(dice).max(self.begins()))
    }

    /// A stretch of half an hour to half a day.
    pub(crate) fn window(&self, dice: &mut Dice) -> String {
        self.stretch(dice, 1)
    }

    /// A stretch of one and a half hours to a day and a half.
    pub(crate) fn long_window(&self, dice: &mut Dice) -> String {
        self.stretch(dice, 3)
    }

    fn stretch(&self, dice: &mut Dice, times: i32) -> String {
        let from = self.moment(dice);
        // What begins after midnight ends after the start.
        let to = from.max(self.begins()) + times * dice.pick(&[30, 60, 90, 120, 180, 240, 360, 720]);
        if to / DAY > from / DAY {
            format!("{} - {}", day_time(from), day_time(to))
        } else {
            format!("{}-{}", day_time(from), Clock(to % DAY))
        }
    }

    /// Codes of all people.
    pub(crate) fn codes(&self) -> Vec<&str> {
        self.people.iter().map(|hand| hand.code.as_str()).collect()
    }

    /// Those who may stand a watch.
    pub(crate) fn watchkeepers(&self) -> Vec<&str> {
        self.people.iter().filter(|hand| hand.can.contains(&WATCHKEEPING)).map(|hand| hand.code.as_str()).collect()
    }

    /// What somebody aboard can do.
    pub(crate) fn held(&self) -> Vec<&'static str> {
        self.competences.iter().copied().filter(|c| self.people.iter().any(|hand| hand.can.contains(c))).collect()
    }
}

/// A moment as the files have it.
fn day_time(minutes: i32) -> String {
    format!("day {} {}", minutes / DAY + 1, Clock(minutes % DAY))
}

fn hand(dice: &mut Dice, number: i32, competences: &[&'static str]) -> Hand {
    let mut can: Vec<&'static str> = competences.iter().copied().filter(|_| dice.percent(70)).collect();
    if can.is_empty() {
        can.push(dice.pick(competences));
    }
    Hand { code: format!("P{number}"), can }
}
