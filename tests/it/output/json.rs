//! `plan.json`: the keys that are promised, and figures that agree with one another.

use serde_json::Value;

use turnto::id::Id;
use turnto::model::{Problem, Stand};
use turnto::out::plan_json;
use turnto::report::wire;

use super::ship::{self, id};
use super::{of, of_ship};

fn document() -> Value {
    serde_json::from_str(&of_ship(plan_json)).expect("it is JSON")
}

#[track_caller]
fn has_keys(value: &Value, keys: &[&str]) {
    let object = value.as_object().expect("an object");
    for key in keys {
        assert!(object.contains_key(*key), "`{key}` is missing from {object:?}");
    }
}

/// If this fails, a program that reads version 1 of the document breaks: these keys are promised.
#[test]
fn promised_keys_are_there() {
    let document = document();
    has_keys(
        &document,
        &[
            "format",
            "made_by",
            "seed",
            "input_sha256",
            "slot_minutes",
            "start",
            "end",
            "finish",
            "bound",
            "gap_hours",
            "proof",
            "late",
            "cut_by",
            "aims",
            "plan_no",
            "based_on",
            "readings",
            "not_checkable_before",
            "shortfalls",
            "milestones",
            "people",
            "tasks",
            "watches",
            "duties",
            "days",
            "machinery",
            "reserve",
            "findings",
        ],
    );
    has_keys(&document["aims"][0], &["aim", "value", "bound", "unit", "proof"]);
    has_keys(&document["milestones"][0], &["id", "due", "met_at"]);
    has_keys(&document["people"][0], &["id", "stretches", "labour_hours", "overtime_hours", "watch_hours", "rest"]);
    has_keys(&document["people"][0]["stretches"][0], &["from", "to", "kind", "ref"]);
    has_keys(
        &document["people"][0]["rest"],
        &["rule_set", "least_24h", "least_24h_from", "best_two_24h", "longest_24h", "least_7d", "findings"],
    );
    has_keys(&document["tasks"][2], &["id", "spells", "start", "end", "labour_hours", "slack_hours"]);
    has_keys(&document["tasks"][2]["spells"][1], &["from", "to", "paused", "team", "tools"]);
    has_keys(&document["tasks"][2]["spells"][1]["paused"][0], &["from", "to"]);
    has_keys(&document["tasks"][2]["spells"][1]["team"][0], &["need", "person"]);
    has_keys(&document["watches"][0], &["post", "from", "to", "person"]);
    has_keys(&document["duties"][0], &["id", "from", "to", "people"]);
    has_keys(&document["days"][0], &["date", "labour_hours", "overtime_hours", "unbooked_hours", "by_person"]);
    has_keys(&document["machinery"][0], &["group", "from", "to", "able", "needed", "out"]);
    has_keys(&document["reserve"][0], &["from", "to", "kind", "callable"]);
}

/// If this fails, values of the head are of the wrong kind or spelt otherwise than promised.
#[test]
fn head_is_as_promised() {
    let document = document();
    assert_eq!(document["format"], "turnto-plan/1");
    assert!(document["made_by"].as_str().expect("text").starts_with("turnto "));
    assert_eq!(document["slot_minutes"], 30);
    assert_eq!(document["start"], "2027-03-01T08:00:00+03:00");
    assert_eq!(document["finish"], "2027-03-03T17:30:00+03:00");
    assert_eq!(document["bound"], "2027-03-03T17:00:00+03:00");
    assert_eq!(document["gap_hours"], 0.5);
    assert_eq!(document["proof"], "gap");
    assert_eq!(document["late"], false);
    assert_eq!(document["cut_by"], "none");
    assert_eq!(document["based_on"], Value::Null);
    assert_eq!(document["aims"][2]["value"], 1.0);
    assert_eq!(document["aims"][2]["bound"], 0.5);
    assert_eq!(document["aims"][2]["unit"], "h");
    assert_eq!(document["aims"][2]["proof"], "gap");
    assert_eq!(document["aims"][0]["proof"], "proven");
    assert!(document["readings"]["stcw-mlc-rest"].is_object());
    // 4.5 h x 3 people; the second part is paused by lunch.
    assert_eq!(document["tasks"][2]["labour_hours"], 13.5);
    assert_eq!(document["tasks"][2]["spells"][1]["paused"][0]["from"], "2027-03-01T12:00:00+03:00");
    assert_eq!(document["tasks"][2]["spells"][1]["part"], 2);
    // The soaking tank is held from the task that fills it to the one that empties it.
    assert_eq!(document["tasks"][3]["spells"][0]["tools"], serde_json::json!(["SOAK"]));
    assert_eq!(document["tasks"][7]["spells"][0]["team"], serde_json::json!([]));
    assert_eq!(document["days"][2]["by_person"]["2E"], 4.0);
}

/// If this fails, keys come in another order from run to run or version to version.
#[test]
fn keys_keep_their_order() {
    let text = of_ship(plan_json);
    let order = ["\"format\"", "\"made_by\"", "\"seed\"", "\"start\"", "\"finish\"", "\"people\"", "\"tasks\"", "\"watches\"", "\"days\""];
    let places: Vec<usize> = order.iter().map(|key| text.find(&format!("\n  {key}")).expect(key)).collect();
    assert!(places.is_sorted(), "{places:?}");
    assert_eq!(text, of_ship(plan_json));
}

/// If this fails, a reader of the types loses or changes something.
#[test]
fn types_read_what_they_write() {
    let text = of_ship(plan_json);
    let file: wire::PlanFile = serde_json::from_str(&text).expect("the types read it");
    assert_eq!(serde_json::to_string_pretty(&file).expect("it can be written") + "\n", text);
}

/// If this fails, somebody is in two places at once in the document, or nowhere.
#[test]
fn stretches_cover_the_plan() {
    let document = document();
    for person in document["people"].as_array().expect("a list") {
        let stretches = person["stretches"].as_array().expect("a list");
        assert_eq!(stretches[0]["from"], document["start"]);
        assert_eq!(stretches[stretches.len() - 1]["to"], document["end"]);
        for pair in stretches.windows(2) {
            assert_eq!(pair[0]["to"], pair[1]["from"], "{}", person["id"]);
        }
        for stretch in stretches {
            let kind = stretch["kind"].as_str().expect("text");
            assert_eq!(stretch.get("on_hand").is_some(), kind == "break");
            assert_eq!(stretch["ref"].is_string(), matches!(kind, "task" | "watch" | "duty"), "{stretch}");
        }
    }
}

/// If this fails, a watch is cut by the end of the plan, or watches after it are counted in it.
#[test]
fn watches_are_whole_and_open_ones_after_the_end_stand_apart() {
    let mut parts = ship::parts();
    let open: Vec<_> = parts.turns.pairs().filter(|(_, t)| t.span.start() >= parts.end).map(|(id, _)| id).take(2).collect();
    for turn in &open {
        let Stand::Fixed(person) = parts.turns[*turn].stand else { continue };
        parts.turns[*turn].stand = Stand::Open(vec![person, id(ship::CE)]);
    }
    let problem = Problem::new(parts).expect("it hangs together");
    let text = of(&problem, ship::plan(&problem), &ship::solved(), plan_json);
    let document: Value = serde_json::from_str(&text).expect("it is JSON");
    // Three days of four turns, less the two before 08:00 of day 1, of which the second is cut by the start.
    assert_eq!(document["watches"].as_array().expect("a list").len(), 11);
    assert_eq!(document["watches_after_end"].as_array().expect("a list").len(), open.len());
    assert_eq!(document["watches"][10]["to"], "2027-03-04T00:00:00+03:00");
    assert!(open.iter().all(|t| t.index() > 10));
}
