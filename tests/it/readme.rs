//! The README says what is so.

use std::collections::BTreeSet;
use std::fs;
use std::process::Command;

use crate::source::top;

fn readme() -> String {
    fs::read_to_string(top().join("README.md")).expect("there is a README")
}

/// What `turnto` prints on standard output for `args`, which must succeed.
fn help(args: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_turnto")).args(args).output().expect("turnto runs");
    assert!(output.status.success(), "turnto {args:?} ends with {:?}", output.status.code());
    String::from_utf8(output.stdout).expect("help is text")
}

/// Commands listed by `turnto --help`.
fn commands() -> BTreeSet<String> {
    let text = help(&["--help"]);
    let list = text.split("Commands:\n").nth(1).and_then(|t| t.split("\n\n").next()).expect("help lists commands");
    list.lines().filter_map(|l| l.split_whitespace().next()).filter(|c| *c != "help").map(str::to_owned).collect()
}

/// If this fails, the README names a command that is not there, or is silent about one that is.
#[test]
fn the_readme_lists_the_commands_there_are() {
    let text = readme();
    let named: BTreeSet<String> =
        text.lines().filter_map(|l| l.strip_prefix("| `turnto ")).filter_map(|l| l.split([' ', '`']).next()).map(str::to_owned).collect();
    assert_eq!(named, commands());
}

/// If this fails, the README names an option that is not there, or is silent about one that is.
#[test]
fn the_readme_lists_the_options_there_are() {
    let text = readme();
    for command in commands() {
        let help = help(&[&command, "--help"]);
        let options = help.split(|c: char| !(c.is_ascii_alphanumeric() || c == '-')).filter(|w| w.starts_with("--") && w.len() > 2);
        for option in options.filter(|o| *o != "--version") {
            assert!(
                text.contains(&format!("`{option}")) || text.contains(&format!(" {option} ")),
                "README does not name {option} of {command}"
            );
        }
    }
    let every: String = commands().iter().map(|c| help(&[c, "--help"])).collect();
    let named = text.split('`').filter_map(|w| w.strip_prefix("--")).filter_map(|w| w.split(' ').next());
    for option in named.filter(|o| *o != "path") {
        assert!(every.contains(&format!("--{option}")), "README names --{option}, and no command has it");
    }
}

/// If this fails, a stranger cannot get from the README to a plan in two commands, or the gate runs another test
/// command than the README promises.
#[test]
fn the_readme_begins_with_the_job_and_two_commands() {
    let text = readme();
    let blocks: Vec<&str> = text.split("```sh\n").skip(1).filter_map(|b| b.split("```").next()).map(str::trim).collect();
    assert_eq!(blocks, ["cargo run --release -- plan demo-crew", "cargo test --release"]);
    let gate = fs::read_to_string(top().join(".ci/run")).expect("there is a gate");
    assert!(gate.contains("grep -m1 -xE 'cargo test( .*)?' README.md"), "the gate takes its test command from the README");
    assert!(gate.contains("./target/release/turnto plan"), "the gate runs the main job");
}
