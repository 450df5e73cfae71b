//! `turnto plan`: streams, exit codes, and what is left in the folder.

use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::process::{Child, Command, Stdio};

use snapbox::{assert_data_eq, str};

use super::{Ran, Scratch};

const FILES: [&str; 7] = ["days.txt", "people.csv", "plan.json", "rest.csv", "tasks.csv", "totals.csv", "watches.csv"];

/// A scratch folder with the small job of `turnto new` in `job`.
fn small() -> Scratch {
    let scratch = Scratch::new();
    assert_eq!(scratch.run(&["new", "job", "--quiet"]).code, Some(0));
    scratch
}

/// If this fails, the main job does not do what the README says: plan, print, write, and say where.
#[test]
fn a_plan_is_printed_and_written() {
    let scratch = small();
    let before = scratch.names("job");
    let ran = scratch.run(&["plan", "job"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    assert_eq!(scratch.names("job/plan"), ["001", "latest"]);
    assert_eq!(scratch.names("job/plan/001"), FILES);
    assert_eq!(scratch.read("job/plan/latest"), "001\n");
    assert_eq!(ran.out, scratch.read("job/plan/001/days.txt"));
    assert!(ran.out.lines().all(|l| l.chars().count() <= 80), "the daily plan fits 80 columns");
    assert!(ran.err.ends_with("wrote job/plan/001\n"), "{}", ran.err);
    let after: Vec<String> = scratch.names("job").into_iter().filter(|n| n != "plan").collect();
    assert_eq!(after, before, "nothing else is touched");
}

/// If this fails, the same files and seed do not give the same plan, or an earlier plan is overwritten.
#[test]
fn the_same_job_gives_the_same_plan_again() {
    let scratch = small();
    for _ in 0..2 {
        assert_eq!(scratch.run(&["plan", "job", "--seed", "7"]).code, Some(0));
    }
    assert_eq!(scratch.names("job/plan"), ["001", "002", "latest"]);
    assert_eq!(scratch.read("job/plan/latest"), "002\n");
    for file in FILES.iter().filter(|f| **f != "plan.json" && **f != "days.txt") {
        assert_eq!(scratch.read(&format!("job/plan/001/{file}")), scratch.read(&format!("job/plan/002/{file}")), "{file}");
    }
    let json = |n| scratch.read(&format!("job/plan/00{n}/plan.json"));
    assert_eq!(json(1).replace("\"plan_no\": 1", "\"plan_no\": 2"), json(2));
}

/// If this fails, threads or patience cannot be chosen, or the number of threads changes the plan.
#[test]
fn threads_and_effort_can_be_chosen() {
    let scratch = small();
    for args in [["--threads", "1"], ["--threads", "3"]] {
        assert_eq!(scratch.run(&[&["plan", "job"], &args[..]].concat()).code, Some(0));
    }
    let json = |n| scratch.read(&format!("job/plan/00{n}/plan.json"));
    assert_eq!(json(1).replace("\"plan_no\": 1", "\"plan_no\": 2"), json(2));
    assert_eq!(scratch.run(&["plan", "job", "--effort", "2"]).code, Some(0));
    for wrong in [["--effort", "0"], ["--threads", "0"], ["--effort", "more"]] {
        let ran = scratch.run(&[&["plan", "job"], &wrong[..]].concat());
        assert_eq!(ran.code, Some(2), "{wrong:?}");
        assert!(ran.err.contains(wrong[0]), "{}", ran.err);
    }
    assert_eq!(scratch.names("job/plan").len(), 4, "three plans, and which is the latest");
}

/// If this fails, a program that reads `turnto plan --json` gets something that is not one JSON document.
#[test]
fn json_is_all_there_is_on_standard_output() {
    let scratch = small();
    let ran = scratch.run(&["plan", "job", "--json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert_eq!(ran.out, scratch.read("job/plan/001/plan.json"));
    let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(value["format"], "turnto-plan/1");
    assert_eq!(value["plan_no"], 1);
    assert_eq!(value["input_sha256"].as_str().map(str::len), Some(64));
    let quiet = scratch.run(&["plan", "job", "--json", "--quiet"]);
    assert_eq!((quiet.code, quiet.err.as_str()), (Some(0), ""));
}

/// If this fails, the fingerprint in a plan is not over the files that it was made from. It is worked out here
/// again from its description in the README.
#[test]
fn the_fingerprint_is_that_of_the_folder() {
    use sha2::{Digest, Sha256};
    let scratch = small();
    scratch.write("job/notes.txt", "not a job file");
    let mut hash = Sha256::new();
    for name in scratch.names("job").into_iter().filter(|n| n != "notes.txt") {
        let bytes = fs::read(scratch.path("job").join(&name)).unwrap();
        hash.update(format!("{name}\n{}\n", bytes.len()));
        hash.update(&bytes);
    }
    let expected: Vec<String> = hash.finalize().iter().map(|b| format!("{b:02x}")).collect();
    let ran = scratch.run(&["plan", "job", "--json"]);
    let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(value["input_sha256"], expected.concat());
}

/// If this fails, a plan that turnto wrote does not pass its own check, or `latest` cannot be followed to it.
#[test]
fn a_plan_passes_its_own_check() {
    let scratch = small();
    assert_eq!(scratch.run(&["plan", "job"]).code, Some(0));
    for file in ["job/plan/001/plan.json", "job/plan/001"] {
        let ran = scratch.run(&["check", "job", "--plan", file]);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{}", ran.out);
        assert!(ran.out.contains("job/plan/001/plan.json: keeps all hard rules; finish day "), "{}", ran.out);
    }
}

/// If this fails, a plan that was edited by hand into one that breaks a rule is passed, or the breach is not named.
/// The edit gives a task to somebody who cannot do it.
#[test]
fn a_plan_edited_by_hand_is_judged() {
    let scratch = small();
    assert_eq!(scratch.run(&["plan", "job"]).code, Some(0));
    let mut value: serde_json::Value = serde_json::from_str(&scratch.read("job/plan/001/plan.json")).unwrap();
    let spells = value["tasks"].as_array().unwrap().iter().map(|t| t["spells"].as_array().unwrap().len()).sum::<usize>();
    assert!(spells > 0);
    value["tasks"][0]["spells"].as_array_mut().unwrap().clear();
    scratch.write("edited.json", serde_json::to_string(&value).unwrap());
    let ran = scratch.run(&["check", "job", "--plan", "edited.json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(1), ""), "{}", ran.out);
    assert!(ran.out.contains("rule 4: ") && ran.out.ends_with("edited.json: breaks hard rules in 1 place\n"), "{}", ran.out);
}

/// If this fails, a plan file that is not one is not told from a plan that breaks a rule.
#[test]
fn a_plan_file_that_is_none_is_a_wrong_file() {
    let scratch = small();
    scratch.write("not.json", "{\"format\": ");
    scratch.write("other.json", "{\"format\": \"something/1\"}");
    for (file, said) in [("not.json", "not.json: line 1, column 11: this is not JSON"), ("other.json", "other.json: format: ")] {
        let ran = scratch.run(&["check", "job", "--plan", file]);
        assert_eq!((ran.code, ran.err.as_str()), (Some(2), ""), "{}", ran.out);
        assert!(ran.out.contains(said), "{}", ran.out);
    }
    let ran = scratch.run(&["check", "job", "--plan", "none.json"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert_eq!(ran.err, "could not read none.json: there is no such file or folder\n");
}

/// If this fails, a folder that cannot be written is found out only after the search, or the error hides what to
/// mend. A file named `plan` stands in for it, as the super-user may write anywhere.
#[test]
fn a_folder_that_cannot_be_written_says_so_first() {
    let scratch = small();
    scratch.write("job/plan", "mine");
    let ran = scratch.run(&["plan", "job"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(4), ""));
    assert_eq!(ran.err, "could not write to job/plan: it is, or lies in, something that is not a folder\n");
    assert_eq!(scratch.read("job/plan"), "mine");
}

/// If this fails, a read-only folder ends in anything but one line and exit 4, or is changed. The super-user is not
/// bound by permissions, so for that user there is nothing to see.
#[cfg(unix)]
#[test]
fn a_read_only_folder_is_left_alone() {
    use std::os::unix::fs::PermissionsExt;
    let scratch = small();
    let job = scratch.path("job");
    fs::set_permissions(&job, fs::Permissions::from_mode(0o555)).unwrap();
    let bound = fs::write(job.join("probe"), "").is_err();
    let ran = bound.then(|| scratch.run(&["plan", "job"]));
    fs::set_permissions(&job, fs::Permissions::from_mode(0o755)).unwrap();
    if let Some(ran) = ran {
        assert_eq!((ran.code, ran.out.as_str()), (Some(4), ""));
        assert_eq!(ran.err, "could not make job/plan: the system does not allow it\n");
        assert!(!job.join("plan").exists());
    }
}

/// If this fails, a reader that closes the pipe loses the plan or sees an error.
#[cfg(unix)]
#[test]
fn a_closed_pipe_does_not_cost_the_plan() {
    let scratch = small();
    let mut child = scratch.command(&["plan", "job", "--quiet"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!((output.status.code(), output.stderr.as_slice()), (Some(0), &b""[..]));
    assert_eq!(scratch.names("job/plan/001"), FILES);
}

/// Adds to the small job one task of the second engineer, six hours long, for each end it is given.
fn with_tight_tasks(ends: &[&str]) -> Scratch {
    let scratch = small();
    let mut tasks = scratch.read("job/tasks.toml");
    for (n, end) in ends.iter().enumerate() {
        let task = format!("\n[task.X{n}]\ntext = \"Check the alignment\"\nneeds = \"LEAD\"\nhours = 6\nnot_after = \"{end}\"\n");
        tasks.push_str(&task);
    }
    scratch.write("job/tasks.toml", tasks);
    scratch
}

/// If this fails, a job that cannot be done is searched in vain, or the reader is not told what makes it so. From 08:00
/// to 14:00 there are five hours beside lunch.
#[test]
fn that_there_is_no_plan_is_proved_where_it_can_be() {
    let scratch = with_tight_tasks(&["day 1 14:00"]);
    let ran = scratch.run(&["plan", "job"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(3), ""));
    assert_data_eq!(
        ran.err,
        str![[r#"
No legal plan, proved: task X0 (Check the alignment) needs 6 h of work, cannot
begin before day 1 08:00 and has to end by day 1 14:00; even with everybody and
every tool to itself it does not fit.
These requirements cannot stand together, whoever works on what; without any one
of them the others could:
- task X0 done by day 1 14:00
What leaving out one of them gives, each planned by itself:
- without "task X0 done by day 1 14:00": finish day 2 14:00, overtime 0 h

"#]]
    );
    assert!(!scratch.path("job/plan").exists());
}

/// If this fails, two tasks that each fit, but not for one person, are searched in vain without saying so: from 08:00
/// to 16:00 there are seven hours beside lunch.
#[test]
fn that_two_tasks_cannot_both_be_done_is_proved_by_their_hours() {
    let scratch = with_tight_tasks(&["day 1 16:00", "day 1 16:00"]);
    let ran = scratch.run(&["plan", "job"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(3), ""));
    let text = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["No legal plan, proved by the labour model", "- task X0 done by day 1 16:00", "- task X1 done by day 1 16:00"] {
        assert!(text.contains(words), "{words}: {}", ran.err);
    }
    assert!(!scratch.path("job/plan").exists());
}

/// If this fails, that nothing was found is passed off as proof, or the task that found no place is not named. Three
/// tasks of three, three and two hours fill the eight hours of a day, but none of them goes over lunch, and of four
/// hours before it and four after it an hour each is left over.
#[test]
fn that_no_plan_was_found_is_said_as_such() {
    let scratch = small();
    let mut tasks = scratch.read("job/tasks.toml");
    for (n, hours) in [3, 3, 2].into_iter().enumerate() {
        let rest = "stop = \"never\"\npause = false\nnot_after = \"day 1 17:00\"\n";
        let task = format!("\n[task.X{n}]\ntext = \"Check\"\nneeds = \"LEAD\"\nhours = {hours}\n{rest}");
        tasks.push_str(&task);
    }
    scratch.write("job/tasks.toml", tasks);
    let ran = scratch.run(&["plan", "job", "--json"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(3), ""), "{}", ran.err);
    let text = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.starts_with("No legal plan: none found, which does not prove that there is none. Task X"), "{}", ran.err);
    assert!(text.contains("h of LEAD between day 1 08:00 and day 1 17:00 and found no place there"), "{}", ran.err);
    assert!(!scratch.path("job/plan").exists());
}

/// The job planned with so many days, and a date for some tasks.
fn with_date(scratch: &Scratch, days: u32, tasks: &str, due: &str) -> Ran {
    let job = scratch.read("job/job.toml").replace("tasks = \"T6\"", &format!("tasks = \"{tasks}\""));
    let job = job.replace("due   = \"day 3 12:00\"", &format!("due   = \"{due}\""));
    scratch.write("job/job.toml", job.replace("days  = 3", &format!("days  = {days}")));
    scratch.run(&["plan", "job"])
}

/// What a printed plan says of the milestone that is late.
fn late(ran: &Ran) -> String {
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let (_, rest) = text.split_once("LATE ").expect("it is late");
    rest.split_once(" SHORT ").expect("what is short comes next").0.to_owned()
}

/// If this fails, a date is given up as missed after a short search, or a search that cannot gain anything goes on, or the
/// reader is not told which it is. That pump 1 is not ready on day 1 at 09:00 follows from the longest chain alone; that two
/// tasks of six hours of one person are not done on day 1, from the labour model; that three of three, three and two hours are
/// not that do not go over lunch, from neither.
#[test]
fn a_missed_date_is_worth_a_longer_search() {
    let again = "something late or short: kept,";
    // Room for the tasks that no date is set for, after those that one is.
    let due = |scratch: &Scratch, tasks: &str, due: &str| with_date(scratch, 5, tasks, due);
    let met = due(&small(), "T6", "day 3 12:00");
    assert_eq!((met.code, met.err.contains(again)), (Some(0), false), "{}", met.err);
    let chain = due(&small(), "T6", "day 1 09:00");
    assert_eq!((chain.code, chain.err.contains(again)), (Some(1), false), "{}", chain.err);
    assert!(late(&chain).ends_with("proven: it cannot be met earlier (longest chain through calendars and waits)"), "{}", chain.out);
    let two = due(&with_tight_tasks(&["day 3 17:00", "day 3 17:00"]), "X0, X1", "day 1 17:00");
    assert_eq!((two.code, two.err.contains(again)), (Some(1), false), "{}", two.err);
    assert!(late(&two).ends_with("proven: it cannot be met earlier (labour model)"), "{}", two.out);
    let scratch = small();
    let mut tasks = scratch.read("job/tasks.toml");
    for (n, hours) in [3, 3, 2].into_iter().enumerate() {
        let task = format!("\n[task.X{n}]\ntext = \"Check\"\nneeds = \"LEAD\"\nhours = {hours}\nstop = \"never\"\npause = false\n");
        tasks.push_str(&task);
    }
    scratch.write("job/tasks.toml", tasks);
    let three = due(&scratch, "X0, X1, X2", "day 1 17:00");
    assert_eq!((three.code, three.err.contains(again)), (Some(1), true), "{}", three.err);
    assert!(late(&three).ends_with("whether it can be met in time is open"), "{}", three.out);
    let document: serde_json::Value = serde_json::from_str(&scratch.read("job/plan/001/plan.json")).unwrap();
    let milestone = &document["milestones"][0];
    assert!(milestone["bound"].as_str().unwrap() <= milestone["due"].as_str().unwrap(), "{milestone}");
    let lateness = document["aims"].as_array().unwrap().iter().find(|row| row["aim"] == "lateness").unwrap();
    assert_eq!((&lateness["bound"], &lateness["proof"]), (&serde_json::json!(0.0), &serde_json::json!("gap")), "{lateness}");
}

/// If this fails, a date is missed by more than it must be, for the sake of tasks that no date is set for: in three days all
/// tasks fit only if some of them come before the two of six hours, which are done at noon of the second day if not.
#[test]
fn a_date_is_worth_more_than_the_planned_end() {
    let scratch = with_tight_tasks(&["day 3 17:00", "day 3 17:00"]);
    let ran = with_date(&scratch, 3, "X0, X1", "day 1 17:00");
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    let said = "day 2 12:00, due day 1 17:00, LATE by 19 h; proven: it cannot be met earlier (labour model)";
    assert!(late(&ran).ends_with(said), "{}", ran.out);
    let document: serde_json::Value = serde_json::from_str(&scratch.read("job/plan/001/plan.json")).unwrap();
    assert!(document["finish"].as_str() > Some("2027-06-10T00:00:00+02:00"), "{}", document["finish"]);
}

/// If this fails, the demo job cannot be planned, its plan breaks a rest rule or does not pass `check`, or the exit code
/// does not say what the plan says.
#[test]
fn the_demo_job_is_planned() {
    let scratch = Scratch::new();
    scratch.copy("demo-crew", "demo");
    let ran = scratch.run(&["plan", "demo", "--json"]);
    let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(value["findings"], serde_json::json!([]));
    assert_eq!(value["tasks"].as_array().map(Vec::len), Some(60));
    let attention = value["late"] == true || value["shortfalls"] != serde_json::json!([]);
    assert_eq!(ran.code, Some(i32::from(attention)), "{}", ran.err);
    let checked = scratch.run(&["check", "demo", "--plan", "demo/plan/001"]);
    assert_eq!((checked.code, checked.err.as_str()), (ran.code, ""), "{}", checked.out);
}

/// If this fails, a time limit is not kept, or not owned up to.
#[test]
fn a_time_limit_cuts_the_search_and_says_so() {
    let scratch = Scratch::new();
    scratch.copy("demo-crew", "demo");
    let ran = scratch.run(&["plan", "demo", "--json", "--time-limit", "1s"]);
    let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!((ran.code, &value["cut_by"]), (Some(1), &serde_json::json!("time")));
}

/// Starts `plan demo` and waits until it says that it has a plan.
#[cfg(unix)]
fn planning(scratch: &Scratch) -> (Child, BufReader<std::process::ChildStderr>) {
    scratch.copy("demo-crew", "demo");
    let mut child = scratch.command(&["plan", "demo", "--json"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let mut notes = BufReader::new(child.stderr.take().unwrap());
    let mut line = String::new();
    while !line.contains("finish day") {
        line.clear();
        assert!(notes.read_line(&mut line).unwrap() > 0, "the search ended before it had a plan");
    }
    (child, notes)
}

/// What Ctrl-C does.
#[cfg(unix)]
fn interrupt(child: &Child) {
    assert!(Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap().success());
}

/// If this fails, Ctrl-C loses the plan that was found, or it is passed off as a finished one.
#[cfg(unix)]
#[test]
fn an_interrupt_keeps_the_best_plan() {
    let scratch = Scratch::new();
    let (child, mut notes) = planning(&scratch);
    interrupt(&child);
    let output = child.wait_with_output().unwrap();
    let mut rest = String::new();
    notes.read_to_string(&mut rest).unwrap();
    let value: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!((output.status.code(), &value["cut_by"]), (Some(1), &serde_json::json!("signal")), "{rest}");
    assert!(rest.contains("stopping with the best plan so far"), "{rest}");
    assert_eq!(scratch.names("demo/plan/001"), FILES);
}

/// If this fails, two interrupts leave half a plan. Whether the second one comes before the plan is written is a matter
/// of luck; either way the folder is whole.
#[cfg(unix)]
#[test]
fn two_interrupts_leave_a_whole_plan_or_nothing() {
    let scratch = Scratch::new();
    let (child, notes) = planning(&scratch);
    interrupt(&child);
    interrupt(&child);
    let output = child.wait_with_output().unwrap();
    drop(notes);
    match output.status.code() {
        Some(130) => assert!(!scratch.path("demo/plan/001").exists() && !scratch.path("demo/plan/.001.tmp").exists()),
        Some(1) => assert_eq!(scratch.names("demo/plan"), ["001", "latest"]),
        other => panic!("ended with {other:?}"),
    }
}

/// If this fails, people are told that a task does not fit, where in truth a tool or a competence is not to be had at all.
#[test]
fn what_a_task_cannot_have_is_named() {
    let scratch = small();
    let tools = scratch.read("job/tools.toml");
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(0));
    let said = |entry: &[&str]| {
        let logged = scratch.run(&[&["log", "job", "--at", "day 1 08:00"], entry].concat());
        assert_eq!(logged.code, Some(0), "{}", logged.err);
        let ran = scratch.run(&["replan", "job", "--now", "day 1 08:00"]);
        assert_eq!(ran.code, Some(3), "{tools}{}{}", ran.out, ran.err);
        ran.err.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let gone = said(&["gone", "PRESS"]);
    assert!(gone.contains("needs 4 h of work") && gone.contains("; all that time PRESS cannot be had."), "{gone}");
    let unfit = said(&["unfit", "FT"]);
    assert!(unfit.contains("all that time nobody aboard holds FIT (FT away or unfit)"), "{unfit}");
}

/// If this fails, whoever gives the watch a task longer than the watch is stood is told that everybody is free.
#[test]
fn a_watch_that_is_too_short_for_what_it_is_to_attend_is_said() {
    let scratch = Scratch::new();
    scratch.run(&["new", "pump"]);
    let tasks = scratch.path("pump/tasks.toml");
    let text = std::fs::read_to_string(&tasks).unwrap();
    std::fs::write(&tasks, text + "[task.T7]\ntext = \"Run in\"\nneeds = \"none\"\nhours = 3\nafter = \"T6\"\nattended_by = \"ROUND\"\n")
        .unwrap();
    let ran = scratch.run(&["plan", "pump"]);
    assert_eq!(ran.code, Some(3));
    let words: Vec<&str> = ran.err.split_whitespace().collect();
    let said = "the watch ROUND that is to attend it, in one piece, is stood for no more than 1 h 30 at a time";
    assert!(words.join(" ").contains(said), "{}", ran.err);
}
