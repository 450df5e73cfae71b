//! Options laid over a small folder.

use super::overlay;
use crate::input::Folder;

fn folder() -> Folder {
    Folder::new()
        .with("tasks.toml", "[task.A59]\nhours = [6, 8, 12]\nneeds = \"none\"\n[task.A60]\nhours = 2\n")
        .with("tools.toml", "[tool]\nSOAK = \"Soaking tank\"\n")
        .with("job.toml", "[[reserve]]\ncall = 2\n")
}

fn file(folder: &Folder, name: &str) -> toml::Table {
    let bytes = &folder.files().iter().find(|f| f.path == name).expect("it is there").bytes;
    String::from_utf8_lossy(bytes).parse().expect("it is TOML")
}

#[test]
fn tables_are_laid_into_one_another_and_the_rest_stays() {
    let laid = overlay(&folder(), "title = \"short\"\n[tasks.task.A59]\nhours = 4\n").expect("it can be laid");
    assert_eq!(laid.title, "short");
    let tasks = file(&laid.folder, "tasks.toml");
    assert_eq!(tasks["task"]["A59"]["hours"].as_integer(), Some(4));
    assert_eq!(tasks["task"]["A59"]["needs"].as_str(), Some("none"));
    assert_eq!(tasks["task"]["A60"]["hours"].as_integer(), Some(2));
}

#[test]
fn a_name_that_meets_a_table_becomes_its_name() {
    let laid = overlay(&folder(), "[tools.tool.SOAK]\nnumber = 2\n").expect("it can be laid");
    let tools = file(&laid.folder, "tools.toml");
    assert_eq!((tools["tool"]["SOAK"]["name"].as_str(), tools["tool"]["SOAK"]["number"].as_integer()), (Some("Soaking tank"), Some(2)));
}

#[test]
fn lists_of_tables_grow_and_files_that_are_not_there_begin() {
    let laid = overlay(&folder(), "[[job.reserve]]\ncall = 4\n[[log.entry]]\nwhat = \"note\"\n").expect("it can be laid");
    assert_eq!(file(&laid.folder, "job.toml")["reserve"].as_array().map(Vec::len), Some(2));
    assert_eq!(file(&laid.folder, "log.toml")["entry"].as_array().map(Vec::len), Some(1));
}

#[test]
fn what_is_dropped_is_gone_and_what_is_not_there_is_said() {
    let laid = overlay(&folder(), "drop = \"tasks.task.A60\"\n").expect("it can be dropped");
    assert!(file(&laid.folder, "tasks.toml")["task"].get("A60").is_none());
    let faults = overlay(&folder(), "drop = [\"tasks.task.A99\"]\n[taks.task.A1]\nhours = 1\n").expect_err("neither is there");
    assert_eq!(faults.len(), 2);
    assert!(faults.iter().any(|f| f.contains("`tasks` comes near")), "{faults:?}");
}

#[test]
fn what_is_taken_out_and_what_is_new_is_known_afterwards() {
    let laid = overlay(&folder(), "drop = \"tasks.task.A60\"\n[tasks.task.A95]\nhours = 4\n[tasks.task.A59]\nhours = 4\n");
    let odd = laid.expect("it can be laid").odd;
    assert_eq!(odd.len(), 2, "{odd:?}");
    assert!(odd[0].contains("`tasks.task.A95`, which the job does not have") && odd[1].contains("takes out `tasks.task.A60`"), "{odd:?}");
}

/// If this fails, the title of an option turns what is printed behind it.
#[test]
fn characters_that_do_not_show_are_refused() {
    let faults = |text: &str| overlay(&folder(), text).map(|_| ()).expect_err("it does not show");
    assert_eq!(faults("# x\ntitle = \"a\u{202e}b\"\n"), ["line 2: there is U+202E, which turns the direction of writing; take it out"]);
    assert_eq!(faults("title = \"a\\u200Bb\"\n"), ["in `title` there is U+200B, which cannot be seen; take it out"]);
}
