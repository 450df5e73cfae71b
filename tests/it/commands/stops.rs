//! `turnto stops` as a user runs it.

use serde_json::Value;

use super::Scratch;

/// If this fails, nobody hears how long closing up takes, or the screen does not hold it.
#[test]
fn stop_points_fit_one_screen_and_touch_nothing() {
    let job = Scratch::planned();
    let ran = job.run(&["stops", "job", "--now", "day 2 20:00", "--quiet"]);
    assert!(matches!(ran.code, Some(0 | 1)), "{}", ran.err);
    assert!(ran.out.lines().all(|l| l.chars().count() <= 80), "{}", ran.out);
    assert!(ran.out.lines().count() <= 36, "{}", ran.out);
    assert!(
        ran.out.contains("From day 2 20:00: closed up day ") && ran.out.contains("Not to be interrupted day 2 20:00 to day 3 08:00"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("CE alone holds AUTH") && ran.out.contains("turnto without"), "{}", ran.out);
    assert_eq!(job.names("job/plan"), ["001", "latest"]);
}

/// If this fails, the document and the plan say different things, or figures contradict each other.
#[test]
fn the_document_agrees_with_the_plan() {
    let job = Scratch::planned();
    let plan: Value = serde_json::from_str(&job.read("job/plan/001/plan.json")).unwrap();
    let ran = job.run(&["stops", "job", "--json", "--quiet", "--now", "day 4 23:00"]);
    let sheet: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!((&sheet["format"], &sheet["going_on"]), (&"turnto-stops/1".into(), &plan["finish"]));
    let rows = sheet["rows"].as_array().unwrap();
    assert!(rows.len() >= 9, "two a day: {}", rows.len());
    for row in rows.iter().filter(|row| row["closed_up"].is_object()) {
        let text = |value: &Value| value.as_str().unwrap().to_owned();
        let closed = &row["closed_up"];
        // All have the same offset, so their order as text is that in time.
        assert!(text(&closed["at"]) > text(&row["from"]) && text(&closed["at"]) >= text(&closed["not_before"]), "{row}");
        assert_eq!(closed["quicker"], Value::Bool(text(&closed["at"]) < text(&sheet["going_on"])), "{row}");
        assert!(closed["tasks"].as_u64().unwrap() > 0);
    }
    let last = sheet["no_quicker_from"].as_str().unwrap();
    assert!(rows.iter().filter(|r| r["from"].as_str().unwrap() >= last).all(|r| r["closed_up"]["quicker"] != Value::Bool(true)));
    let late = ["stops", "job", "--json", "--quiet", "--now", "day 7 23:00"];
    assert_eq!(job.run(&late).out, job.run(&late).out, "the same files, the same answer");
}

/// If this fails, a job in which nothing is taken out, or a wrong time, is answered with a fault or with nonsense.
#[test]
fn what_cannot_be_closed_up_is_said_in_words() {
    let scratch = Scratch::new();
    scratch.copy("demo-crew", "job");
    let ran = scratch.run(&["stops", "job"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("`turnto plan` makes one"), "{}", ran.err);
    scratch.copy("examples/fire-watch", "fire");
    assert!(matches!(scratch.run(&["plan", "fire", "--time-limit", "1"]).code, Some(0 | 1)));
    let ran = scratch.run(&["stops", "fire"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("hands_back"), "{}", ran.err);
    let ran = Scratch::planned().run(&["stops", "job", "--now", "day 40 10:00"]);
    assert_eq!(ran.code, Some(2));
}
