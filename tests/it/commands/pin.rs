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

/// If this fails, a start at which nobody who may do the task can be at work is written or passes `check`, and the officer
/// hears of it only where there is no plan, without the times that would do.
#[test]
fn a_start_at_which_nobody_can_be_at_work_is_refused() {
    let job = job();
    let ran = job.run(&["pin", "job", "T4", "--at", "day 2 03:00"]);
    let said = |err: &str| err.split_whitespace().collect::<Vec<_>>().join(" ").replace("= help: ", "");
    assert_eq!((ran.code, job.path("job/pins.toml").exists()), (Some(2), false), "{}", ran.err);
    let words = said(&ran.err);
    assert!(words.contains("T4 cannot start day 2 03:00: nobody who may do it as GEN can be at work then"), "{}", ran.err);
    assert!(words.contains("then 2E is off, 3E is off, FT is off, OL is off"), "{}", ran.err);
    // The fitter may work to 19:00 in the evening.
    assert!(words.contains("the nearest times at which it could start: day 1 18:30 and day 2 08:00"), "{}", ran.err);
    assert_eq!(job.run(&["pin", "job", "T4", "--at", "day 1 18:30"]).code, Some(0));
    assert_eq!(job.run(&["unpin", "job", "--all", "--quiet"]).code, Some(0));
    // With somebody put on it, his hours count; what must go on in one piece has to end in them.
    let ran = job.run(&["pin", "job", "T4", "--by", "OL", "--at", "day 1 18:30"]);
    let words = said(&ran.err);
    assert!(ran.code == Some(2) && words.contains("could start with who is put on it: day 1 16:30 and day 2 08:00"), "{}", ran.err);
    let ran = job.run(&["pin", "job", "T2", "--at", "day 1 16:30"]);
    let words = said(&ran.err);
    assert!(ran.code == Some(2) && words.contains("for as long as it has to go on"), "{}", ran.err);
    assert!(words.contains("day 1 16:00 and day 2 08:00"), "{}", ran.err);
    // Away, at a duty, or without the tool; written by hand, and all of them at once.
    let crew = job.read("job/crew.toml");
    let away = |person: &str, crew: &str| {
        crew.replace(&format!("[person.{person}]\n"), &format!("[person.{person}]\naway = \"day 2 08:00 - day 2 18:00\"\n"))
    };
    job.write("job/crew.toml", away("FT", &away("2E", &crew)));
    job.write("job/duties.toml", "[duty.boat]\nname = \"Boat\"\nwhen = \"day 2 13:00-15:00\"\nwho = \"3E, OL\"\n");
    job.write("job/pins.toml", "[[pin]]\ntask = \"T4\"\nat = \"day 2 13:00\"\n[[pin]]\ntask = \"T5\"\nat = \"day 3 03:00\"\n");
    let both = job.run(&["check", "job"]);
    let words = said(&both.out);
    assert_eq!(both.code, Some(2));
    assert!(words.contains("2E is away, 3E is on watch or duty, FT is away, OL is on watch or duty"), "{}", both.out);
    assert!(words.contains("T4 cannot start day 2 13:00") && words.contains("T5 cannot start day 3 03:00"), "{}", both.out);
    job.write("job/crew.toml", &crew);
    job.write("job/tools.toml", "[tool]\nPRESS = \"press\"\nHOIST = { name = \"hoist\", away = \"day 2 08:00-12:00\" }\n");
    job.write("job/pins.toml", "[[pin]]\ntask = \"T3\"\nat = \"day 2 11:00\"\n");
    let words = said(&job.run(&["check", "job"]).out);
    assert!(words.contains("T3 cannot start day 2 11:00: HOIST is away then"), "{words}");
    // What was begun already is decided otherwise.
    job.write("job/log.toml", "[[entry]]\nat = \"day 1 09:00\"\nwhat = \"started\"\ntask = \"T3\"\n");
    let words = said(&job.run(&["check", "job"]).out);
    assert!(!words.contains("cannot start"), "{words}");
}

/// If this fails, what is under way when a plan is made anew is pinned to begin, whole, in the middle of itself.
#[test]
fn the_list_of_a_day_that_is_half_over_holds_what_has_not_begun() {
    let job = Scratch::small_replanned("day 1 10:30");
    assert!(task(&job, "T3")["start"].as_str().expect("a start").starts_with("2027-06-07T10:30"), "it goes on");
    let ran = job.run(&["pin", "job", "--hold", "1"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let pins = job.read("job/pins.toml");
    assert!(pins.contains("\"T4\"") && !pins.contains("\"T3\""), "{pins}");
}

/// If this fails, somebody is taken to be at a duty that the log has moved, and a start in its place is refused.
#[test]
fn a_start_in_place_of_a_moved_duty_is_taken() {
    let job = Scratch::new();
    assert_eq!(job.run(&["new", "job", "--quiet"]).code, Some(0));
    job.write("job/duties.toml", "[duty.boat]\nname = \"Boat\"\nwhen = \"day 2 13:00-15:00\"\nwho = \"all\"\n");
    let pin = ["pin", "job", "T4", "--at", "day 2 13:00", "--quiet"];
    assert_eq!(job.run(&pin).code, Some(2));
    assert_eq!(job.run(&["log", "job", "--at", "day 1 09:00", "moved", "boat", "to=day 2 08:00", "--quiet"]).code, Some(0));
    assert_eq!(job.run(&pin).code, Some(0));
}
