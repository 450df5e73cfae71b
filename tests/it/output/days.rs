//! The printed daily plan: what its first screen answers, and that it fits the page.

use turnto::clock::{ClockChange, ShipClock};
use turnto::id::IdVec;
use turnto::model::{Parts, Person, Problem, RecordKind, Recorded};
use turnto::out::{day_text, days_text, first_screen};
use turnto::report::{CutBy, ModelHours, Solved};
use turnto::time::Minutes;

use super::ship::{self, id};
use super::{of, of_ship};
use crate::support::job::{at, on};

/// The plan of the small job for a changed job, as text.
#[track_caller]
fn changed(change: impl FnOnce(&mut Parts)) -> String {
    let mut parts = ship::parts();
    change(&mut parts);
    let problem = Problem::new(parts).expect("the changed job hangs together");
    of(&problem, ship::plan(&problem), &ship::solved(), days_text)
}

fn solved(change: impl FnOnce(&mut Solved)) -> String {
    let problem = ship::problem();
    let mut solved = ship::solved();
    change(&mut solved);
    of(&problem, ship::plan(&problem), &solved, days_text)
}

/// Text with line breaks and runs of spaces taken out, to look for sentences that may be wrapped.
fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn says(text: &str, wanted: &str) {
    assert!(unwrapped(text).contains(wanted), "`{wanted}` is not said in:\n{text}");
}

#[track_caller]
fn fits(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "wider than 80 columns: {line}");
        assert!(!line.ends_with(' '), "space at the end: {line:?}");
        assert!(!line.chars().any(char::is_control), "control character: {line:?}");
    }
    assert!(text.ends_with('\n') && !text.ends_with("\n\n"));
}

/// If this fails, paper and terminal lose columns, or a name moves the cursor.
#[test]
fn every_line_fits_the_page() {
    fits(&of_ship(days_text));
}

/// If this fails, the first screen of a terminal (24 lines) no longer holds the first answers.
#[test]
fn first_screen_fits_a_terminal_and_answers() {
    let text = of_ship(first_screen);
    assert!(text.lines().count() <= 24, "{} lines", text.lines().count());
    // Finish day 3 17:30, bound day 3 17:00; due 18:00, so half an hour in hand.
    says(&text, "READY day 3, Wed 3 Mar 17:30; none can be ready before day 3 17:00");
    says(&text, "a gap of 0 h 30");
    says(&text, "IN TIME G2BACK set 2 back in stand-by: day 3 17:30, due day 3 18:00, 0 h 30 in hand");
    says(&text, "SHORT nothing: machinery and reserve are kept at every slot");
    says(&text, "REST nobody breaks a rest rule");
    // 2 x 1 + 2 x 0.5 + 3 x 4.5 + 1 + 1.5 + 6 + 3 x 3 + 2 x 1 + 1 = 37 labour-hours.
    says(&text, "37 h of labour in 10 tasks, 1 h of them overtime on 2 evenings");
    says(&text, "STCW and MLC hours of rest (stcw-mlc-rest)");
    says(&text, "the judgement of the master and of the chief engineer come first");
    let order = ["Rest rules", "come first", "READY", "IN TIME", "SHORT", "REST  ", "HELD BY"];
    let places: Vec<usize> = order.iter().map(|word| text.find(word).expect(word)).collect();
    assert!(places.is_sorted(), "{places:?}");
}

/// If this fails, a late job looks like one in time.
#[test]
fn late_is_said_first_and_last() {
    let text = changed(|parts| parts.milestones[id(0)].due = at(3, "12:00"));
    says(&text, "LATE G2BACK set 2 back in stand-by: day 3 17:30, due day 3 12:00, LATE by 5 h 30");
    says(&text, "In short: ready day 3, Wed 3 Mar 17:30; LATE by 5 h 30; nothing short; no rest finding.");
    assert!(!text.contains("IN TIME"));
}

/// If this fails, a proven finish is not said to be one, or an unproven one is.
#[test]
fn proof_is_said_only_where_there_is_one() {
    let text = solved(|s| s.bound = at(3, "17:30"));
    says(&text, "17:30; proven: no plan is ready earlier (longest chain through calendars and waits)");
    says(&solved(|s| s.cut_by = CutBy::Time), "the search was cut by its time cap");
    says(&solved(|s| s.cut_by = CutBy::Signal), "interrupted");
    says(&solved(|s| s.bound_with_overtime = Some(at(3, "09:00"))), "with all overtime allowed not before day 3 09:00");
    let text = solved(|s| s.model = ModelHours::Skipped("too large".to_owned()));
    says(&text, "No labour model to compare with: too large");
}

/// If this fails, machinery or reserve can fall short without anybody reading it.
#[test]
fn shortfalls_are_on_the_first_screen_and_on_the_sheet() {
    // Three sets are asked for and G2 is out from day 1 09:30 to day 3 17:30.
    let text = changed(|parts| parts.modes[id(0)].needs[0].1 = 3);
    says(&text, "SHORT day 1 09:30-day 3 17:30 MACHINERY SHORT: GEN has 2 able, 3 needed");
    says(&text, "ATTENTION day 2 00:00-24:00 MACHINERY SHORT: GEN has 2 able, 3 needed");
    says(&text, "2 able (G1 G3), 3 needed, out G2; SHORT as it is");
    assert!(unwrapped(&text).contains("In short: ready day 3, Wed 3 Mar 17:30; 0 h 30 in hand; SHORT in 1 stretch"));
    assert!(unwrapped(&text).contains("unit slots in all; whether a plan has fewer is open"), "{text}");
    // Five hands are never to be had: only four people are hands.
    let text = changed(|parts| parts.modes[id(0)].reserve.as_mut().expect("asked for").kinds[1].number = 5);
    says(&text, "RESERVE SHORT");
    // Nobody can have 40 h unbooked a day.
    let text = changed(|parts| parts.modes[id(0)].reserve.as_mut().expect("asked for").unbooked = Minutes::hours(40));
    // Day 1 has 12 h unbooked: see the golden text.
    says(&text, "HOURS SHORT: 28 h too little unbooked");
    says(&text, "; SHORT");
}

/// If this fails, a breach in the record before the plan is hidden, or is laid at the plan's door.
#[test]
fn findings_in_the_record_are_told_apart() {
    // The third engineer worked day 0 from 09:00 to 23:30. The 24 h from 09:00 reach into the plan and hold
    // 9 h 30 of rest, with the plan as without it: his watch begins at 12:00.
    let text = changed(|parts| {
        parts.people[id(ship::THIRD)].recorded = vec![Recorded { span: on(0, "09:00-23:30"), kind: RecordKind::Call, note: String::new() }];
    });
    says(&text, "in the record before the plan, no worse with it");
    says(&text, "FINDING in the record: ");
    says(&text, "day 0 09:00 to day 1 09:00: 9 h 30 found, 10 h asked for");
    says(&text, "nobody breaks a rest rule by what is planned");
    assert!(!text.contains("no rest finding"));
}

/// If this fails, nobody hears that rest cannot be checked for want of a record.
#[test]
fn unknown_time_is_said() {
    let text = changed(|parts| parts.people[id(ship::THIRD)].recorded_from = None);
    says(&text, "REST not checkable before ");
    says(&text, "for want of a record (3E)");
}

/// If this fails, hours around a change of the ship's clock are read wrongly.
#[test]
fn a_clock_change_is_on_the_sheet() {
    let text = changed(|parts| {
        let change = ClockChange { at: at(2, "02:00"), offset: Minutes::hours(2) };
        parts.clock = ShipClock::new(parts.clock.day_one(), Minutes::hours(3), vec![change]).expect("a legal clock");
    });
    says(&text, "CLOCK put back 1 h; it then shows 01:00");
    says(&text, "The ship's clock changes on the way, to UTC+02:00 at the end.");
    fits(&text);
}

/// If this fails, odd names break the layout: long words, line breaks, escape sequences, many people,
/// many days.
#[test]
fn odd_and_many_names_still_fit() {
    let mut parts = ship::parts();
    parts.ship = "MV \u{1b}[31mSandhaven\nof the long and narrow inlet beyond the seven skerries and the old light".to_owned();
    parts.tasks[id(2)].text = format!("Lift{}", "unbroken".repeat(30));
    parts.tools[id(0)].code = "CRANE-IN-THE-FAR-CORNER-OF-THE-WORKSHOP".to_owned();
    parts.end = at(22, "00:00");
    parts.latest_end = at(22, "00:00");
    let like: Person = parts.people[id(ship::WIPER)].clone();
    for n in 0..18 {
        parts.people.push(Person { code: format!("SHORE-WORKER-{n}"), name: "Ærøskøbing Ångström".to_owned(), ..like.clone() });
    }
    let problem = Problem::new(parts).expect("it hangs together");
    let text = of(&problem, ship::plan(&problem), &ship::solved(), days_text);
    fits(&text);
    // 21 days do not fit side by side: the table is folded, and every day still has its column.
    for day in 1..=21 {
        assert!(text.lines().any(|l| l.starts_with("hours") && l.split_whitespace().any(|w| w == format!("d{day}"))), "day {day}");
    }
    assert_eq!(text.matches("sheet 21 of 21").count(), 1);
    says(&text, "SHORE-WORKER-17");
}

/// If this fails, one sheet cannot be pinned up alone with its cautions.
#[test]
fn one_day_alone() {
    let text = of_ship(|report| day_text(report, report.days().nth(1).expect("three days")));
    says(&text, "DAY 2 Tue 2 Mar 2027");
    says(&text, "come first");
    assert!(!text.contains("DAY 1 ") && !text.contains("DAY 3 "));
}

/// If this fails, somebody away is sent to work.
#[test]
fn away_is_said() {
    let text = changed(|parts| parts.people[id(ship::MOTORMAN)].away = vec![on(3, "12:00-24:00")]);
    says(&text, "M1 12:00-24:00 away");
}

/// If this fails, a job without reserve, machinery, milestones, tools or tags no longer prints.
#[test]
fn a_bare_job_prints() {
    let text = changed(|parts| {
        parts.modes = IdVec::new();
        parts.mode_spans = Vec::new();
        parts.milestones = IdVec::new();
        parts.bans = Vec::new();
    });
    says(&text, "DUE no milestone is set");
    says(&text, "SHORT nothing: neither machinery nor reserve is asked for");
    fits(&text);
}

/// If this fails, somebody without a role has a comma in place of it.
#[test]
fn somebody_without_a_role_has_no_comma_for_it() {
    let text = changed(|parts| parts.people[id(ship::THIRD)].role.clear());
    assert!(!text.contains(", ;"), "{text}");
    says(&text, "P. Ferro; no job today");
}
