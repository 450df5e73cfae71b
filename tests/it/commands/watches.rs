//! `turnto watches` and `turnto what-if`: streams, exit codes, files.

use super::Scratch;

fn example(name: &str) -> Scratch {
    let scratch = Scratch::new();
    scratch.copy(&format!("examples/{name}"), "job");
    scratch
}

/// If this fails, the demo's cover is not decided, or not explained.
#[test]
fn the_cover_of_the_demo_is_decided_and_explained() {
    let scratch = Scratch::new();
    scratch.copy("demo-crew", "job");
    let ran = scratch.run(&["watches", "job"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    assert!(ran.out.lines().all(|l| l.chars().count() <= 80), "{}", ran.out);
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("day 3 09:30-12:00; chosen, job time lost"), "{}", ran.out);
    assert!(text.contains("Proven: no roster"), "{}", ran.out);
    assert!(text.contains("come first"), "the cautions are said");
}

/// If this fails, who has two watches a day seems to stand from the first to the end of the second, or for days on end.
#[test]
fn a_line_of_two_watches_a_day_is_shown_with_both() {
    let demo = Scratch::new();
    demo.copy("demo-crew", "job");
    let ran = demo.run(&["watches", "job"]);
    for line in [
        "12-4             3E, day 1 12:00 to day 9 16:00, 00:00-04:00 and 12:00-16:00;",
        "4-8              AE, day 1 16:00 to day 9 20:00, 04:00-08:00 and 16:00-20:00;",
        // A cover takes a piece out of one of them.
        "8-12             4E, day 1 08:00 to day 10 00:00, 08:00-12:00 and 20:00-24:00;",
    ] {
        assert!(ran.out.lines().any(|l| l == line), "{line}: {}", ran.out);
    }
    // Over midnight the two are one, and a single day has its own times.
    let fire = example("fire-watch");
    let ran = fire.run(&["watches", "job"]);
    assert!(ran.out.lines().any(|l| l == "middle  R3, day 1 22:00 to day 7 00:00, 22:00-02:00; in turn"), "{}", ran.out);
    let scratch = Scratch::new();
    scratch.copy("demo-crew", "job");
    let watches = scratch.read("job/watches.toml").replace("OOW   = \"AE\"", "OOW   = \"AE, 3E in turn\"");
    scratch.write("job/watches.toml", watches);
    let ran = scratch.run(&["watches", "job"]);
    assert!(ran.out.lines().any(|l| l == "4-8              3E, day 2 04:00-08:00 and 16:00-20:00; named"), "{}", ran.out);
    assert!(!ran.out.contains("04:00-20:00"), "{}", ran.out);
}

/// If this fails, the table of watches shows rest that the plan does not find: who has a talk at the start of his working
/// day and a watch at its end is on hand all day.
#[test]
fn time_on_hand_is_no_rest_in_the_table_either() {
    let scratch = Scratch::new();
    scratch.copy("demo-crew", "job");
    let watches = scratch.read("job/watches.toml").replace("OOW   = \"AE\"", "OOW   = \"2E\"");
    scratch.write("job/watches.toml", watches);
    let table = scratch.run(&["watches", "job"]);
    let row = table.out.lines().find(|l| l.starts_with("2E ")).unwrap().split_whitespace().last();
    assert_eq!(row, Some("56.0"), "{}", table.out);
    let refused = scratch.run(&["plan", "job", "--quiet"]);
    let text = refused.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(refused.code == Some(3) && text.contains("56 h found, 77 h required"), "{text}");
    assert!(text.contains("Time on hand between two of them"), "{text}");
}

/// If this fails, what a rule allows at most is said to be required.
#[test]
fn what_a_rule_allows_at_most_is_not_required() {
    let scratch = Scratch::new();
    scratch.run(&["new", "job"]);
    let rule = "[set.cap]\nname = \"cap\"\nsource = \"none\"\n[set.cap.rule.day]\nkind = \"work\"\nwithin = 24\nat_most = 1\n";
    scratch.write("job/rules.toml", rule);
    let job = scratch.read("job/job.toml").replace("rules = \"stcw-mlc-rest\"", "rules = \"cap\"");
    scratch.write("job/job.toml", job);
    let refused = scratch.run(&["plan", "job", "--quiet"]);
    let text = refused.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(refused.code == Some(3) && text.contains("h 30 found, 1 h allowed"), "{text}");
}

/// If this fails, what is tried is applied, or not tabled beside the roster as it is.
#[test]
fn choices_are_tabled_side_by_side() {
    let scratch = example("harbour-rota");
    let plain = scratch.run(&["watches", "job", "--csv"]);
    let args = ["watches", "job", "--without", "2E", "--double", "ROUND from day 2 to day 3", "--manned", "ROUND from day 4 08:00"];
    let ran = scratch.run(&args);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("NOTHING OF IT IS APPLIED"), "{}", ran.out);
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for line in ["1. as it is", "2. without 2E", "3. two on ROUND", "4. manned: ROUND"] {
        assert!(text.contains(line), "{line}: {}", ran.out);
    }
    let json = scratch.run(&[&args[..], &["--json"]].concat());
    let value: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!((value["format"].as_str(), value["tried"].as_array().map(Vec::len)), (Some("turnto-watches/1"), Some(4)));
    assert_eq!(scratch.run(&["watches", "job", "--csv"]).out, plain.out, "the roster is as it was");
}

/// If this fails, slips in phrases pass, or files are overwritten.
#[test]
fn slips_are_named_and_nothing_is_overwritten() {
    let scratch = example("harbour-rota");
    for (args, words) in [
        (["--without", "9E"], "on watch are"),
        (["--double", "ROUND"], "write it like"),
        (["--double", "NOBODY from day 2 to day 3"], "there are ROUND, GATE"),
        (["--double", "ROUND from day 5 to day 4"], "ends before it begins"),
        (["--unattended", "ROUND from day 99"], "outside the job"),
        (["--manned", "ROUND from day 2 to day 3"], "leave out `to`"),
    ] {
        let ran = scratch.run(&["watches", "job", args[0], args[1]]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{args:?}: {}", ran.err);
        assert!(ran.err.contains(words), "{args:?}: {}", ran.err);
    }
    let written = scratch.run(&["watches", "job", "--write", "paper"]);
    assert_eq!(written.code, Some(0), "{}", written.err);
    assert_eq!(scratch.names("paper"), ["watches-sheet.txt", "watches.csv", "watches.json", "watches.txt"]);
    assert_eq!(scratch.run(&["watches", "job", "--write", "paper"]).code, Some(2), "nothing is overwritten");
    assert!(scratch.read("paper/watches-sheet.txt").contains("WHO IS WHO"));
}

/// If this fails, what one more of something gives is not planned, or not compared.
#[test]
fn one_more_of_something_is_planned_and_compared() {
    let scratch = Scratch::new();
    assert_eq!(scratch.run(&["new", "job", "--quiet"]).code, Some(0));
    let ran = scratch.run(&["what-if", "job", "--first", "3", "--quiet"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    assert_eq!(ran.out.matches("Job: finish").count(), 4, "{}", ran.out);
    assert!(ran.out.lines().all(|l| l.chars().count() <= 80), "{}", ran.out);
    let json = scratch.run(&["what-if", "job", "--first", "1", "--json", "--quiet"]);
    let value: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!((value["format"].as_str(), value["tried"].as_array().map(Vec::len)), (Some("turnto-what-if/1"), Some(2)));
}

/// If this fails, a job that cannot be done is refused without saying what stands in the way and what would help. The
/// pump's last task is to be done two hours after the soaking of eight hours has begun.
#[test]
fn what_cannot_stand_together_is_named() {
    let scratch = Scratch::new();
    assert_eq!(scratch.run(&["new", "job", "--quiet"]).code, Some(0));
    let tasks = scratch.read("job/tasks.toml").replace("after = \"T5\"", "after = \"T5\"\nnot_after = \"day 1 20:00\"");
    scratch.write("job/tasks.toml", tasks);
    let ran = scratch.run(&["plan", "job", "--quiet"]);
    assert_eq!(ran.code, Some(3), "{}{}", ran.out, ran.err);
    let text = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["cannot stand together", "- task T6 done by day 1 20:00", "- 8 h of waiting between T4 and T5", ": finish day"] {
        assert!(text.contains(words), "{words}: {}", ran.err);
    }
}

/// If this fails, what could be left out is not found, or something is said to be that may not be.
#[test]
fn what_could_be_left_out_is_planned_and_compared() {
    let scratch = Scratch::new();
    assert_eq!(scratch.run(&["new", "job", "--quiet"]).code, Some(0));
    let nothing = scratch.run(&["what-if", "job", "--leave-out", "--quiet"]);
    assert!(nothing.out.contains("Nothing on the longest chain may be left out"), "{}", nothing.out);
    // Without the soaking, its eight hours of waiting go too.
    let tasks = scratch.read("job/tasks.toml").replace("[task.T4]", "[task.T4]\nclose_up = \"leave out\"");
    scratch.write("job/tasks.toml", tasks);
    let ran = scratch.run(&["what-if", "job", "--leave-out", "--quiet"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("2.  without T4 (Soak the casing") && ran.out.contains("earlier"), "{}", ran.out);
    assert!(ran.out.lines().all(|l| l.chars().count() <= 80) && !ran.out.contains("3.  "), "{}", ran.out);
}

/// If this fails, a choice about the watches is asked for with a paper that does not show it, and left out without a word.
#[test]
fn a_choice_is_not_left_out_of_a_paper_without_a_word() {
    let scratch = Scratch::new();
    scratch.run(&["new", "job"]);
    for paper in ["--sheet", "--csv"] {
        let ran = scratch.run(&["watches", "job", "--without", "2E", paper]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{paper}");
        assert!(ran.err.contains("cannot be used with"), "{}", ran.err);
    }
}

/// If this fails, what is said of an option that is wrong is broken in the middle of its lines.
#[test]
fn what_is_said_of_a_wrong_option_is_laid_out_once() {
    let scratch = Scratch::new();
    scratch.run(&["new", "job"]);
    std::fs::create_dir(scratch.path("job/options")).unwrap();
    std::fs::write(scratch.path("job/options/late.toml"), "[tasks.task.TI]\nhours = 3\n").unwrap();
    let ran = scratch.run(&["options", "job"]);
    let said = "\n  the option names `tasks.task.TI`, which the job does not have: it is taken for\n  a new one; `T1` comes near\n";
    assert!(ran.out.contains(said), "{}", ran.out);
}
