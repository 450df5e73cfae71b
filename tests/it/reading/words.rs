//! Words that a value may have in place of names, written with a slip.

use turnto::input::read;

use crate::reading::folder;

/// What is advised about the only thing that is wrong.
#[track_caller]
fn advice(file: &str, text: &str) -> String {
    let reading = read(&folder(&[(file, text)]));
    assert_eq!(reading.diagnostics.len(), 1, "{:?}", reading.diagnostics);
    reading.diagnostics[0].help.join("; ")
}

/// If this fails, a slip in a word such as `all` is answered with somebody's name, or with examples alone.
#[test]
fn a_slip_in_a_word_is_told_the_word() {
    let duty = |who: &str, when: &str| format!("[duty.D]\nname = \"Drill\"\nwhen = \"{when}\"\nwho = \"{who}\"\n");
    let who = |who: &str| advice("duties.toml", &duty(who, "day 2 10:00-10:30"));
    let when = |when: &str| advice("duties.toml", &duty("all", when));
    let watch = |by: &str| {
        advice("watches.toml", &format!("[post.OOW]\nmanned = \"daily 08:00-12:00\"\n[line.x]\nhours = \"08:00-12:00\"\nOOW = \"{by}\"\n"))
    };
    let task = |key: &str, value: &str| {
        advice("tasks.toml", &format!("[task.T]\ntext = \"Do\"\nneeds = \"GEN\"\nhours = 1\n{key} = \"{value}\"\n"))
    };
    assert_eq!(who("al"), "write `all` if that is what is meant");
    assert_eq!(who("alll but A"), "write `all` in place of `alll` if that is what is meant");
    // A name that comes as near is named too.
    let crew = "[person.AE]\nname = \"A\"\ncan = \"GEN\"\nhours = \"08:00-12:00\"\n";
    let both = read(&folder(&[("crew.toml", crew), ("duties.toml", &duty("al", "day 2 10:00-10:30"))]));
    assert_eq!(both.diagnostics[0].help, ["write `all` or `AE` if one of them is what is meant"]);
    assert_eq!(watch("opne"), "write `open` if that is what is meant");
    assert_eq!(when("dialy 10:00-10:30"), "write `daily` in place of `dialy` if that is what is meant");
    assert_eq!(when("every Mnday 10:00-10:30"), "write `Monday` in place of `Mnday` if that is what is meant");
    assert_eq!(when("dya 2 10:00-10:30"), "write `day` in place of `dya` if that is what is meant");
    assert_eq!(task("not_before", "dya 2 08:00"), "write `day` in place of `dya` if that is what is meant");
    assert_eq!(task("same", "al"), "write `all` if that is what is meant");
    assert_eq!(task("tools", "non"), "write `none` if that is what is meant");
    assert_eq!(task("close_up", "laeve out"), "write `leave` in place of `laeve` if that is what is meant");
}
