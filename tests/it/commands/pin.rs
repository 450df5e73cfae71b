//! `turnto pin` and `turnto unpin`: what the officer decides is planned with, and taken back without a trace.

use serde_json::Value;

use super::Scratch;

fn job() -> Scratch {
    let scratch = Scratch::new();
    assert_eq!(scratch.run(&["new", "job"]).code, Some(0));
    scratch
}

/// The newest plan's task of this code.
fn task(scratch: &Scratch, code: &str) -> Value {
    let latest = scratch.read("job/plan/latest");
    let plan: Value = serde_json::from_str(&scratch.read(&format!("job/plan/{}/plan.json", latest.trim()))).expect("it is JSON");
    plan["tasks"].as_array().expect("tasks").iter().find(|t| t["id"] == code).expect("the task is planned").clone()
}

fn people(task: &Value) -> Vec<String> {
    let spells = task["spells"].as_array().expect("spells");
    let team = spells.iter().flat_map(|s| s["team"].as_array().expect("a team").clone());
    team.map(|t| t["person"].as_str().expect("a person").to_owned()).collect()
}

/// If this fails, a decision is not kept by the plan, or a plan that keeps it is not told from one that does not.
#[test]
fn what_is_decided_is_planned_and_taken_back() {
    let job = job();
    assert_eq!(job.run(&["plan", "job", "--quiet"]).code, Some(0));
    let free = task(&job, "T4");
    let who = people(&free).pop().expect("somebody");
    job.write("job/pins.toml", "# mine\n");
    for pin in [&["--not", &who, "--at", "day 3 10:00"][..], &["--by", if who == "OL" { "FT" } else { "OL" }]] {
        let ran = job.run(&[&["pin", "job", "T4"], pin].concat());
        assert_eq!((ran.code, ran.out.as_str()), (Some(0), ""), "{}", ran.err);
    }
    assert!(job.read("job/pins.toml").starts_with("# mine\n\n[[pin]]\n"), "{}", job.read("job/pins.toml"));
    // What is decided may make the job late, which the exit code says.
    assert!(matches!(job.run(&["plan", "job", "--quiet"]).code, Some(0 | 1)));
    let pinned = task(&job, "T4");
    assert!(pinned["start"].as_str().expect("a start").starts_with("2027-06-09T10:00"), "{pinned}");
    assert!(!people(&pinned).contains(&who), "{pinned}");
    // The plan made before keeps none of that.
    let other = job.run(&["check", "job", "--plan", "job/plan/001"]);
    assert_eq!(other.code, Some(1), "{}{}", other.out, other.err);
    let ran = job.run(&["unpin", "job", "T4"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert_eq!(job.read("job/pins.toml").trim(), "# mine");
    assert_eq!(job.run(&["unpin", "job", "T4"]).code, Some(2), "there is nothing left to take back");
}

/// If this fails, a slip gets into the file, or the officer is not told what is wrong with it.
#[test]
fn an_unsound_decision_is_refused_and_nothing_is_written() {
    let job = job();
    for pin in [&["T9", "--by", "FT"][..], &["T1", "--by", "OL"], &["T1", "--at", "day 1 08:10"], &["T1"]] {
        let ran = job.run(&[&["pin", "job"], pin].concat());
        assert_eq!(ran.code, Some(2), "{pin:?}: {}", ran.err);
    }
    assert!(!job.path("job/pins.toml").exists());
}

/// If this fails, a decision that no plan can keep is written, and the officer hears of it only from `plan`.
#[test]
fn a_decision_that_no_plan_can_keep_is_refused() {
    let job = job();
    // The third engineer has the evening rounds alone.
    let crew = job.read("job/crew.toml").replace("can   = \"OOW, GEN\"\nhours = \"08:00-12:00, 13:00-17:00\"", "can   = \"OOW, GEN\"");
    job.write("job/crew.toml", crew);
    let ran = job.run(&["pin", "job", "T6", "--by", "3E"]);
    assert!(ran.code == Some(2) && ran.err.contains("3E has no hours for T6"), "{}", ran.err);
    // T5 comes after T4 and a wait of eight hours.
    assert_eq!(job.run(&["pin", "job", "T4", "--at", "day 2 08:00"]).code, Some(0));
    let ran = job.run(&["pin", "job", "T5", "--at", "day 2 14:00"]);
    assert!(ran.code == Some(2) && ran.err.contains("T5 is to start before T4 and what lies between can be done"), "{}", ran.err);
    assert!(ran.err.contains("not before day 2 16:30"), "{}", ran.err);
    assert_eq!(job.run(&["pin", "job", "T5", "--at", "day 3 08:00"]).code, Some(0));
}

/// If this fails, a day's list cannot be held: the plan made again does something else that day.
#[test]
fn a_days_list_is_held() {
    let job = job();
    assert_eq!(job.run(&["plan", "job", "--quiet"]).code, Some(0));
    let before = task(&job, "T2");
    let ran = job.run(&["pin", "job", "--hold", "1"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert_eq!(job.run(&["plan", "job", "--quiet", "--seed", "3"]).code, Some(0));
    let after = task(&job, "T2");
    assert_eq!((&after["spells"], &after["labour_hours"]), (&before["spells"], &before["labour_hours"]));
    assert_eq!(after["slack_hours"], 0.0, "what is held has no slack");
    assert_eq!(job.run(&["pin", "job", "--hold", "99"]).code, Some(2));
    let before = job.read("job/pins.toml");
    let again = job.run(&["pin", "job", "--hold", "day 1"]);
    assert_eq!(again.code, Some(0), "{}", again.err);
    assert!(again.err.contains("decided in job/pins.toml already"), "{}", again.err);
    assert_eq!(job.read("job/pins.toml"), before);
    let odd = job.run(&["pin", "job", "--hold", "tomorrow"]);
    assert_eq!(odd.code, Some(2));
    assert!(odd.err.contains("write the day of the job: 3, or \"day 3\""), "{}", odd.err);
}

/// If this fails, the officer is not told that it is his own decision that leaves no plan.
#[test]
fn a_pin_that_leaves_no_plan_is_named() {
    let job = job();
    // T3 comes after T2, which cannot be done before it in half an hour.
    assert_eq!(job.run(&["pin", "job", "T3", "--at", "day 1 08:00"]).code, Some(0));
    let ran = job.run(&["plan", "job", "--quiet"]);
    assert_eq!(ran.code, Some(3), "{}", ran.err);
    assert!(ran.err.contains("without what is decided about T3"), "{}", ran.err);
}

/// If this fails, the officer is not told what his decisions cost, each by itself, or telling him writes something.
#[test]
fn what_a_pin_costs_is_told() {
    let job = job();
    assert_eq!(job.run(&["pin", "job", "--cost"]).code, Some(2), "there is no pin yet");
    assert_eq!(job.run(&["pin", "job", "T4", "--at", "day 3 10:00"]).code, Some(0));
    assert_eq!(job.run(&["pin", "job", "T1", "--by", "FT"]).code, Some(0));
    let before = job.names("job");
    let ran = job.run(&["pin", "job", "--cost", "--quiet"]);
    assert_eq!((ran.code, job.names("job")), (Some(0), before), "{}", ran.err);
    let parts: Vec<&str> = ran.out.split("without ").skip(1).collect();
    assert_eq!(parts.len(), 4, "two pins, all of them, and the note: {}", ran.out);
    assert!(parts[0].starts_with("the pin: T4 at day 3 10:00") && parts[0].contains("48 h earlier"), "{}", ran.out);
    assert!(parts[1].starts_with("the pin: T1 by FT") && parts[1].contains("unchanged"), "{}", ran.out);
    assert!(parts[2].starts_with("any pin") && parts[2].contains("48 h earlier"), "{}", ran.out);
    let one = job.run(&["pin", "job", "T1", "--cost", "--quiet"]);
    assert!(one.out.contains("T1 by FT") && !one.out.contains("T4 at"), "{}", one.out);
    // Whoever plans with pins is told where to ask.
    assert!(job.run(&["plan", "job"]).err.contains("--cost"));
    // A pin that leaves no plan is planned without all the same.
    assert_eq!(job.run(&["unpin", "job", "--all"]).code, Some(0));
    assert_eq!(job.run(&["pin", "job", "T3", "--at", "day 1 08:00"]).code, Some(0));
    let none = job.run(&["pin", "job", "--cost", "--quiet"]);
    assert_eq!(none.code, Some(3), "{}", none.out);
    assert!(none.out.contains("without the pin: T3 at day 1 08:00") && none.out.contains("Job: finish day 2"), "{}", none.out);
}

/// If this fails, a decision that is made twice stands twice, and has to be taken back twice as a look at the file says.
#[test]
fn a_decision_stands_once() {
    let job = job();
    assert_eq!(job.run(&["pin", "job", "T4", "--by", "OL", "--why", "his pump"]).code, Some(0));
    let before = job.read("job/pins.toml");
    let again = job.run(&["pin", "job", "T4", "--by", "OL"]);
    assert_eq!((again.code, job.read("job/pins.toml")), (Some(0), before.clone()), "{}", again.err);
    assert!(again.err.contains("nothing was written"), "{}", again.err);
    assert_eq!(job.run(&["pin", "job", "T4", "--not", "FT"]).code, Some(0));
    assert!(job.read("job/pins.toml").starts_with(&before) && job.read("job/pins.toml") != before);
}
