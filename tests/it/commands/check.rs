//! `turnto check`.

use snapbox::{assert_data_eq, str};

use super::Scratch;

/// If this fails, a folder that is not there is not told from one that is wrong.
#[test]
fn a_folder_that_is_not_there_is_named() {
    let scratch = Scratch::new();
    for command in ["check", "plan"] {
        let ran = scratch.run(&[command, "attic"]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{command}");
        assert_eq!(ran.err, "could not read attic: there is no such folder; `turnto new attic` makes one to\n  begin with\n");
    }
}

/// If this fails, an empty folder passes for a job, or the file that is missing is not named.
#[test]
fn required_files_are_named() {
    let scratch = Scratch::new();
    scratch.write("job/notes.txt", "nothing");
    let ran = scratch.run(&["check", "job"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(2), ""));
    assert_data_eq!(
        ran.out,
        str![[r#"
error[C506]: there is no job.toml
 |
 = help: `turnto new FOLDER` writes a small folder to start from

error[C506]: there is no crew.toml
 |
 = help: `turnto new FOLDER` writes a small folder to start from

error[C506]: there is no tasks.toml
 |
 = help: `turnto new FOLDER` writes a small folder to start from

job: 3 errors, to be put right before anything can be planned

"#]]
    );
}

/// If this fails, errors come one at a time, or without file and line, or on the wrong stream.
#[test]
fn all_errors_come_at_once() {
    let scratch = Scratch::new();
    scratch.run(&["new", "job"]);
    let tasks = scratch.read("job/tasks.toml");
    scratch.write(
        "job/tasks.toml",
        tasks + "\n[task.Z1]\ntext = \"Slip\"\nneed = \"NOBODY\"\nhours = \"long\"\n\n[task.Z2]\nafter = \"Z9\"\n",
    );
    scratch.write("job/task.toml", "");
    let checked = scratch.run(&["check", "job"]);
    assert_eq!(checked.code, Some(2));
    assert_eq!(checked.err, "");
    assert_data_eq!(
        checked.out.clone(),
        str![[r#"
doubtful[C508]: task.toml is not one of the files turnto reads
--> task.toml
 = help: rename it to tasks.toml if that is what is meant

error[C504]: task Z1 has no key `need`
  --> tasks.toml:52:1
   |
52 | need = "NOBODY"
   | ^^^^ not known here
   |
   = help: write `needs` if that is what is meant

error[C513]: `hours` of task Z1: `long` is no length of time
  --> tasks.toml:53:9
   |
53 | hours = "long"
   |         ^^^^^^
   |
   = help: write hours, like 1.5, or "1h30"

error[C505]: task Z2 has no `text`
  --> tasks.toml:55:7
   |
55 | [task.Z2]
   |       ^^
   |
   = help: add text = "...", what is done

error[C505]: task Z2 has no `needs`
  --> tasks.toml:55:7
   |
55 | [task.Z2]
   |       ^^
   |
   = help: add needs = "LEAD + 2 GEN", or needs = "none" if nobody works on
           it

error[C505]: task Z2 has no `hours`
  --> tasks.toml:55:7
   |
55 | [task.Z2]
   |       ^^
   |
   = help: add hours = [1.5, 2, 4] (least, typical, most), or hours = 2

error[C201]: there is no task `Z9`
  --> tasks.toml:56:10
   |
56 | after = "Z9"
   |          ^^ not known
   |
   = help: correct it, or add the task to tasks.toml

job: 6 errors and 1 doubtful entry; put the errors right first

"#]]
    );
    let planned = scratch.run(&["plan", "job"]);
    assert_eq!((planned.code, planned.out.as_str()), (Some(2), ""));
    assert_eq!(planned.err.replace("\n\n", "\n"), checked.out.replace("\n\n", "\n"), "the same is said of both");
    assert!(!scratch.path("job/plan").exists(), "nothing is written for a job that is wrong");
}
