//! `turnto replan` and `turnto options` as a user runs them.

use std::fs;

use serde_json::Value;

use super::Scratch;

fn breakdown(scratch: &Scratch, name: &str) {
    let log = crate::source::top().join("examples/breakdowns").join(name).join("log.toml");
    fs::copy(log, scratch.path("job/log.toml")).unwrap();
}

fn document(scratch: &Scratch, name: &str) -> Value {
    serde_json::from_str(&scratch.read(name)).unwrap()
}

/// If this fails, people are given a new list although nothing has happened.
#[test]
fn with_nothing_logged_no_plan_is_written() {
    let job = Scratch::planned();
    let late = document(&job, "job/plan/001/plan.json")["late"] == Value::Bool(true);
    let ran = job.run(&["replan", "job", "--now", "day 4 14:20", "--time-limit", "1"]);
    if late {
        // A date that is missed may be met better, so it is looked for.
        assert!(matches!(ran.code, Some(0 | 1)), "{}", ran.err);
    } else {
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        assert!(ran.out.starts_with("Plan 001 stands unchanged"), "{}", ran.out);
        assert_eq!(job.names("job/plan"), ["001", "latest"]);
    }
}

/// The small job with its plan and one entry in its log: the time first, then the words.
fn told(entry: &[&str]) -> Scratch {
    let job = Scratch::small();
    let log = job.run(&[&["log", "job", "--at"], entry].concat());
    assert_eq!(log.code, Some(0), "{}", log.err);
    job
}

/// If this fails, people get a new list, or wait for a search, for the sake of a date that cannot be met anyway, or are not
/// told that it cannot.
#[test]
fn a_date_that_cannot_be_met_is_no_reason_for_another_plan() {
    let job = told(&["day 1 09:00", "due", "pump-back", "to=day 1 12:00"]);
    let ran = job.run(&["replan", "job", "--now", "day 1 09:00"]);
    assert_eq!((ran.code, ran.err.contains("once more")), (Some(1), false), "{}", ran.err);
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("LATE; proven: it cannot be met earlier (longest chain"), "{}", ran.out);
    assert!(text.contains("Nobody's work changes."), "{}", ran.out);
    let plans = ran.err.lines().filter(|line| line.contains("  plan ")).count();
    assert_eq!(plans, 0, "nothing is searched for: {}", ran.err);
}

/// If this fails, who is out on a call goes on with his task on the list, and is said to be kept by the task and not by the call.
#[test]
fn a_call_that_is_not_over_is_planned_around() {
    let job = told(&["day 2 07:00", "call", "FT", "to=day 2 11:00"]);
    let ran = job.run(&["replan", "job", "--now", "day 2 08:00", "--time-limit", "2"]);
    assert!(matches!(ran.code, Some(0 | 1)), "{}{}", ran.out, ran.err);
    assert!(!ran.out.contains("Nobody's work changes"), "{}", ran.out);
    let plan = document(&job, "job/plan/002/plan.json");
    let starts: Vec<&str> =
        plan["tasks"].as_array().unwrap().iter().filter(|t| t["id"] == "T5").filter_map(|t| t["start"].as_str()).collect();
    assert!(starts.len() == 1 && starts[0] >= "2027-06-08T11:00", "{starts:?}");
    let ran = job.run(&["call", "job", "--at", "day 2 09:00"]);
    let text = ran.out.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("recorded call-out till 11:00"), "{}", ran.out);
}

/// If this fails, whoever is at work half an hour longer, for it was begun half an hour late, is not told so, or is told only
/// that it goes on as told; or what comes after it is said to make room for something.
#[test]
fn what_was_begun_late_is_over_later_and_that_is_said() {
    let job = told(&["day 1 10:00", "started", "T3"]);
    let ran = job.run(&["replan", "job", "--now", "day 1 11:00"]);
    let text = ran.out.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("T3 until day 1 13:30 -> day 1 14:00: T3 started"), "{}", ran.out);
    assert!(text.contains("T4 day 1 13:30 -> day 1 14:00: comes after T3, which ends later"), "{}", ran.out);
    assert!(text.contains("FT Fitter day 1 13:30-14:00 free -> T3"), "{}", ran.out);
}

/// If this fails, who is called to a duty that the log moves is not told when it is now; or one that goes on as told is said to
/// be moved.
#[test]
fn a_duty_that_is_moved_is_said_with_those_it_calls() {
    let job = Scratch::new();
    assert_eq!(job.run(&["new", "job", "--quiet"]).code, Some(0));
    let duty = |name: &str, when: &str| format!("[duty.{name}]\nwhen = \"{when}\"\nwho = \"3E\"\nmay_be_left = true\n");
    job.write("job/duties.toml", duty("visit", "day 2 15:00-16:00") + &duty("round", "day 1 10:00-11:30"));
    assert!(matches!(job.run(&["plan", "job", "--quiet"]).code, Some(0 | 1)));
    let log = job.run(&["log", "job", "--at", "day 1 10:30", "moved", "visit", "to=day 3 09:00"]);
    assert_eq!(log.code, Some(0), "{}", log.err);
    let ran = job.run(&["replan", "job", "--now", "day 1 11:00", "--time-limit", "2"]);
    let text = ran.out.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("FOR WHOM") && text.contains("Duty visit: day 2 15:00 -> day 3 09:00; 3E"), "{}{}", ran.out, ran.err);
    assert!(!text.contains("Duty round"), "{}", ran.out);
}

/// If this fails, an entry that was taken out of the log after a plan was made with it is not missed.
#[test]
fn an_entry_that_was_taken_out_of_the_log_is_missed() {
    let job = told(&["day 2 07:00", "call", "FT", "to=day 2 11:00"]);
    let ran = job.run(&["replan", "job", "--now", "day 2 08:00", "--time-limit", "2"]);
    assert!(!ran.out.contains("the log has"), "{}", ran.out);
    job.write("job/log.toml", "");
    let ran = job.run(&["replan", "job", "--now", "day 2 08:30", "--time-limit", "2"]);
    let text = [ran.out, ran.err].concat().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Plan 002 was made with 1 log entry, and the log has 0: what was taken out"), "{text}");
}

/// If this fails, who can be called and who has rested is answered by a plan that does not know what was logged since, and
/// that is not said.
#[test]
fn a_plan_that_the_log_has_overtaken_is_said_to_be_behind_it() {
    let job = told(&["day 2 07:00", "note", "fuel tank changed over"]);
    let ran = job.run(&["rest", "job"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{}", ran.out);
    assert_eq!(job.run(&["log", "job", "--at", "day 2 07:00", "unfit", "FT", "until=day 2 12:00"]).code, Some(0));
    for args in [&["rest", "job"][..], &["rest", "job", "--of", "plan", "--json"], &["call", "job", "--at", "day 2 09:00"]] {
        let ran = job.run(args);
        let text = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(ran.code, Some(1), "{args:?}: {text}");
        assert!(text.contains("There is 1 log entry that plan 001 does not know, and it is not in this"), "{args:?}: {text}");
    }
    let ran = job.run(&["replan", "job", "--now", "day 2 08:00", "--time-limit", "2"]);
    assert!(matches!(ran.code, Some(0 | 1)), "{}{}", ran.out, ran.err);
    let ran = job.run(&["call", "job", "--at", "day 2 09:00"]);
    assert!(!ran.err.contains("does not know"), "{}", ran.err);
}

/// If this fails, a plan from the start of a job that has a log is not said to leave the log out.
#[test]
fn a_plan_from_the_start_says_that_it_leaves_the_log_out() {
    let job = told(&["day 2 07:00", "unfit", "FT"]);
    let said = "The log has 1 entry; planned from its start, the job is planned without it. `turnto replan` plans what is left.";
    for args in [&["plan", "job"][..], &["what-if", "job", "--first", "1"], &["watches", "job"]] {
        let ran = job.run(args);
        let text = [ran.out, ran.err].concat().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(said), "{args:?}: {text}");
    }
    let notes = document(&job, "job/plan/002/plan.json")["notes"].to_string();
    assert!(notes.contains("counts as what people were told"), "{notes}");
}

/// If this fails, the whole way from the log entry to the printed changes is broken somewhere.
#[test]
fn a_breakdown_is_planned_around_and_what_changed_is_said() {
    let job = Scratch::planned();
    breakdown(&job, "e3-g4-head");
    let first = job.read("job/plan/001/plan.json");
    let ran = job.run(&["replan", "job", "--now", "day 4 14:20", "--time-limit", "2"]);
    assert!(matches!(ran.code, Some(0 | 1)), "{}", ran.err);
    assert!(ran.out.contains("G4 out: water in exhaust") && ran.out.contains("WHY"), "{}", ran.out);
    assert!(ran.out.lines().all(|l| l.chars().count() <= 80), "{}", ran.out);
    assert_eq!(job.read("job/plan/001/plan.json"), first, "what was told is kept");
    let plan = document(&job, "job/plan/002/plan.json");
    assert_eq!((&plan["plan_no"], &plan["based_on"], &plan["log_entries"]), (&2.into(), &1.into(), &1.into()));
    assert!(plan["start"].as_str().unwrap().starts_with("2027-03-04T14:30"));
    let tasks: Vec<&str> = plan["tasks"].as_array().unwrap().iter().filter_map(|t| t["id"].as_str()).collect();
    assert!(tasks.contains(&"K07") && !tasks.contains(&"A01"), "the repair is in it, and what is done is not");
    let changes = document(&job, "job/plan/002/changes.json");
    assert_eq!(changes["in_place_of"], 1);
    assert!(changes["tasks"].as_array().unwrap().iter().any(|t| t["id"] == "K01" && t["reason"] == "new"));
    // The new plan is read back against what was left, and verified once more.
    let ran = job.run(&["check", "job", "--plan", "job/plan/002/plan.json"]);
    assert!(ran.out.contains("keeps all hard rules"), "{}{}", ran.out, ran.err);
    // And again from there.
    let log = job.run(&["log", "job", "--at", "day 5 09:00", "unfit", "EO", "until=day 6 08:00"]);
    assert_eq!(log.code, Some(0), "{}", log.err);
    let ran = job.run(&["replan", "job", "--now", "day 5 09:00", "--time-limit", "2"]);
    assert!(matches!(ran.code, Some(0 | 1)), "{}", ran.err);
    assert_eq!(document(&job, "job/plan/003/plan.json")["based_on"], 2);
}

/// If this fails, a time before the plan, a folder without a plan, or a job that is over is answered with a fault.
#[test]
fn what_cannot_be_replanned_is_said_in_words() {
    let scratch = Scratch::new();
    scratch.copy("demo-crew", "job");
    let ran = scratch.run(&["replan", "job", "--now", "day 4 14:20"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("`turnto plan` makes one"), "{}", ran.err);
    let job = Scratch::planned();
    let ran = job.run(&["replan", "job", "--now", "day 0 14:20"]);
    assert_eq!(ran.code, Some(2), "{}", ran.err);
    let ran = job.run(&["replan", "job", "--now", "soon"]);
    assert!(ran.err.contains("is not a time"), "{}", ran.err);
    assert_eq!(job.names("job/plan"), ["001", "latest"]);
}

/// If this fails, hours that are not known since an entry is missing are left out of account and plan without a word.
#[test]
fn what_was_stopped_and_is_done_is_asked_about_by_plan_and_account() {
    let job = told(&["day 1 10:00", "stopped", "T3"]);
    assert_eq!(job.run(&["log", "job", "--at", "day 1 12:00", "done", "T3"]).code, Some(0));
    let asked = "Task T3 was stopped at day 1 10:00 and done at day 1 12:00, and the log does not say when it was taken up again";
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let ran = job.run(&["account", "job", "--now", "day 1 12:00"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(words(&ran.err).contains(asked) && !ran.out.contains("Task T3"), "{}", ran.err);
    let ran = job.run(&["replan", "job", "--now", "day 1 12:00", "--time-limit", "1"]);
    assert!(matches!(ran.code, Some(0 | 1)) && words(&ran.out).contains(asked), "{}{}", ran.out, ran.err);
}

/// If this fails, hours are lost from the account, or what came out cannot be taken to the next job.
#[test]
fn the_account_adds_up_and_hours_that_came_out_can_be_laid_over_the_job() {
    let job = Scratch::planned();
    let plan = document(&job, "job/plan/001/plan.json");
    let end = |id: &str| plan["tasks"].as_array().unwrap().iter().find(|t| t["id"] == id).unwrap()["end"].as_str().unwrap().to_owned();
    let done = end("A01");
    assert_eq!(job.run(&["log", "job", "done", "A01", "--at", &done[..16]]).code, Some(0));
    let ran = job.run(&["account", "job", "--now", "day 4 12:00"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let row = |name: &str| -> Vec<f64> {
        let line = ran.out.lines().find(|l| l.starts_with(name)).unwrap_or_else(|| panic!("{name}: {}", ran.out));
        line.split_whitespace().skip(1).take(3).map(|n| n.parse().unwrap_or(0.0)).collect()
    };
    let all = row("all ");
    // 328 labour hours typical: the scenario's own sum.
    assert!((all[0] - 328.0).abs() < 1e-9 && (all[1] + all[2] - 328.0).abs() < 1e-9, "{all:?}");
    assert!(ran.out.contains("1.00 times"), "{}", ran.out);
    // Phases go by the names the plan has for them.
    let phase = ran.out.lines().find(|l| l.starts_with("Dismantling ")).unwrap_or_else(|| panic!("{}", ran.out));
    assert!(!ran.out.contains("dismantle") && job.read("job/plan/001/days.txt").contains("\nDismantling "), "{phase}");
    let norms = job.run(&["norms", "job", "--now", "day 4 12:00"]);
    assert!(norms.out.contains("[tasks.task.\"A01\"]\nhours = [1.00, 1.50, 2.00]"), "{}", norms.out);
    job.write("option/own.toml", &norms.out);
    let ran = job.run(&["options", "job", "--with", "option", "--time-limit", "1"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
}

/// If this fails, nobody hears who cannot be spared.
#[test]
fn who_alone_can_do_something_is_named_and_planned_without() {
    let job = Scratch::planned();
    let ran = job.run(&["without", "job", "--now", "day 4 12:00", "--time-limit", "1"]);
    assert!(ran.out.contains("EO alone holds ELE") && ran.out.contains("no EO for 48 h"), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("No legal plan, proved"), "without an electrician for good nothing is closed: {}", ran.out);
    assert_eq!(job.names("job/plan"), ["001", "latest"]);
}

/// If this fails, somebody who stands watches alone is counted among those who could do a task in place of another.
#[test]
fn who_has_no_hours_for_the_job_can_spare_nobody() {
    let job = Scratch::new();
    assert_eq!(job.run(&["new", "job", "--quiet"]).code, Some(0));
    let third = "can   = \"OOW, GEN\"\nhours = \"08:00-12:00, 13:00-17:00\"";
    let crew = job.read("job/crew.toml").replace(third, "can   = \"LEAD, OOW, GEN\"").replace("\"FIT, GEN\"", "\"FIT, GEN, OOW\"");
    job.write("job/crew.toml", crew);
    assert_eq!(job.run(&["plan", "job", "--quiet"]).code, Some(0));
    let ran = job.run(&["without", "job", "--now", "day 1 08:00", "--time-limit", "1"]);
    assert!(ran.out.contains("2E alone holds LEAD and has hours for the job (3E has none); T1 T2 T6 still"), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("no 2E any more"), "{}", ran.out);
}

/// If this fails, a task is said to wait for somebody who is fit again when it begins, and not for what it comes after.
#[test]
fn who_is_fit_again_in_time_is_not_the_reason() {
    let job = Scratch::small();
    // Four hours more of T4 bring T5, eight hours after it, to day 3; the fitter is back on day 2.
    for entry in [&["found", "T4", "hours=4"][..], &["unfit", "FT", "until=day 2 10:00"]] {
        let ran = job.run(&[&["log", "job", "--at", "day 1 15:00"], entry].concat());
        assert_eq!(ran.code, Some(0), "{}", ran.err);
    }
    let ran = job.run(&["replan", "job", "--now", "day 1 15:00", "--quiet"]);
    assert!(ran.out.contains("comes after T4, which ends later"), "{}{}", ran.out, ran.err);
    assert!(!ran.out.contains("is not fit for it"), "{}", ran.out);
}

/// If this fails, a slip of the log that opens a task again is taken without a word, or what is done is said to be broken off.
#[test]
fn a_task_that_is_begun_after_it_was_done_is_doubted() {
    let job = Scratch::small();
    let log = |at: &str, entry: &[&str]| {
        let ran = job.run(&[&["log", "job", "--at", at], entry].concat());
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        ran.err
    };
    log("day 1 09:30", &["done", "T2"]);
    // T3 was meant.
    let said = log("day 1 09:30", &["started", "T2"]);
    assert!(said.contains("T2 is logged begun after it was done day 1 09:30"), "{said}");
    assert!(!log("day 1 09:30", &["started", "T3"]).contains("C603"));
    log("day 1 10:00", &["call", "2E", "to=day 1 12:00"]);
    let ran = job.run(&["replan", "job", "--now", "day 1 10:00", "--quiet"]);
    assert!(!ran.out.contains("T2 is broken off"), "{}{}", ran.out, ran.err);
}

/// If this fails, what cannot be had more of is offered all the same.
#[test]
fn what_cannot_be_had_is_not_offered() {
    let job = Scratch::new();
    assert_eq!(job.run(&["new", "job", "--quiet"]).code, Some(0));
    let ran = job.run(&["what-if", "job", "--first", "9", "--time-limit", "20"]);
    assert!(ran.out.contains("one more like") && !ran.out.contains("Cannot be"), "{}{}", ran.out, ran.err);
}

/// If this fails, options are not planned, are not told apart, or touch the folder.
#[test]
fn options_are_planned_side_by_side_and_touch_nothing() {
    let job = Scratch::planned();
    breakdown(&job, "e3-g4-head");
    job.write("option/short.toml", "title = \"short running-in\"\n[tasks.task.A59]\nhours = 4\n");
    job.write("option/wrong.toml", "title = \"no such person\"\n[tasks.task.A59]\nattended_by = \"XX\"\n");
    let before = job.names("job/plan");
    let ran = job.run(&["options", "job", "--now", "day 4 14:20", "--with", "option", "--time-limit", "1"]);
    assert_eq!(ran.code, Some(1), "one of them is wrong: {}", ran.err);
    assert!(ran.out.contains("as it is") && ran.out.contains("short running-in") && ran.out.contains("no post `XX`"), "{}", ran.out);
    assert!(ran.out.lines().all(|l| l.chars().count() <= 80), "{}", ran.out);
    // The mark stands under what it points at, as in any other message.
    let at = |what: &str| ran.out.lines().find_map(|l| l.find(what));
    assert_eq!(at("XX\""), at("^^ not"), "{}", ran.out);
    assert_eq!(job.names("job/plan"), before);
    job.write("bad.toml", "[taks.task.A59]\nhours = 4\n");
    let ran = job.run(&["options", "job", "--with", "bad.toml"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("option bad: `taks`"), "{}", ran.err);
}

/// If this fails, an entry that has not happened yet, or a task that is done before what it comes after, is taken or left
/// without a word.
#[test]
fn what_is_odd_about_the_log_is_said_when_planning_again() {
    let job = Scratch::small();
    for entry in [["day 1 09:00", "done", "T5"], ["day 3 09:00", "note", "paint came"]] {
        let ran = job.run(&["log", "job", "--at", entry[0], entry[1], entry[2]]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
    }
    let ran = job.run(&["replan", "job", "--now", "day 1 09:00", "--time-limit", "1"]);
    assert!(matches!(ran.code, Some(0 | 1)), "{}", ran.err);
    let text = job.read("job/plan/002/changes.txt").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("An entry of the log lies after day 1 09:00 and is left out: day 3 09:00 paint came."), "{text}");
    assert!(text.contains("T5 counts as done and comes after T4, which does not"), "{text}");
}

/// If this fails, an option that takes out a task others name, or that misspells one, points at files that are in order
/// and says nothing of itself.
#[test]
fn an_option_that_does_not_fit_the_job_is_pointed_at() {
    let job = Scratch::new();
    assert_eq!(job.run(&["new", "job", "--quiet"]).code, Some(0));
    for (option, words) in [
        ("drop = \"tasks.task.T2\"\n", "the option takes out `tasks.task.T2`, which the rest of the job may still name"),
        ("[tasks.task.T9]\nhours = 4\n", "the option names `tasks.task.T9`, which the job does not have"),
    ] {
        job.write("option.toml", option);
        let ran = job.run(&["options", "job", "--with", "option.toml", "--time-limit", "1"]);
        assert_eq!(ran.code, Some(1), "{}", ran.err);
        let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(words), "{}", ran.out);
    }
}

/// If this fails, the officer hears that nobody can stand the watches of somebody who was called out, and not how to have others
/// stand them; or what is advised does not help.
#[test]
fn a_call_that_leaves_a_watch_without_rest_says_how_it_is_relieved() {
    let scratch = Scratch::planned();
    assert_eq!(scratch.run(&["log", "job", "--at", "day 4 00:30", "call", "M2", "to=day 4 06:00", "--quiet"]).code, Some(0));
    let replan = ["replan", "job", "--now", "day 4 00:30", "--time-limit", "1", "--quiet"];
    let none = scratch.run(&replan);
    let words = none.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(none.code, Some(3), "{}", none.err);
    assert!(words.contains("M2, called out until day 4 06:00, has the watch WR at day 4 08:00."), "{}", none.err);
    assert!(words.contains("turnto log job --at \"day 4 00:30\" unfit M2 until=\"day 4 16:00\""), "{}", none.err);
    assert!(none.err.lines().all(|l| l.chars().count() <= 80), "{}", none.err);
    assert_eq!(scratch.run(&["log", "job", "--at", "day 4 00:30", "unfit", "M2", "until=day 4 16:00", "--quiet"]).code, Some(0));
    let found = scratch.run(&replan);
    assert!(matches!(found.code, Some(0 | 1)), "{}", found.err);
}

/// If this fails, who is put on a task without a word of the place is left in one that `different` bars them from by what they
/// have done since, and nothing can be planned any more although another place of the task is free for them.
#[test]
fn who_is_put_on_a_task_has_a_place_that_what_they_did_does_not_bar() {
    let job = Scratch::new();
    job.write(
        "job/job.toml",
        "ship = \"S\"\ntitle = \"t\"\nstart = \"2027-03-01T08:00\"\ndays = 2\nclock = \"UTC+0\"\n[hours]\nday = \"08:00-16:00\"\n\
         [rest]\nrecorded_from = \"2027-02-20T00:00\"\n",
    );
    let hand = |code: &str, can: &str| format!("[person.{code}]\nname = \"{code}\"\ncan = \"{can}\"\nhours = \"day\"\n");
    job.write("job/crew.toml", hand("A", "LEAD, OOW") + &hand("B", "LEAD") + &hand("C", "OOW") + &hand("D", "LEAD"));
    let tasks = "[task.T1]\ntext = \"first\"\nneeds = \"LEAD + OOW\"\nhours = 1\n\
                 [task.T2]\ntext = \"second\"\nneeds = \"LEAD + OOW\"\nhours = 1\nafter = \"T1\"\ndifferent = \"LEAD not from T1\"\n";
    job.write("job/tasks.toml", tasks);
    job.write(
        "job/pins.toml",
        "[[pin]]\ntask = \"T1\"\nby = \"B\"\n[[pin]]\ntask = \"T1\"\nby = \"C\"\n[[pin]]\ntask = \"T2\"\nnot = \"A\"\n",
    );
    assert!(matches!(job.run(&["plan", "job", "--quiet"]).code, Some(0 | 1)));
    // What was told is that B and C do the first, and that A is on neither; A did the first instead of C.
    let began = job.run(&["log", "job", "--at", "day 1 08:00", "started", "T1", "by=B,A"]);
    assert_eq!(began.code, Some(0), "{}", began.err);
    job.write("job/pins.toml", "[[pin]]\ntask = \"T2\"\nby = \"A\"\n");
    let ran = job.run(&["replan", "job", "--now", "day 1 09:00"]);
    assert!(matches!(ran.code, Some(0 | 1)), "{}{}", ran.out, ran.err);
    let plan = document(&job, "job/plan/002/plan.json");
    let second = plan["tasks"].as_array().unwrap().iter().find(|t| t["id"] == "T2").unwrap();
    let people: Vec<&str> = second["spells"][0]["team"].as_array().unwrap().iter().filter_map(|m| m["person"].as_str()).collect();
    assert_eq!(people, ["D", "A"]);
}
