//! The example folders read without a word, can be rostered and planned, and what their stories say is so.

use std::fs;

use crate::commands::Scratch;
use crate::source::top;

const FOLDERS: [&str; 3] = ["two-watches", "harbour-rota", "fire-watch"];

fn copied(name: &str) -> Scratch {
    let scratch = Scratch::new();
    scratch.copy(&format!("examples/{name}"), "job");
    scratch
}

/// If this fails, an example folder does not plan as it stands, or its plan breaks a rule.
#[test]
fn every_example_folder_plans() {
    for name in FOLDERS {
        let scratch = copied(name);
        let check = scratch.run(&["check", "job"]);
        assert_eq!(check.code, Some(0), "{name}: {}{}", check.out, check.err);
        let plan = scratch.run(&["plan", "job", "--quiet", "--time-limit", "20s"]);
        assert!(matches!(plan.code, Some(0 | 1)), "{name}: {}{}", plan.out, plan.err);
        let again = scratch.run(&["check", "job", "--plan", "job/plan/001"]);
        assert!(matches!(again.code, Some(0 | 1)) && !again.out.contains("breach"), "{name}: {}{}", again.out, again.err);
        let story = fs::read_to_string(top().join("examples").join(name).join("README.md")).unwrap();
        assert!(story.contains(&format!("turnto plan examples/{name}")), "{name} tells how it is planned");
    }
}

/// If this fails, a command in a story of an example folder does not work.
#[test]
fn every_command_on_watches_in_the_stories_works() {
    for name in FOLDERS {
        let story = fs::read_to_string(top().join("examples").join(name).join("README.md")).unwrap();
        let mut commands = 0;
        for line in story.lines().filter_map(|l| l.trim().strip_prefix("turnto watches ")) {
            let scratch = copied(name);
            let mut args = vec!["watches".to_owned()];
            let mut rest = line;
            while !rest.is_empty() {
                let (word, more) = match rest.strip_prefix('"') {
                    Some(quoted) => quoted.split_once('"').unwrap(),
                    None => rest.split_once(' ').unwrap_or((rest, "")),
                };
                args.push(word.replace(&format!("examples/{name}"), "job"));
                rest = more.trim_start();
            }
            let args: Vec<&str> = args.iter().map(String::as_str).collect();
            let ran = scratch.run(&args);
            assert!(matches!(ran.code, Some(0 | 1)), "{name}: {args:?}: {}", ran.err);
            assert!(ran.out.lines().all(|l| l.chars().count() <= 80), "{name}: {args:?}: {}", ran.out);
            commands += 1;
        }
        assert!(commands >= 3, "{name}: {commands} commands");
    }
}

/// If this fails, the story of the two watches is not true: the chief takes over when the third engineer is away, and
/// without the chief nobody can.
#[test]
fn the_chief_stands_in_for_the_dentists_day() {
    let scratch = copied("two-watches");
    let ran = scratch.run(&["watches", "job", "--csv"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    let chief: Vec<&str> = ran.out.lines().filter(|l| l.contains(",CE,")).collect();
    assert!(chief.iter().any(|l| l.contains("2027-04-14")) && chief.iter().all(|l| !l.contains("2027-04-12")), "{chief:?}");
    assert!(ran.out.lines().all(|l| !l.contains(",nobody")), "{}", ran.out);
    let without = scratch.run(&["watches", "job", "--without", "CE"]);
    assert!(without.out.contains("NOBODY for"), "{}", without.out);
}

/// If this fails, the story of the fire watch is not true: the line of the one who signs off goes to somebody else from
/// day 4 on, and that is said.
#[test]
fn the_line_of_the_one_who_signs_off_goes_to_another() {
    let ran = copied("fire-watch").run(&["watches", "job"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("because R4 is away from day 4 08:00") && !text.contains("NOBODY"), "{}", ran.out);
}

/// If this fails, the rota of the harbour does not go about evenly.
#[test]
fn the_harbour_round_goes_about() {
    let ran = copied("harbour-rota").run(&["watches", "job", "--csv"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    let rounds: Vec<&str> = ran.out.lines().filter(|l| l.starts_with("ROUND,")).map(|l| l.rsplit(',').nth(2).unwrap()).collect();
    assert!(rounds.len() >= 5 && rounds.windows(2).all(|w| w[0] != w[1]), "{rounds:?}");
    for engineer in ["CE", "2E", "3E", "4E"] {
        assert!(rounds.iter().filter(|r| **r == engineer).count() <= 2, "{rounds:?}");
    }
}

/// If this fails, an alternative to the cracked head cannot be laid over the job any more, does nothing, or is not in
/// its story.
#[test]
fn every_alternative_of_the_cracked_head_reads_and_is_in_the_story() {
    let place = top().join("examples/breakdowns/e3-g4-head");
    let log = fs::read_to_string(place.join("log.toml")).unwrap();
    let job = crate::support::demo::folder().with("log.toml", log);
    let plain = turnto::input::read(&job);
    let story = fs::read_to_string(top().join("examples/breakdowns/README.md")).unwrap();
    let mut number = 0;
    for entry in fs::read_dir(place.join("options")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let laid = turnto::input::overlay(&job, &fs::read_to_string(&path).unwrap()).unwrap_or_else(|said| panic!("{name}: {said:?}"));
        let reading = turnto::input::read(&laid.folder);
        let said: Vec<&str> = reading.diagnostics.iter().map(|d| d.message.as_str()).collect();
        assert!(reading.problem.is_some() && said.is_empty(), "{name}: {said:?}");
        assert!(reading.problem != plain.problem || reading.log != plain.log, "{name} changes nothing");
        assert!(!laid.title.is_empty() && story.contains(&format!("| `{name}` ")), "{name} is in the story");
        number += 1;
    }
    assert!(number >= 7, "{number}");
}
