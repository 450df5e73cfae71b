//! What is said where there is no plan, and of what stands in several rows: once.

use super::Scratch;

/// A job of one task of lifting, an hour in one go, with these duties.
fn job(more: &str, duties: &str) -> Scratch {
    let scratch = Scratch::new();
    let job = "ship = \"MV Any\"\nstart = 2027-03-01T08:00\ndays = 3\nclock = \"UTC\"\n[rest]\nrecorded_from = \"day -7\"\n";
    let crew = "[person.A]\nname = \"Ay\"\ncan = \"GEN\"\nhours = \"08:00-12:00, 13:00-17:00\"\n";
    let tasks = format!("[task.T]\ntext = \"Lift\"\nneeds = \"GEN\"\nhours = 1\nstop = \"never\"\ntags = \"lift\"\n{more}");
    std::fs::create_dir(scratch.path("job")).expect("a new folder");
    for (file, text) in [("job.toml", job), ("crew.toml", crew), ("tasks.toml", &tasks), ("duties.toml", duties)] {
        scratch.write(&format!("job/{file}"), text);
    }
    scratch
}

fn ban(when: &str) -> String {
    format!("[[ban]]\nwhen = \"{when}\"\ntags = \"lift\"\nwhy = \"swell\"\n")
}

/// If this fails, bans for one reason are lines that cannot be told apart.
#[test]
fn bans_for_one_reason_are_one_line_with_their_times() {
    let bans = ban("day 1 08:00-17:00") + &ban("day 2 08:00-17:00");
    let scratch = job("not_after = \"day 2 17:00\"\n", &bans);
    let ran = scratch.run(&["plan", "job"]);
    assert_eq!(ran.code, Some(3), "{}{}", ran.out, ran.err);
    let text = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("- each of 2 bans of lift (swell): day 1 08:00 to 17:00; day 2 08:00 to 17:00"), "{}", ran.err);
    for day in [1, 2] {
        assert!(
            text.contains(&format!("- without \"the ban of lift (swell), day {day} 08:00 to 17:00\": finish day {day}")),
            "{}",
            ran.err
        );
    }
}

/// If this fails, a ban that stands in two rows is printed twice on the sheet of its day.
#[test]
fn a_ban_in_two_rows_is_printed_once() {
    let bans = ban("day 1 12:00-17:00") + &ban("day 1 12:00-17:00");
    let scratch = job("", &bans);
    let ran = scratch.run(&["plan", "job"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    assert_eq!(ran.out.matches("BANNED").count(), 1, "{}", ran.out);
    assert!(ran.out.contains("12:00-17:00 lift: swell (2 rows say so)"), "{}", ran.out);
}

/// If this fails, a plan that cannot be used is said in lines that run over the edge.
#[test]
fn what_cannot_be_used_is_said_in_lines_of_a_screen() {
    let scratch = job("", "");
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(0));
    let plan =
        scratch.read("job/plan/001/plan.json").replace("\"person\": \"A\"", "\"person\": \"somebody who is not in the crew of this ship\"");
    scratch.write("job/plan/001/plan.json", plan);
    let ran = scratch.run(&["rest", "job"]);
    assert_eq!(ran.code, Some(2), "{}{}", ran.out, ran.err);
    assert!(ran.err.starts_with("could not use job/plan/001/plan.json: "), "{}", ran.err);
    assert!(ran.err.lines().all(|line| line.chars().count() <= 80), "{}", ran.err);
    assert!(ran.err.lines().next().is_some_and(|line| line.chars().count() > 40), "{}", ran.err);
}

/// If this fails, characters that do not show get into a job, or reach the screen: as they are, as escapes, in an option, in
/// what is typed, in a record, in a stream.
#[test]
fn what_does_not_show_is_refused_with_its_code_point() {
    let scratch = job("", "");
    let sound = scratch.read("job/tasks.toml");
    scratch.write("job/tasks.toml", sound.replace("\"Lift\"", "\"Li\\u202Eft\""));
    let ran = scratch.run(&["check", "job"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.out.contains("C516") && ran.out.contains("U+202E, which turns the direction of writing"), "{}", ran.out);
    scratch.write("job/tasks.toml", sound.replace("\"Lift\"", "\"Li\u{200b}ft\""));
    let ran = scratch.run(&["check", "job"]);
    assert!(ran.out.contains("tasks.toml:2") && ran.out.contains("U+200B") && !ran.out.contains('\u{200b}'), "{}", ran.out);
    scratch.write("job/tasks.toml", &sound);
    scratch.write("job/hours.csv", "person,from,to,kind,note\nA,day -1 08:00,day -1 09:00,task,a\u{2066}b\n");
    assert!(scratch.run(&["check", "job"]).out.contains("hours.csv:2"));
    std::fs::remove_file(scratch.path("job/hours.csv")).expect("it was there");
    let ran = scratch.run(&["pin", "job", "T", "--not", "A", "--why", "so\u{202e}os"]);
    assert!(ran.code == Some(2) && ran.err.contains("U+202E") && !ran.err.contains('\u{202e}'), "{}", ran.err);
    assert!(!scratch.path("job/pins.toml").exists());
}
