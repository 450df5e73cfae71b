//! The view of one day.

use turnto::clock::Day;
use turnto::id::PersonId;
use turnto::model::{Problem, Stretch};
use turnto::out::days_text;
use turnto::plan::OnHand;
use turnto::report::{Act, DaySheet, Part, Trip};
use turnto::time::{Minutes, Slots};

use super::ship::{self, id};
use super::{of, of_ship};
use crate::support::job::{at, on};

fn sheet(day: i32) -> DaySheet {
    of_ship(|report| report.sheet(Day::new(day)))
}

/// If this fails, people come to work at the wrong time.
#[test]
fn turning_to_and_knocking_off() {
    // Day 1: 2E has the talk at 08:00 and the last part until 15:30; nothing is listed after that.
    assert_eq!(sheet(1).people[ship::SECOND].at_work, [on(1, "08:00-15:30")]);
    // Day 3: overtime to 17:30, and the evening beyond it is off.
    assert_eq!(sheet(3).people[ship::FITTER].at_work, [on(3, "08:00-17:30")]);
    // Day 2: the fitter is on hand until noon.
    assert_eq!(sheet(2).people[ship::FITTER].at_work, [on(2, "08:00-12:00")]);
    // The watchkeepers have no day work.
    assert!(sheet(2).people[ship::THIRD].at_work.is_empty());
}

/// If this fails, whoever has a watch over the end of ordinary hours is said to knock off in the middle of it.
#[test]
fn nobody_turns_to_or_knocks_off_on_watch() {
    let at_work = |ordinary: &str, tasks_there: bool| {
        let mut parts = ship::parts();
        let stretch = Stretch { day: Day::new(2), ordinary: vec![on(2, ordinary)], overtime: Vec::new() };
        parts.people[id::<PersonId>(ship::THIRD)].stretches = vec![stretch];
        let problem = Problem::new(parts).expect("the changed job hangs together");
        let mut plan = ship::plan(&problem);
        if tasks_there {
            plan.on_hand.push(OnHand { person: id(ship::THIRD), span: on(2, "11:00-12:00") });
            plan.on_hand.sort_by_key(|hand| (hand.person, hand.span));
        }
        of(&problem, plan, &ship::solved(), |report| report.sheet(Day::new(2)).people[ship::THIRD].at_work.clone())
    };
    // The watch is from 12:00 to 18:00.
    assert_eq!(at_work("11:00-15:00", false), []);
    assert_eq!(at_work("11:00-15:00", true), [on(2, "11:00-12:00")]);
}

/// If this fails, parts of a task done in a row are not shown as one line, or a break inside is hidden.
#[test]
fn parts_in_a_row_are_one_line() {
    let sheet = sheet(1);
    let lines = &sheet.people[ship::FITTER].lines;
    let parts: Vec<_> = lines
        .iter()
        .filter_map(|l| match &l.act {
            Act::Task(task) => Some((l.span, task.first_part, task.last_part, task.with.len())),
            _ => None,
        })
        .collect();
    // Part 1 10:00-11:30, part 2 11:30-12:00 and after lunch to 14:00, part 3 to 15:30.
    assert_eq!(parts, [(on(1, "10:00-12:00"), 0, 1, 2), (on(1, "13:00-15:30"), 1, 2, 2)]);
    assert!(lines.iter().any(|l| l.span == on(1, "12:00-13:00") && l.act == Act::Break));
}

/// If this fails, nobody knows who takes a task over, and from whom.
#[test]
fn hand_over_is_named_on_both_sides() {
    let sheet = sheet(2);
    let task = |who: usize, from: &str| {
        let line = sheet.people[who].lines.iter().find(|l| l.span.start() == at(2, from)).expect("a line");
        match &line.act {
            Act::Task(task) => task.clone(),
            other => panic!("{other:?}"),
        }
    };
    let gives = task(ship::MOTORMAN, "13:00");
    let next = gives.next.expect("it goes on");
    assert_eq!((next.at, next.team), (at(2, "15:00"), vec![id(ship::WIPER)]));
    assert_eq!(task(ship::WIPER, "15:00").taken_from, [id(ship::MOTORMAN)]);
    // Before lunch the same man goes on the same day: nothing to hand over.
    assert_eq!(task(ship::MOTORMAN, "10:00").next, None);
}

/// If this fails, a duty done along with the watch, or an excuse, is not told apart from attendance.
#[test]
fn duties_say_how_they_meet_the_watch() {
    let sheet = sheet(2);
    let named = |code: &str| {
        let row = sheet.duties.iter().find(|d| of_ship(|r| r.problem().duties[d.duty].code == code)).expect("a row");
        (row.people.clone(), row.on_watch.clone(), row.excused.clone())
    };
    assert_eq!(named("boiler"), (vec![id(ship::FOURTH)], vec![id(ship::FOURTH)], vec![]));
    assert_eq!(named("toolbox").2, [id(ship::FOURTH)]);
    let lines = &sheet.people[ship::FOURTH].lines;
    assert!(lines.iter().any(|l| matches!(&l.act, Act::Watch(_, along) if along.len() == 1)));
}

/// If this fails, a tank that soaks over night is emptied, or a running-in is forgotten.
#[test]
fn what_goes_on_by_itself() {
    let waits: Vec<_> = sheet(1).waiting.iter().map(|w| w.span).collect();
    assert_eq!(waits, [turnto::time::Span::new(at(1, "16:30"), at(2, "08:30")).expect("not empty")]);
    assert_eq!(sheet(2).waiting.len(), 1);
    assert!(sheet(3).waiting.is_empty());
    assert_eq!(sheet(3).by_itself.iter().map(|b| b.span).collect::<Vec<_>>(), [on(3, "11:30-15:30")]);
}

/// If this fails, the wrong people are rung at night.
#[test]
fn reserve_by_day_and_night() {
    let sheet = sheet(2);
    let parts: Vec<Part> = sheet.reserve.periods.iter().map(|p| p.part).collect();
    assert_eq!(parts, [Part::Day, Part::Night]);
    let [day, night] = [&sheet.reserve.periods[0], &sheet.reserve.periods[1]];
    assert_eq!(night.span, turnto::time::Span::new(at(2, "20:00"), at(3, "06:00")).expect("not empty"));
    // Kinds in the order of the mode: officer, hand.
    assert_eq!(night.kinds.iter().map(|k| k.kind.as_str()).collect::<Vec<_>>(), ["officer", "hand"]);
    assert_eq!(night.kinds[0].throughout, [id(ship::CE), id(ship::SECOND)]);
    assert_eq!(night.kinds[1].throughout, [ship::SECOND, ship::FITTER, ship::MOTORMAN, ship::WIPER].map(id));
    // The chief may not be called when the sample would begin within the two hours, from 12:00, nor in it.
    let chief = day.kinds[0].in_part.iter().find(|(p, _)| *p == id(ship::CE)).expect("in part");
    assert_eq!(chief.1, [on(2, "06:00-12:00"), on(2, "14:00-20:00")]);
    // Then 2E alone is left; the fourth engineer comes off watch at 12:00 and is callable for half an hour.
    assert_eq!(day.kinds[0].weakest.callable, [id(ship::SECOND)]);
    assert_eq!(day.kinds[0].weakest.span, on(2, "12:30-14:00"));
    assert_eq!(sheet.reserve.unbooked_needed, Minutes::hours(4));
}

/// If this fails, the sheet says there is a margin where one trip blacks out the ship.
#[test]
fn machinery_and_one_more_trip() {
    let first = sheet(1).machinery;
    let lines: Vec<_> = first.changing.iter().map(|l| (l.span, l.n_able, l.trip)).collect();
    assert_eq!(lines, [(on(1, "08:00-09:30"), 3, Trip::JustEnough), (on(1, "09:30-24:00"), 2, Trip::Short)]);
    assert_eq!(first.changing[1].able, [id(0), id(2)]);
    let whole: Vec<_> = first.whole.iter().map(|l| l.trip).collect();
    assert_eq!(whole, [Trip::JustEnough, Trip::Short], "one of two compressors asked for; one emergency set of one");
}

/// If this fails, somebody works under a load without having read why not to.
#[test]
fn cautions_name_their_tasks() {
    let cautions: Vec<_> = sheet(1).cautions.into_iter().map(|c| (c.tag, c.tasks)).collect();
    assert_eq!(cautions, [(id(0), vec![id(1)]), (id(1), vec![id(2)]), (id(2), vec![id(3)])]);
}

/// If this fails, two jobs are given one crane, or a tool is sought where it is not.
#[test]
fn tools_by_time() {
    let tools: Vec<_> = sheet(3).tools.into_iter().map(|t| (t.tool, t.uses)).collect();
    assert_eq!(
        tools,
        [(id(0), vec![(on(3, "08:30-11:30"), id(6))]), (id(1), vec![(on(3, "08:30-11:30"), id(6)), (on(3, "16:30-17:30"), id(8))])]
    );
}

/// If this fails, somebody is told to hand over to himself, or not told when he goes on.
#[test]
fn the_same_team_goes_on_another_day() {
    let mut parts = ship::parts();
    // Two hours of T10, one on day 1 and one on day 2.
    parts.tasks[id(9)].length = Slots::new(4);
    let problem = Problem::new(parts).expect("it hangs together");
    let mut plan = ship::plan(&problem);
    plan.spells.push(ship::spell(9, 0, 2, &["08:30-09:30"], &[ship::MOTORMAN]));
    plan.spells.sort_by_key(|s| (s.span().start(), s.task, s.part));
    let text = of(&problem, plan, &ship::solved(), days_text);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    // The next thing on the sheet is the wiper's heading.
    assert!(text.contains("as GEN; goes on day 2 08:30 W1 L. Santos"), "{text}");
}
