//! `turnto log`: nothing is ever lost, nothing unsound is ever written.

use std::fs;

use super::Scratch;

fn job() -> Scratch {
    let scratch = Scratch::new();
    scratch.copy("demo-crew", "job");
    scratch
}

const FIRST: [&str; 8] = ["log", "job", "out", "G4", "--at", "day 4 14:20", "--note", "cracked head"];

/// If this fails, an officer cannot write down a breakdown in one line, or reads it back as something else.
#[test]
fn an_entry_is_written_and_read_back_in_words() {
    let job = job();
    let ran = job.run(&FIRST);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert_eq!(ran.out, "day 4 14:20   G4 out: cracked head\n");
    assert_eq!(job.run(&["log", "job"]).out, ran.out);
    assert_eq!(job.run(&["check", "job"]).code, Some(0));
}

/// If this fails, something written down before is changed by writing down more.
#[test]
fn what_was_written_before_stays_byte_for_byte() {
    let job = job();
    job.write("job/log.toml", "# kept by hand\n[[entry]]\nat = \"day 2 10:00\"\nwhat = \"note\"\nnote = \"ä\"");
    let mut before = job.read("job/log.toml");
    for what in [["done", "A01"], ["started", "A02"], ["unfit", "M1"]] {
        let ran = job.run(&["log", "job", what[0], what[1], "--at", "day 3 08:30"]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        let after = job.read("job/log.toml");
        assert!(after.starts_with(&before), "{after}");
        before = after;
    }
    assert_eq!(job.run(&["log", "job"]).out.lines().count(), 4);
    assert_eq!(job.names("job").iter().filter(|n| n.starts_with('.')).count(), 0, "nothing is left aside");
}

/// If this fails, a slip of the pen gets into the log, where it would stop every later command.
#[test]
fn an_unsound_entry_is_refused_with_its_excerpt_and_nothing_is_written() {
    let job = job();
    let ran = job.run(&["log", "job", "done", "A99", "--at", "day 4 14:20"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("there is no task `A99`") && ran.err.contains("log.toml"), "{}", ran.err);
    assert!(!job.path("job/log.toml").exists());
    let ran = job.run(&["log", "job", "finished", "A12", "--at", "day 4 14:20"]);
    assert_eq!(ran.code, Some(2));
    let ran = job.run(&["log", "job", "done", "A12"]);
    assert!(ran.err.contains("--at"), "{}", ran.err);
}

/// If this fails, two people who write at the same time lose what one of them wrote.
#[test]
fn while_another_run_writes_the_log_stays_as_it_is() {
    let job = job();
    assert_eq!(job.run(&FIRST).code, Some(0));
    let before = job.read("job/log.toml");
    job.write("job/.log.toml.tmp", "half of an entry");
    let ran = job.run(&["log", "job", "done", "A01", "--at", "day 2 08:30"]);
    assert_eq!(ran.code, Some(2), "{}", ran.err);
    assert!(ran.err.contains("another run"), "{}", ran.err);
    assert_eq!(job.read("job/log.toml"), before);
    assert_eq!(job.read("job/.log.toml.tmp"), "half of an entry", "what is not ours is left alone");
}

/// If this fails, a disk that refuses leaves half a log.
#[test]
#[cfg(unix)]
fn a_folder_that_cannot_be_written_keeps_its_log() {
    let job = job();
    assert_eq!(job.run(&FIRST).code, Some(0));
    let before = job.read("job/log.toml");
    // A folder in the place of the file aside: it can be neither made nor written.
    fs::create_dir(job.path("job/.log.toml.tmp")).unwrap();
    let ran = job.run(&["log", "job", "done", "A01", "--at", "day 2 08:30"]);
    assert!(matches!(ran.code, Some(2 | 4)), "{}", ran.err);
    assert_eq!(job.read("job/log.toml"), before);
}

/// If this fails, tasks that a breakdown brings cannot be given along with it.
#[test]
fn tasks_of_a_breakdown_are_added_with_their_entry() {
    let job = job();
    let tasks = crate::source::top().join("examples/breakdowns/e3-g4-head/tasks.toml");
    let ran = job.run(&[FIRST.as_slice(), &["--add", &tasks.to_string_lossy()]].concat());
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(job.run(&["log", "job"]).out.contains("adds K07"), "{}", job.run(&["log", "job"]).out);
}

/// If this fails, a doubt about what is just written down is kept for the next `turnto check`, or said at every entry.
#[test]
fn what_is_odd_about_an_entry_is_said_as_it_is_written() {
    let job = job();
    let fit = job.run(&["log", "job", "fit", "M1", "--at", "day 4 14:20"]);
    assert_eq!(fit.code, Some(0), "{}", fit.err);
    assert!(fit.err.contains("M1 is logged fit again, and nothing before says otherwise"), "{}", fit.err);
    let next = job.run(&["log", "job", "note", "all well", "--at", "day 4 15:00"]);
    assert!(next.code == Some(0) && !next.err.contains("fit again"), "{}", next.err);
    let none = job.run(&["log", "job", "note", "--at", "day 4 15:00"]);
    assert_eq!((none.code, job.run(&["log", "job"]).out.lines().count()), (Some(2), 2), "{}", none.err);
}

/// If this fails, nobody sees that a tool of which there are several is gone altogether.
#[test]
fn a_tool_that_is_gone_is_all_there_are_of_it() {
    let job = Scratch::small();
    job.write("job/tools.toml", job.read("job/tools.toml") + "RACK = { name = \"Trolley\", number = 2 }\n");
    for (tool, said) in [("HOIST", "   HOIST not to be had"), ("RACK", "   all 2 RACK not to be had")] {
        let ran = job.run(&["log", "job", "--at", "day 1 14:00", "gone", tool]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        assert!(job.run(&["log", "job"]).out.contains(said), "{}", job.run(&["log", "job"]).out);
    }
}
