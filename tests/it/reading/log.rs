//! `log.toml`: what each word needs, and what is said when it is not there.

use turnto::diag::Code;
use turnto::input::{Reading, read};
use turnto::model::Event;

use crate::support::demo;

fn log(text: &str) -> Reading {
    read(&demo::folder().with("log.toml", text))
}

fn entry(rest: &str) -> String {
    format!("[[entry]]\nat = \"day 4 14:20\"\n{rest}\n")
}

/// If this fails, something the log can say is not understood.
#[test]
fn every_word_is_read_as_what_it_says() {
    let said = [
        "what = \"started\"\ntask = \"A12\"\nby = \"FT, M1, EO\"",
        "what = \"stopped\"\ntask = \"A12\"",
        "what = \"done\"\ntask = \"A12\"",
        "what = \"to_go\"\ntask = \"A12\"\nhours = 1.5",
        "what = \"dropped\"\ntask = \"A12\"",
        "what = \"found\"\ntask = \"A12\"\nhours = 2",
        "what = \"out\"\nunit = \"G4\"",
        "what = \"back\"\nunit = \"G4\"",
        "what = \"unfit\"\nperson = \"M1\"\nuntil = \"day 6 08:00\"",
        "what = \"limited\"\nperson = \"M1\"\nwithout = \"LIFT\"",
        "what = \"fit\"\nperson = \"M1\"",
        "what = \"gone\"\ntool = \"CRANE\"\nuntil = \"day 5 12:00\"",
        "what = \"returned\"\ntool = \"CRANE\"",
        "what = \"call\"\nperson = \"EO\"\nto = \"day 4 16:00\"",
        "what = \"moved\"\nduty = \"drill\"\nto = \"day 6 15:30\"",
        "what = \"due\"\nmilestone = \"G2-back\"\nto = \"day 10 12:00\"",
        "what = \"mode\"\nmode = \"arrival\"\nuntil = \"day 5 12:00\"",
        "what = \"note\"\nnote = \"all well\"",
    ];
    let reading = log(&said.map(entry).concat());
    let wrong: Vec<&str> = reading.diagnostics.iter().map(|d| d.message.as_str()).collect();
    assert_eq!(wrong, Vec::<&str>::new());
    assert_eq!(reading.log.entries.len(), said.len());
    let kinds: Vec<std::mem::Discriminant<Event>> = reading.log.entries.iter().map(|e| std::mem::discriminant(&e.event)).collect();
    assert!((1..kinds.len()).all(|i| !kinds[..i].contains(&kinds[i])), "each word is an event of its own");
}

/// If this fails, an entry that says too little or too much is taken for something.
#[test]
fn missing_and_meaningless_keys_are_reported_at_their_place() {
    let reading = log(&[
        entry("what = \"call\"\nperson = \"EO\""),
        entry("what = \"done\"\ntask = \"A12\"\nunit = \"G4\""),
        "[[entry]]\nwhat = \"note\"\n".to_owned(),
        "[[entry]]\nat = \"day 4\"\nwhat = \"note\"\n".to_owned(),
    ]
    .concat());
    let codes: Vec<Code> = reading.diagnostics.iter().map(|d| d.code).collect();
    assert_eq!(codes, [Code::MissingKey, Code::UnknownKey, Code::MissingKey, Code::TimeNotUnderstood]);
    assert!(reading.diagnostics.iter().all(|d| d.primary.is_some() && !d.help.is_empty()));
}

/// If this fails, tasks that a breakdown adds are mixed up with the job's own, or nobody can wait for them.
#[test]
fn added_tasks_stand_behind_the_jobs_own() {
    let text = entry("what = \"note\"\n[entry.add.K01]\ntext = \"x\"\nneeds = \"GEN\"\nhours = 1\nafter = \"A01\"\nbefore = \"A60\"");
    let reading = log(&text);
    let own = demo::problem().tasks.len();
    assert_eq!(reading.problem.expect("it is sound").tasks.len(), own, "the job itself stays as it is");
    assert_eq!(reading.log.tasks.len(), 1);
    assert_eq!(reading.log.before.len(), 1);
    let twice = log(&entry("what = \"note\"\n[entry.add.A01]\ntext = \"x\"\nneeds = \"GEN\"\nhours = 1"));
    assert_eq!(twice.diagnostics.iter().map(|d| d.code).collect::<Vec<_>>(), [Code::UsedTwice]);
}

/// If this fails, the job's own files can lean on what is only in the log, and fall over without it.
#[test]
fn the_jobs_own_files_do_not_know_what_the_log_adds() {
    let text = entry("what = \"note\"\n[entry.add.K01]\ntext = \"x\"\nneeds = \"GEN\"\nhours = 1");
    let mut folder = demo::folder().with("log.toml", text);
    let tasks = folder.files().iter().find(|f| f.path == "tasks.toml").expect("it is there").bytes.clone();
    let more = "\n[task.Z1]\ntext = \"z\"\nneeds = \"GEN\"\nhours = 1\nafter = \"K01\"\n";
    folder = folder.with("tasks.toml", [tasks.as_slice(), more.as_bytes()].concat());
    assert!(read(&folder).diagnostics.iter().any(|d| d.code == Code::UnknownTask));
}

/// If this fails, what is left of a task that was stopped is written down with it, and nobody ever reads it.
#[test]
fn hours_with_a_stop_are_refused_and_the_way_to_say_them_is_named() {
    let reading = log(&entry("what = \"stopped\"\ntask = \"A12\"\nhours = 2"));
    let [only] = reading.diagnostics.as_slice() else { panic!("{:?}", reading.diagnostics) };
    assert_eq!(only.code, Code::UnknownKey);
    assert!(only.help[0].contains("to_go"), "{:?}", only.help);
}

/// If this fails, a slip of the pen about a person or a date goes unseen; or a sound entry is doubted.
#[test]
fn entries_that_do_not_go_with_the_rest_are_doubted() {
    let fit = entry("what = \"fit\"\nperson = \"M1\"");
    let unfit = "[[entry]]\nat = \"day 3 08:00\"\nwhat = \"unfit\"\nperson = \"M1\"\n".to_owned();
    let later = unfit.replace("day 3", "day 5");
    let due = |to: &str| entry(&format!("what = \"due\"\nmilestone = \"G2-back\"\nto = \"{to}\""));
    let codes = |text: &str| log(text).diagnostics.iter().map(|d| d.code).collect::<Vec<_>>();
    assert_eq!(codes(&fit), [Code::LogDoubtful]);
    assert_eq!(codes(&(later + &fit)), [Code::LogDoubtful], "who is unfit afterwards was not before");
    assert_eq!(codes(&(unfit + &fit)), []);
    assert_eq!(codes(&due("day -3 12:00")), [Code::LogDoubtful]);
    assert_eq!(codes(&due("day 8 12:00")), []);
    assert!(log(&fit).problem.is_some(), "what is doubtful is planned all the same");
}

/// If this fails, an entry that was written twice counts twice without a word, such as hours that were found.
#[test]
fn an_entry_that_stands_twice_is_doubted() {
    let found = entry("what = \"found\"\ntask = \"A12\"\nhours = 2");
    let note = entry("what = \"note\"\nnote = \"all well\"");
    let reading = log(&[found.clone(), note.clone(), found.clone(), note].concat());
    let said: Vec<(Code, &str)> = reading.diagnostics.iter().map(|d| (d.code, d.message.as_str())).collect();
    assert_eq!(said, [(Code::LogDoubtful, "this entry says what another one says, of the same time, and both count")]);
    let later = found.replace("14:20", "15:20");
    assert!(log(&(found + &later)).diagnostics.is_empty());
}

/// If this fails, a call with the wrong day of its end keeps somebody at work for days without a word.
#[test]
fn a_call_of_more_than_a_day_is_doubted() {
    let call = |to: &str| log(&entry(&format!("what = \"call\"\nperson = \"EO\"\nto = \"{to}\"")));
    let said = call("day 6 16:00");
    let said: Vec<&str> = said.diagnostics.iter().map(|d| d.message.as_str()).collect();
    assert_eq!(said, ["the call lasts 49 h 40"]);
    assert!(call("day 5 14:20").diagnostics.is_empty());
}

/// If this fails, somebody is logged limited in nothing.
#[test]
fn who_is_limited_is_limited_in_something() {
    let said = log(&entry("what = \"limited\"\nperson = \"M1\"\nwithout = \",\""));
    let said: Vec<&str> = said.diagnostics.iter().map(|d| d.message.as_str()).collect();
    assert_eq!(said, ["`without` of [[entry]] says nothing"]);
}
