//! `crew.toml` as written.

use crate::diag::{Code, Place};
use crate::input::raw::{pairs, windows};
use crate::input::row::{Row, Zero};
use crate::input::text::{At, Text};
use crate::input::when::{When, Written};
use crate::time::Minutes;

/// `crew.toml`.
pub(in crate::input) struct Crew {
    /// Declared competences with their long names.
    pub competences: Vec<(Text, Text)>,
    /// The people.
    pub people: Vec<Person>,
    /// The first line of the file.
    pub head: Place,
    /// Whether the file had errors of syntax.
    pub broken: bool,
}

/// A person.
pub(in crate::input) struct Person {
    /// The code.
    pub code: Text,
    /// Name.
    pub name: Option<Text>,
    /// Rank or role.
    pub role: Option<Text>,
    /// Competences.
    pub can: Vec<Text>,
    /// Ordinary hours, or names of working days.
    pub hours: Vec<Text>,
    /// Overtime: hours of every day, or windows.
    pub overtime: Vec<Text>,
    /// Most days with overtime.
    pub evenings: Option<At<i64>>,
    /// Most job time a day.
    pub cap: Option<At<Minutes>>,
    /// Away.
    pub away: Vec<At<When>>,
    /// What the person answers for.
    pub answers_for: Vec<Text>,
    /// Code of the rest rules.
    pub rest: Option<Text>,
    /// Date of birth.
    pub born: Option<At<chrono::NaiveDate>>,
    /// Age in years when the job starts.
    pub age: Option<At<i64>>,
    /// Names of the breaks that hold for the person; `None` means all.
    pub breaks: Option<Vec<Text>>,
    /// From when the person's record is complete.
    pub recorded_from: Option<At<Written>>,
}

/// Ages of people who work aboard; others are slips. Common practice, no source: the least age for work aboard is 16 today, and
/// has been lower.
pub(in crate::input) const AGES: std::ops::RangeInclusive<i64> = 14..=100;

/// Reads `crew.toml`.
pub(in crate::input) fn read(mut row: Row<'_>) -> Crew {
    let head = row.head();
    let broken = row.broken();
    let competences = pairs(row.table("competence"));
    let people = row.named("person", "person").into_iter().map(person).collect();
    row.finish();
    Crew { competences, people, head, broken }
}

fn person(named: crate::input::row::Named<'_>) -> Person {
    let mut row = named.row;
    let sink = row.sink();
    let name = row.need_text("name", "name = \"...\", as it is to stand on the day sheet");
    let role = row.text("role");
    let can = row.words("can");
    let hours = row.words("hours");
    let overtime = row.words("overtime");
    let evenings = row.whole("evenings", 0, 1000);
    let cap = row.hours("cap", Zero::Allowed, 24);
    let away = windows(&row.words("away"), sink);
    let answers_for = row.words("answers_for");
    let rest = row.text("rest");
    let born = row.date("born");
    let age = row.whole("age", *AGES.start(), *AGES.end());
    if let (Some(age), Some(_)) = (row.has("age"), row.has("born")) {
        sink.say(Code::UsedTwice, "`age` and `born` both say how old somebody is", age, "one of the two", "keep one of them");
    }
    let breaks = row.words("breaks");
    let breaks = row.has("breaks").map(|_| breaks);
    let recorded_from = row.moment("recorded_from");
    row.finish();
    Person { code: named.code, name, role, can, hours, overtime, evenings, cap, away, answers_for, rest, born, age, breaks, recorded_from }
}
