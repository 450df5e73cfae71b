//! Reading as a whole.

use crate::diag::Diagnostic;
use crate::input::{Folder, Reading, read};

/// The demonstration job, as it stands in the repository.
pub(crate) fn demo() -> Folder {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-crew");
    let mut folder = Folder::new();
    for entry in std::fs::read_dir(root).expect("the demonstration job is there") {
        let path = entry.expect("it can be listed").path();
        if path.is_file() {
            let name = path.file_name().expect("a file has a name").to_string_lossy().into_owned();
            folder.add(name, std::fs::read(&path).expect("it can be read"));
        }
    }
    folder
}

fn plain(reading: &Reading) -> Vec<String> {
    let line = |d: &Diagnostic| match &d.primary {
        Some(label) => {
            format!("{} {}:{}: {}", d.code.text(), reading.sources.path(label.place.file), reading.sources.line(label.place), d.message)
        }
        None => format!("{} {}", d.code.text(), d.message),
    };
    reading.diagnostics.iter().map(line).collect()
}

/// If this fails, the demonstration job of the README no longer reads cleanly.
#[test]
fn the_demonstration_job_reads_without_a_word() {
    let reading = read(&demo());
    assert_eq!(plain(&reading), Vec::<String>::new());
    let problem = reading.problem.expect("nothing is wrong");
    // Facts of the job: 60 tasks, 10 people; 9 days from day 1, 08:00 to day 10, 00:00.
    assert_eq!((problem.tasks.len(), problem.people.len()), (60, 10));
    assert_eq!(problem.clock.day_time(problem.start), "day 1 08:00");
    assert_eq!(problem.clock.day_time(problem.end), "day 10 00:00");
    // Three times 8 d 16 h is 26 d: day 27, 08:00; the last midnight before it is day 27, 00:00.
    assert_eq!(problem.clock.day_time(problem.latest_end), "day 27 00:00");
}

/// If this fails, `turnto new` writes a folder that does not read cleanly.
#[test]
fn the_starter_reads_without_a_word() {
    let folder = crate::input::STARTER.iter().fold(Folder::new(), |folder, (path, text)| folder.with(*path, *text));
    let reading = read(&folder);
    assert_eq!(plain(&reading), Vec::<String>::new());
    let problem = reading.problem.expect("nothing is wrong");
    assert_eq!((problem.tasks.len(), problem.people.len()), (6, 4));
}
