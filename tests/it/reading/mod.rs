//! What a job folder means, seen from outside.

mod broken;
mod clock;
mod demo;
mod layout;
mod log;
mod phrases;
mod pins;
mod rules;
mod slips;
mod words;

use turnto::input::{Folder, Reading, STARTER, read};

/// The smallest folder that plans: two people, one task; `files` come on top or in place.
fn folder(files: &[(&str, &str)]) -> Folder {
    let job = "ship = \"Any\"\nstart = 2027-03-01T08:00\ndays = 3\nclock = \"UTC\"\n[rest]\nrecorded_from = \"day -7\"\n";
    let crew = "[person.A]\nname = \"A\"\ncan = \"GEN, OOW\"\nhours = \"08:00-12:00, 13:00-17:00\"\n\
                [person.B]\nname = \"B\"\ncan = \"GEN\"\nhours = \"08:00-17:00\"\n";
    let tasks = "[task.T]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\n";
    let base = Folder::new().with("job.toml", job).with("crew.toml", crew).with("tasks.toml", tasks);
    files.iter().fold(base, |folder, (name, text)| folder.with(*name, *text))
}

/// One line a diagnostic: code, file, line, message.
fn plain(reading: &Reading) -> Vec<String> {
    let line = |d: &turnto::diag::Diagnostic| match &d.primary {
        Some(label) => {
            let (path, line) = (reading.sources.path(label.place.file), reading.sources.line(label.place));
            format!("{} {path}:{line} {}", d.code.text(), d.message)
        }
        None => format!("{} {}", d.code.text(), d.message),
    };
    reading.diagnostics.iter().map(line).collect()
}

/// The problem in a folder that reads without a word.
#[track_caller]
fn sound(folder: &Folder) -> turnto::model::Problem {
    let reading = read(folder);
    assert_eq!(plain(&reading), Vec::<String>::new());
    reading.problem.expect("nothing is wrong")
}

/// If this fails, `turnto new` writes a folder that does not read cleanly.
#[test]
fn the_starter_reads_without_a_word() {
    let folder = STARTER.iter().fold(Folder::new(), |folder, (path, text)| folder.with(*path, *text));
    let problem = sound(&folder);
    assert_eq!((problem.tasks.len(), problem.people.len(), problem.tools.len()), (6, 4, 2));
    // Rounds 20:00-21:30, the two engineers day and day about from day 1.
    let who = |n: usize| match &problem.turns.iter().nth(n).expect("there is such a round").stand {
        turnto::model::Stand::Fixed(person) => problem.people[*person].code.clone(),
        turnto::model::Stand::Open(_) => "open".to_owned(),
    };
    assert_eq!([who(0), who(1), who(2)], ["2E", "3E", "2E"]);
}

/// If this fails, a folder with only the three needed files no longer reads.
#[test]
fn three_files_are_enough() {
    let problem = sound(&folder(&[]));
    assert_eq!((problem.tasks.len(), problem.people.len()), (1, 2));
    assert!(problem.turns.is_empty() && problem.duties.is_empty() && problem.mode_spans.is_empty());
}
