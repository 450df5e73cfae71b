//! Reading a plan back.

use proptest::prelude::*;
use serde_json::{Value, json};

use turnto::model::{Duty, Problem, Stand, When};
use turnto::out::plan_json;
use turnto::plan::{OnHand, Plan};
use turnto::report::{PlanProblem, Report, read_plan};
use turnto::time::{Minutes, Span};
use turnto::verify::verify;

use super::ship::{self, id};
use super::{of_ship, small, verified};
use crate::support::job::{at, on};

fn document() -> Value {
    serde_json::from_str(&of_ship(plan_json)).expect("it is JSON")
}

fn read(document: &Value) -> Result<Plan, Vec<PlanProblem>> {
    read_plan(&small().0, &document.to_string())
}

/// Paths and words of everything wrong with the small job's document after a change.
#[track_caller]
fn faults(change: impl FnOnce(&mut Value)) -> Vec<String> {
    let mut document = document();
    change(&mut document);
    read(&document).expect_err("it does not fit the job").iter().map(ToString::to_string).collect()
}

#[track_caller]
fn plan_after(change: impl FnOnce(&mut Value)) -> Plan {
    let mut document = document();
    change(&mut document);
    read(&document).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// Writes a legal plan, reads it back, and checks that nothing was lost: same spells, watches and duties,
/// same account, same bytes when written again.
fn round_trip(problem: &Problem, plan: Plan) -> Result<(), String> {
    let solved = ship::solved();
    let verified = verify(problem, plan).map_err(|r| format!("{:?}", r.breaches))?;
    let text = plan_json(&Report::new(problem, &verified, &solved));
    let back = read_plan(problem, &text).map_err(|faults| format!("{faults:?}"))?;
    let same = (&back.spells, &back.turns, &back.duties) == (&verified.plan().spells, &verified.plan().turns, &verified.plan().duties);
    if !same {
        return Err("spells, watches or duties changed".to_owned());
    }
    let again = verify(problem, back).map_err(|r| format!("{:?}", r.breaches))?;
    if again.account() != verified.account() {
        return Err("the account changed".to_owned());
    }
    if plan_json(&Report::new(problem, &again, &solved)) != text {
        return Err("the document changed".to_owned());
    }
    Ok(())
}

/// If this fails, a plan read back is not the plan that was written.
#[test]
fn what_is_written_is_read() {
    let problem = ship::problem();
    round_trip(&problem, ship::plan(&problem)).expect("it goes round");
}

/// Time on hand of every day worker on days 1 and 2, in steps of five minutes, or none.
fn hands() -> impl Strategy<Value = Vec<Option<(i32, i32)>>> {
    prop::collection::vec(prop::option::of((0..107_i32, 1..108_i32)), 10)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// If this fails, some plan does not survive its own file. On hand, the movable duty and the hand-over of
    /// T06 are drawn at random; all of them are legal.
    #[test]
    fn every_plan_goes_round(hands in hands(), sample in 0..7_i32, hand_over in 2..=10_i32) {
        let problem = ship::problem();
        let mut plan = ship::plan(&problem);
        let day_workers = [ship::CE, ship::SECOND, ship::FITTER, ship::MOTORMAN, ship::WIPER];
        let pairs = day_workers.iter().flat_map(|who| [(*who, 1), (*who, 2)]);
        plan.on_hand = pairs.zip(hands).filter_map(|((who, day), hand)| {
            let (from, length) = hand?;
            let start = at(day, "08:00") + Minutes::new(from * 5);
            let end = (start + Minutes::new(length * 5)).min(at(day, "17:00"));
            Span::new(start, end).map(|span| OnHand { person: id(who), span })
        }).collect();
        plan.on_hand.sort_unstable();
        let movable = problem.duties.find(|d| d.code == "sample").expect("there is one");
        plan.duties[movable] = at(2, "13:00") + Minutes::new(sample * 30);
        // T06: 12 slots from 10:00 around lunch, handed over after so many.
        let pieces = |from: i32, to: i32| -> Vec<Span> {
            let slot = |n: i32| at(2, "10:00") + Minutes::new(n * 30 + if n >= 4 { 60 } else { 0 });
            let end = |n: i32| at(2, "10:00") + Minutes::new(n * 30 + if n > 4 { 60 } else { 0 });
            if from < 4 && to > 4 { vec![Span::new(slot(from), at(2, "12:00")).expect("not empty"), Span::new(at(2, "13:00"), end(to)).expect("not empty")] }
            else { vec![Span::new(slot(from), end(to)).expect("not empty")] }
        };
        plan.spells.retain(|s| s.task != id(5));
        plan.spells.push(turnto::plan::Spell { work: pieces(0, hand_over), task: id(5), part: 0, team: vec![id(ship::MOTORMAN)] });
        plan.spells.push(turnto::plan::Spell { work: pieces(hand_over, 12), task: id(5), part: 0, team: vec![id(ship::WIPER)] });
        plan.spells.sort_by_key(|s| (s.span().start(), s.task, s.part));
        if let Err(why) = round_trip(&problem, plan) {
            prop_assert!(false, "{}", why);
        }
    }

    /// If this fails, a broken file stops the program instead of being named.
    #[test]
    fn broken_text_is_named(cut in 0..20_000_usize, with in "[\\PC]{0,3}") {
        let text = of_ship(plan_json);
        let cut = (0..=cut.min(text.len())).rev().find(|i| text.is_char_boundary(*i)).unwrap_or(0);
        let mut broken = text[..cut].to_owned();
        broken.push_str(&with);
        prop_assert!(read_plan(&small().0, &broken).is_err());
    }
}

/// If this fails, who stands an open turn, or when a movable duty is, is forgotten where it lies after the end.
#[test]
fn what_was_chosen_after_the_end_goes_round() {
    let mut parts = ship::parts();
    let later = parts.turns.find(|t| t.span.start() >= at(5, "00:00")).expect("turns are laid out beyond the end");
    parts.turns[later].stand = Stand::Open(vec![id(ship::SECOND), id(ship::THIRD)]);
    let sample = parts.duties.find(|d| d.code == "sample").expect("there is one");
    let again = Duty {
        code: "survey".to_owned(),
        when: When::Movable { window: on(5, "13:00-17:00"), length: Minutes::new(60) },
        ..parts.duties[sample].clone()
    };
    let survey = parts.duties.push(again);
    let problem = Problem::new(parts).expect("it hangs together");
    let mut plan = ship::plan(&problem);
    plan.turns[later] = id(ship::THIRD);
    plan.duties[survey] = at(5, "14:30");
    round_trip(&problem, plan.clone()).expect("it goes round");
    let verified = verified(&problem, plan);
    let mut document: Value = serde_json::from_str(&plan_json(&Report::new(&problem, &verified, &ship::solved()))).expect("it is JSON");
    document["watches_after_end"] = json!([]);
    document["duties_after_end"] = json!([]);
    let found: Vec<String> =
        read_plan(&problem, &document.to_string()).expect_err("both are missing").iter().map(ToString::to_string).collect();
    assert_eq!(found, ["watches: nobody stands post OOW day 5 00:00 to day 5 06:00", "duties: survey number 1 is missing"]);
}

/// Puts `with` in place of the `n`-th value of a document, counted from the outside in; whether there are so
/// many.
fn put(value: &mut Value, n: &mut usize, with: &Value) -> bool {
    if *n == 0 {
        *value = with.clone();
        return true;
    }
    *n -= 1;
    match value {
        Value::Array(items) => items.iter_mut().any(|item| put(item, n, with)),
        Value::Object(map) => map.values_mut().any(|item| put(item, n, with)),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => false,
    }
}

fn odd_value() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Null),
        Just(json!([])),
        Just(json!({})),
        Just(json!(-1)),
        Just(json!(1e300)),
        Just(json!("9999-12-31T23:59:00+00:00")),
        Just(json!("0000-01-01T00:00:00-23:59")),
        Just(json!("2027-03-02T10:07:00+03:00")),
        Just(json!("CE")),
        Just(json!("T03")),
        Just(json!("break")),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// If this fails, a file with something odd in one place stops the program instead of being named, or comes
    /// through as a plan that does not man every turn of the job.
    #[test]
    fn odd_values_are_named_or_verified(n in 0..4_000_usize, with in odd_value()) {
        let mut document = document();
        let mut left = n;
        put(&mut document, &mut left, &with);
        if let Ok(plan) = read(&document) {
            prop_assert_eq!(plan.turns.len(), small().0.turns.len());
        }
    }
}

/// If this fails, somebody who moves a spell by hand in the file is not understood.
#[test]
fn a_spell_moved_by_hand_is_taken_as_said() {
    // T10 half an hour later, written in another offset.
    let plan = plan_after(|d| {
        d["tasks"][9]["spells"][0]["from"] = json!("2027-03-01T13:00:00Z");
        d["tasks"][9]["spells"][0]["to"] = json!("2027-03-01T17:00:00+03:00");
    });
    let moved = plan.spells.iter().find(|s| s.task == id(9)).expect("it is there");
    assert_eq!(moved.work, [on(1, "16:00-17:00")]);
    let problem = ship::problem();
    verified(&problem, plan);
}

/// If this fails, a change of team by hand is not understood, or entries in another order are.
#[test]
fn a_team_changed_by_hand() {
    let plan = plan_after(|d| {
        d["tasks"][8]["spells"][0]["team"] = json!([{"need": "HYD", "person": "FT"}, {"need": "LEAD", "person": "CE"}]);
    });
    let changed = plan.spells.iter().find(|s| s.task == id(8)).expect("it is there");
    assert_eq!(changed.team, [id(ship::CE), id(ship::FITTER)], "in the order of the needs");
}

/// If this fails, sums in the document are believed although they only follow from the rest.
#[test]
fn sums_are_not_looked_at() {
    let plan = plan_after(|d| {
        d["finish"] = json!("whenever");
        d["tasks"][0]["labour_hours"] = json!(-3);
        for key in ["days", "reserve", "machinery", "findings", "aims", "bound", "made_by"] {
            d.as_object_mut().expect("an object").remove(key);
        }
    });
    assert_eq!(plan, read(&document()).expect("it fits"));
}

/// If this fails, a break that somebody turns into rest, or rest into a break, is not understood.
#[test]
fn on_hand_follows_the_breaks() {
    let plan = plan_after(|d| {
        let stretches = d["people"][ship::FITTER]["stretches"].as_array_mut().expect("a list");
        stretches.retain(|s| s["kind"] != "break");
        // 07:00-08:00 is not in ordinary hours and falls away; the named break stays.
        stretches.push(json!({"from": "2027-03-02T07:00:00+03:00", "to": "2027-03-02T13:30:00+03:00", "kind": "break"}));
        stretches.push(json!({"from": "2027-03-02T15:00:00+03:00", "to": "2027-03-02T16:00:00+03:00", "kind": "break", "on_hand": false}));
    });
    let hand: Vec<Span> = plan.on_hand.iter().filter(|h| h.person == id(ship::FITTER)).map(|h| h.span).collect();
    assert_eq!(hand, [on(2, "08:00-13:30")]);
}

/// If this fails, the first mistake hides the others.
#[test]
fn all_mistakes_come_at_once_with_their_place() {
    let found = faults(|d| {
        d["tasks"][0]["id"] = json!("T99");
        d["tasks"][1]["spells"][0]["from"] = json!("2027-03-01 08:00");
        d["tasks"][2]["spells"][0]["team"][1]["person"] = json!("2F");
        d["tasks"][3]["spells"][0]["tools"] = json!(["CRANE"]);
        d["watches"][0]["person"] = json!(7);
        d["people"][0]["stretches"][0]["kind"] = json!("sleep");
        d["duties"][0]["people"] = json!([]);
    });
    let starts = [
        "people[0].stretches[0].kind: `sleep` is none of task, watch",
        "tasks[0].id: the job has no task `T99` (there are: T01, T02",
        "tasks[1].spells[0].from: `2027-03-01 08:00` is not a time with offset, such as 2027-03-01T00:00:00+03:00",
        "tasks[2].spells[0].team[1].person: the job has no person `2F` (there are: CE, 2E",
        "tasks[3].spells[0].tools: the job gives T04 SOAK; change it there",
        "watches[0].person: this should be a text",
        "watches: nobody stands post OOW day 1 08:00 to day 1 12:00",
    ];
    for start in starts {
        assert!(found.iter().any(|f| f.starts_with(start)), "`{start}` not in {found:#?}");
    }
}

/// If this fails, a plan of another job, slot or version is taken for one of this.
#[test]
fn the_head_must_agree() {
    assert_eq!(faults(|d| d["format"] = json!("turnto-plan/2")), ["format: only `turnto-plan/1` can be read"]);
    assert_eq!(faults(|d| d["slot_minutes"] = json!(15)), ["slot_minutes: the job has slots of 30 minutes"]);
    assert_eq!(faults(|d| d["start"] = json!("2027-03-01T09:00:00+03:00")), ["start: the job is planned from 2027-03-01T08:00:00+03:00"]);
    assert_eq!(read_plan(&small().0, "[]").expect_err("no object")[0].to_string(), "document: this should be an object");
    let cut = read_plan(&small().0, "{\n \"format\":").expect_err("cut");
    assert!(cut[0].path.starts_with("line 2, column"), "{cut:?}");
}

/// A change to the document, and the beginning of what is said about it.
type Mistake = (fn(&mut Value), &'static str);

/// If this fails, a mistake in one kind of row goes unseen. One mistake each, and exactly one message.
#[test]
fn each_mistake_has_its_words() {
    let cases: [Mistake; 15] = [
        (|d| d["tasks"][0]["spells"][0]["to"] = json!("2027-03-01T08:30:00+03:00"), "tasks[0].spells[0]: it ends before it begins"),
        (
            |d| d["tasks"][0]["spells"][0]["from"] = json!("2027-03-01T08:30:20+03:00"),
            "tasks[0].spells[0].from: `2027-03-01T08:30:20+03:00` is not a whole minute",
        ),
        (
            |d| d["tasks"][2]["spells"][1]["paused"][0]["from"] = json!("2027-03-01T11:30:00+03:00"),
            "tasks[2].spells[1].paused[0]: a pause lies inside its spell",
        ),
        (|d| d["tasks"][2]["spells"][1]["part"] = json!(0), "tasks[2].spells[1].part: parts count from 1"),
        (|d| d["tasks"][0]["spells"][0]["part"] = json!(1), "tasks[0].spells[0].part: T01 is not done in parts"),
        (
            |d| {
                d["tasks"][0]["spells"][0]["team"].as_array_mut().expect("a list").pop();
            },
            "tasks[0].spells[0].team: nobody brings LEAD",
        ),
        (
            |d| d["tasks"][0]["spells"][0]["team"][0]["need"] = json!("LEAD"),
            "tasks[0].spells[0].team[1]: T01 does not ask for so many LEAD",
        ),
        (
            |d| {
                let first = d["tasks"][0].clone();
                d["tasks"].as_array_mut().expect("a list").push(first);
            },
            "tasks[10].id: this task stands here twice",
        ),
        (
            |d| {
                let first = d["watches"][0].clone();
                d["watches"].as_array_mut().expect("a list").push(first);
            },
            "watches[11]: this turn stands here twice",
        ),
        (
            |d| {
                let first = d["people"][0].clone();
                d["people"].as_array_mut().expect("a list").push(first);
            },
            "people[7].id: this person stands here twice",
        ),
        (
            |d| {
                d["duties"].as_array_mut().expect("a list").remove(0);
            },
            "duties: boiler number 1 is missing",
        ),
        (|d| d["duties"][0]["to"] = json!("2027-03-01T12:30:00+03:00"), "duties[0]: the job gives boiler a length of 0 h 30"),
        (|d| d["duties"][0]["occurrence"] = json!(99), "duties[0].occurrence: boiler has no number 99"),
        (
            |d| {
                let list = d["duties"].as_array_mut().expect("a list");
                let talk = list.iter_mut().find(|r| r["id"] == "toolbox").expect("there is one");
                talk["people"].as_array_mut().expect("a list").pop();
            },
            "duties[4].people: the job calls W1 to toolbox day 1 08:00 to day 1 08:30",
        ),
        (
            |d| d["watches"][0]["to"] = json!("2027-03-01T11:00:00+03:00"),
            "watches[0]: the turns of post OOW are given by the job: day 1 08:00 to day 1 12:00",
        ),
    ];
    for (change, start) in cases {
        let found = faults(change);
        assert!(found[0].starts_with(start), "`{start}` is not {found:#?}");
    }
}

/// If this fails, a file written by hand without the number of a repeat is not understood.
#[test]
fn a_duty_is_known_by_its_time() {
    let plan = plan_after(|d| {
        for row in d["duties"].as_array_mut().expect("a list") {
            row.as_object_mut().expect("an object").remove("occurrence");
        }
    });
    assert_eq!(plan, read(&document()).expect("it fits"));
}
