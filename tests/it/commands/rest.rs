//! `turnto rest`, `turnto call` and `turnto rules`: streams, exit codes, files.

use super::Scratch;

fn small() -> Scratch {
    let scratch = Scratch::new();
    assert_eq!(scratch.run(&["new", "job", "--quiet"]).code, Some(0));
    scratch
}

/// Everybody's day work of the week before as a grid of half-hours, as a spreadsheet saves it: semicolons, a mark at
/// the head of the file, days off as rows without marks. `changed` puts another row in place of that of 2E on 6 June.
fn grid(changed: Option<&str>) -> String {
    let halves: Vec<String> = (0..48).map(|half| format!("{}:{:02}", half / 2, half % 2 * 30)).collect();
    let mut text = format!("\u{feff}person;date;{}\n", halves.join(";"));
    for person in ["2E", "3E", "FT", "OL"] {
        for day in 1..=6 {
            let marks = (0..48).map(|half| if (16..24).contains(&half) || (26..34).contains(&half) { "x" } else { "" });
            let row = format!("{person};2027-06-{day:02};{}", marks.collect::<Vec<_>>().join(";"));
            let row = changed.filter(|_| person == "2E" && day == 6).map_or(row, str::to_owned);
            text.push_str(&row);
            text.push('\n');
        }
    }
    text
}

/// If this fails, a sound record or plan is not passed, or what it was judged by is not said.
#[test]
fn a_sound_record_and_plan_pass() {
    let scratch = small();
    let records = scratch.run(&["rest", "job"]);
    assert_eq!(records.code, Some(0), "{}{}", records.out, records.err);
    assert!(records.out.contains("FINDINGS: NONE") && records.out.contains("stcw-mlc-rest"), "{}", records.out);
    assert!(records.out.contains("come first"), "the cautions are said");
    assert!(records.out.lines().all(|l| l.chars().count() <= 80));
    let none = scratch.run(&["rest", "job", "--of", "plan"]);
    assert_eq!((none.code, none.out.as_str()), (Some(2), ""), "{}", none.err);
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(0));
    let both = scratch.run(&["rest", "job", "--json"]);
    assert_eq!(both.code, Some(0), "{}{}", both.out, both.err);
    let value: serde_json::Value = serde_json::from_str(&both.out).unwrap();
    assert_eq!(
        (value["format"].as_str(), value["of"].as_str(), value["plan"].as_str()),
        (Some("turnto-rest/1"), Some("both"), Some("001"))
    );
    assert_eq!(value["people"].as_array().map(Vec::len), Some(4));
    let table = scratch.run(&["rest", "job", "--of", "plan", "--csv"]);
    assert!(table.out.starts_with("row,person,rule_set,rule,"), "{}", table.out);
}

/// If this fails, a record can only be checked by who has an overhaul to plan.
#[test]
fn a_record_is_checked_without_any_task() {
    let scratch = small();
    let job = scratch.read("job/job.toml");
    scratch.write("job/job.toml", job.split("[milestone").next().unwrap());
    scratch.write("job/tasks.toml", "");
    for missing in [false, true] {
        if missing {
            std::fs::remove_file(scratch.path("job/tasks.toml")).unwrap();
        }
        let ran = scratch.run(&["rest", "job"]);
        assert!(ran.code == Some(0) && ran.out.contains("FINDINGS: NONE"), "{}{}", ran.out, ran.err);
        let record = scratch.run(&["rest", "job", "--record", "FT"]);
        assert!(record.code == Some(0) && record.out.contains("Seafarer: Fitter"), "{}{}", record.out, record.err);
        assert_eq!(scratch.run(&["plan", "job"]).code, Some(2), "there is nothing to plan");
    }
}

/// If this fails, a month that is none, or of a year of two figures, is taken for one.
#[test]
fn a_month_that_is_none_is_refused() {
    let scratch = small();
    for month in ["27-03", "2027-13", "March", "0001-01", "9999-12", "-2027-03", ""] {
        let ran = scratch.run(&["rest", "job", "--record", "FT", &format!("--month={month}")]);
        assert!(ran.code == Some(2) && ran.err.contains("is not a month; write it like 2027-03"), "{month}: {:?} {}", ran.code, ran.err);
    }
    assert_eq!(scratch.run(&["rest", "job", "--record", "FT", "--month", "2027-06"]).code, Some(0));
}

/// If this fails, whole days without an entry pass for rest without a word, or nobody's record passes for a complete one.
#[test]
fn days_without_an_entry_are_named() {
    let scratch = small();
    let rows = scratch.read("job/hours.csv");
    let kept: Vec<&str> = rows.lines().filter(|row| !row.starts_with("FT,day -1") && !row.starts_with("FT,day 0")).collect();
    scratch.write("job/hours.csv", kept.join("\n"));
    let ran = scratch.run(&["rest", "job"]);
    assert!(ran.out.contains("NO WORK RECORDED\nFT     2027-06-05 to 2027-06-06: taken as rest."), "{}", ran.out);
    let value: serde_json::Value = serde_json::from_str(&scratch.run(&["rest", "job", "--json"]).out).unwrap();
    assert_eq!(value["people"][2]["days_without_work"], serde_json::json!([{"first": "2027-06-05", "last": "2027-06-06"}]));
    // Nothing is known of somebody without a row where nobody said that the record is complete.
    let open = scratch.read("job/job.toml").replace("recorded_from", "# recorded_from");
    scratch.write("job/job.toml", open);
    let kept: Vec<&str> = rows.lines().filter(|row| !row.starts_with("OL,")).collect();
    scratch.write("job/hours.csv", kept.join("\n"));
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(1), "rest of OL cannot be checked");
    let both = scratch.run(&["rest", "job"]);
    assert!(!both.out.contains("counts as complete") && both.out.contains("nothing is recorded"), "{}", both.out);
}

/// If this fails, a month kept in a spreadsheet cannot be read, or a breach in it goes unseen.
#[test]
fn a_grid_is_read_and_its_breach_found() {
    let scratch = small();
    scratch.write("job/hours.csv", grid(None));
    let sound = scratch.run(&["rest", "job"]);
    assert_eq!(sound.code, Some(0), "{}{}", sound.out, sound.err);
    // 2E on 6 June from 00:00 to 07:00 as well: of the 24 h from 08:00 on 5 June he rests 17-24 and 07-08, 8 h.
    let marks = (0..48).map(|half| if half < 14 || (16..24).contains(&half) || (26..34).contains(&half) { "W" } else { "" });
    let row = format!("2E;2027-06-06;{}", marks.collect::<Vec<_>>().join(";"));
    scratch.write("job/hours.csv", grid(Some(&row)));
    let broken = scratch.run(&["rest", "job"]);
    assert_eq!(broken.code, Some(1), "{}{}", broken.out, broken.err);
    assert!(broken.out.contains("24h, at least 10 h of rest in any 24 h: 8 h found, 2 h too little"), "{}", broken.out);
    assert!(broken.out.contains("It has happened and stands"), "{}", broken.out);
    let sheet = scratch.run(&["rest", "job", "--record", "2E", "--month", "2027-06", "--write", "paper"]);
    assert_eq!(sheet.code, Some(1), "{}{}", sheet.out, sheet.err);
    assert_eq!(scratch.names("paper"), ["record-2E-2027-06.csv", "record-2E-2027-06.html", "record-2E-2027-06.txt"]);
    let again = scratch.run(&["rest", "job", "--record", "2E", "--month", "2027-06", "--write", "paper"]);
    assert_eq!(again.code, Some(2), "nothing is overwritten: {}", again.err);
    assert_eq!(
        again.err.split_whitespace().collect::<Vec<_>>().join(" ").matches("it is there already, and nothing is ever overwritten").count(),
        3,
        "{}",
        again.err
    );
    assert_eq!(scratch.run(&["rest", "job", "--record", "nobody"]).code, Some(2));
}

/// If this fails, the record that is written cannot be read back as a record, or says something else then.
#[test]
fn a_record_written_as_a_table_reads_back_the_same() {
    let scratch = small();
    let table = scratch.run(&["rest", "job", "--record", "all", "--csv"]);
    assert_eq!(table.code, Some(0), "{}", table.err);
    let before = scratch.run(&["rest", "job", "--csv"]);
    let kept: Vec<&str> = table.out.lines().collect();
    scratch.write("job/hours.csv", kept.join("\n") + "\n");
    let after = scratch.run(&["rest", "job", "--csv"]);
    assert_eq!(after.out, before.out, "{}", after.err);
}

/// If this fails, slips in a grid pass for days of rest.
#[test]
fn slips_in_a_grid_are_named() {
    let scratch = small();
    let slips = [
        ("2E;2027-06-06;y".to_owned(), "not a mark"),
        (format!("2E;2027-06-06;?{}", ";".repeat(46)), "not known"),
        ("2E;2027-06-05".to_owned(), "two rows are of 2E"),
        ("2E;yesterday".to_owned(), "not a day"),
        (format!("2E;2027-06-06;x{}more", ";".repeat(48)), "more fields than the first line"),
        ("2E;2027-06-07".to_owned(), "no row of 2E on 2027-06-06"),
    ];
    for (row, words) in slips {
        scratch.write("job/hours.csv", grid(Some(&row)));
        let ran = scratch.run(&["rest", "job"]);
        assert_eq!(ran.code, Some(2), "{row}: {}{}", ran.out, ran.err);
        assert!(ran.err.contains(words), "{row}: {}", ran.err);
    }
    scratch.write("job/hours.csv", "person;date;00:00;00:30\n2E;2027-06-06;x;x\n");
    let short = scratch.run(&["rest", "job"]);
    assert!(short.err.contains("the grid has 2 half-hours"), "{}", short.err);
}

/// If this fails, the question asked every evening gets no answer, or one that is not for the time asked.
#[test]
fn a_call_is_answered_for_the_newest_plan() {
    let scratch = small();
    let none = scratch.run(&["call", "job", "--at", "day 1 20:00"]);
    assert_eq!(none.code, Some(2));
    assert!(none.err.contains("no plan"), "{}", none.err);
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(0));
    let ran = scratch.run(&["call", "job", "--at", "day 1 18:00", "--need", "GEN", "--hours", "2", "--night"]);
    assert!(ran.out.contains("GEN") && ran.out.contains("THROUGH THE NIGHT"), "{}{}", ran.out, ran.err);
    assert!(ran.out.lines().all(|l| l.chars().count() <= 80), "{}", ran.out);
    let json = scratch.run(&["call", "job", "--at", "2027-06-07T18:00", "--hours", "2", "--json"]);
    let value: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!((value["format"].as_str(), value["at"].as_str()), (Some("turnto-call/1"), Some("2027-06-07T18:00:00+02:00")));
    for (args, words) in [(["call", "job", "--at", "noon"], "not a time"), (["call", "job", "--at", "day 0 12:00"], "outside plan 001")] {
        let ran = scratch.run(&args);
        assert_eq!(ran.code, Some(2));
        assert!(ran.err.contains(words), "{}", ran.err);
    }
    let unknown = scratch.run(&["call", "job", "--at", "day 1 18:00", "--need", "COOK"]);
    assert!(unknown.err.contains("COOK"), "{}", unknown.err);
}

/// If this fails, a rule set cannot be looked up with its sources.
#[test]
fn rule_sets_are_listed_with_sources() {
    let scratch = Scratch::new();
    let all = scratch.run(&["rules"]);
    assert_eq!(all.code, Some(0));
    for code in turnto::rest::RuleSet::codes() {
        assert!(all.out.contains(&format!("\n{code} ")), "{code}");
        let one = scratch.run(&["rules", code]);
        assert!(one.code == Some(0) && one.out.contains("READINGS") && one.out.contains("Source: "), "{}", one.out);
        assert!(one.out.lines().all(|l| l.chars().count() <= 80), "{}", one.out);
    }
    assert_eq!(scratch.run(&["rules", "none-such"]).code, Some(2));
}

/// A month kept by somebody in a spreadsheet, from the first cell to the printed record: a grid with semicolons and a mark
/// at the head of the file, exported, checked, one error mended, printed. If this fails, the way a new user goes ends in
/// a ditch.
#[test]
fn a_month_in_a_spreadsheet_is_checked_mended_and_printed() {
    let scratch = small();
    // The job starts on 7 June; the month before and the first days of June, a row a day, Sundays free.
    let halves: Vec<String> = (0..48).map(|half| format!("{:02}:{:02}", half / 2, half % 2 * 30)).collect();
    let sheet = |slip: &str| {
        let mut text = format!("\u{feff}Person;Date;{};Comments\r\n", halves.join(";"));
        for person in ["2E", "3E", "FT", "OL"] {
            for (month, last) in [(5, 31), (6, 6)] {
                for day in 1..=last {
                    let free = (month == 5 && day % 7 == 2) || (month == 6 && day == 6);
                    let cell = |half: i32| if !free && ((16..24).contains(&half) || (26..34).contains(&half)) { "x" } else { "" };
                    let mut cells: Vec<&str> = (0..48).map(cell).collect();
                    // 2E was called out on 20 May from 02:00 to 03:30, and somebody wrote a letter too many on 25 May.
                    let called = person == "2E" && month == 5 && day == 20;
                    if called {
                        (4..7).for_each(|half| cells[half] = "c");
                    }
                    if person == "2E" && month == 5 && day == 25 {
                        cells[20] = slip;
                    }
                    let note = if called { "bilge alarm; float stuck" } else { "" };
                    let row = [person, &format!("2027-{month:02}-{day:02}"), &cells.join(";"), &format!("\"{note}\"\r\n")].join(";");
                    text.push_str(&row);
                }
            }
        }
        text
    };
    let job = scratch.read("job/job.toml");
    scratch.write("job/job.toml", job.replace("recorded_from = \"day -6\"", "recorded_from = 2027-05-01"));
    scratch.write("job/hours.csv", sheet("xc"));
    let slip = scratch.run(&["rest", "job"]);
    assert_eq!(slip.code, Some(2), "{}{}", slip.out, slip.err);
    assert!(slip.err.contains("`xc` is not a mark of a half-hour") && slip.err.contains("hours.csv:26"), "{}", slip.err);
    scratch.write("job/hours.csv", sheet("x"));
    let checked = scratch.run(&["rest", "job"]);
    assert_eq!(checked.code, Some(0), "{}{}", checked.out, checked.err);
    assert!(checked.out.contains("FINDINGS: NONE") && checked.out.contains("CALL-OUTS"), "{}", checked.out);
    let printed = scratch.run(&["rest", "job", "--record", "2E", "--month", "2027-05"]);
    assert_eq!(printed.code, Some(0), "{}", printed.err);
    assert!(printed.out.contains("Month: May 2027") && printed.out.contains("bilge alarm; float stuck"), "{}", printed.out);
    let row = |day: &str| printed.out.lines().find(|line| line.starts_with(&format!("{day} |"))).unwrap_or_default().to_owned();
    assert!(row("20").starts_with("20 |....XXX.........XXXXXXXX--XXXXXXXX..............|"), "{}", row("20"));
    assert!(row("02").starts_with(&format!("02 |{}|  24.0|", ".".repeat(48))), "{}", row("02"));
    let page = scratch.run(&["rest", "job", "--record", "2E", "--month", "2027-05", "--write", "paper", "--quiet"]);
    assert_eq!((page.code, page.err.as_str()), (Some(0), ""));
    // What was exported reads back as the same record.
    let table = scratch.run(&["rest", "job", "--record", "all", "--csv"]);
    let before = scratch.run(&["rest", "job", "--csv"]).out;
    scratch.write("job/hours.csv", table.out);
    assert_eq!(scratch.run(&["rest", "job", "--csv"]).out, before);
}

/// If this fails, an inspector's question gets a wrong answer, or none.
#[test]
fn the_record_is_set_against_the_plan() {
    let scratch = small();
    assert_eq!(scratch.run(&["rest", "job", "--compare"]).code, Some(2), "there is no plan yet");
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(0));
    let none = scratch.run(&["rest", "job", "--compare"]);
    assert_eq!(none.code, Some(1), "{}", none.err);
    assert!(none.out.contains("nothing is recorded since the plan begins"), "{}", none.out);
    // The whole plan as a record agrees with itself.
    let value: serde_json::Value = serde_json::from_str(&scratch.read("job/plan/001/plan.json")).unwrap();
    let mut rows = scratch.read("job/hours.csv");
    let mut first = true;
    let mut late = String::new();
    for person in value["people"].as_array().unwrap() {
        for stretch in person["stretches"].as_array().unwrap() {
            let kind = stretch["kind"].as_str().unwrap();
            if ["task", "watch", "duty"].contains(&kind) {
                let cut = |key: &str| stretch[key].as_str().unwrap()[..16].to_owned();
                let row = format!("{},{},{},{kind},\n", person["id"].as_str().unwrap(), cut("from"), cut("to"));
                if first {
                    late.clone_from(&row);
                    first = false;
                }
                rows.push_str(&row);
            }
        }
    }
    scratch.write("job/hours.csv", &rows);
    let same = scratch.run(&["rest", "job", "--compare"]);
    assert_eq!(same.code, Some(0), "{}{}", same.out, same.err);
    assert!(same.out.contains("THEY AGREE"), "{}", same.out);
    scratch.write("job/hours.csv", rows.replace(&late, ""));
    let differ = scratch.run(&["rest", "job", "--compare"]);
    assert_eq!(differ.code, Some(1), "{}{}", differ.out, differ.err);
    assert!(differ.out.contains("planned, not recorded: ") && differ.out.lines().all(|l| l.chars().count() <= 80), "{}", differ.out);
    let json: serde_json::Value = serde_json::from_str(&scratch.run(&["rest", "job", "--compare", "--json"]).out).unwrap();
    assert_eq!((json["format"].as_str(), json["agree"].as_bool()), (Some("turnto-compare/1"), Some(false)));
    assert!(scratch.run(&["rest", "job", "--compare", "--csv"]).out.starts_with("person,date,planned_hours,"));
}

/// If this fails, the table of working arrangements cannot be had, or is written over an older one.
#[test]
fn the_table_of_arrangements_is_printed_and_written() {
    let scratch = Scratch::new();
    scratch.copy("demo-crew", "job");
    let text = scratch.run(&["rest", "job", "--arrangements", "port"]);
    assert_eq!(text.code, Some(0), "{}{}", text.out, text.err);
    assert!(text.out.contains("TABLE OF SHIPBOARD WORKING ARRANGEMENTS") && text.out.contains("watchkeeping 00:00-04:00,"), "{}", text.out);
    assert!(text.out.lines().all(|l| l.chars().count() <= 80), "{}", text.out);
    let table = scratch.run(&["rest", "job", "--arrangements", "sea", "--csv"]);
    assert!(table.out.lines().any(|l| l.starts_with("3E,Third engineer,\"00:00-04:00, 12:00-16:00\",08:00-12:00,,,")), "{}", table.out);
    assert_eq!(scratch.run(&["rest", "job", "--arrangements", "port", "--write", "paper"]).code, Some(0));
    assert_eq!(scratch.names("paper"), ["arrangements.csv", "arrangements.html", "arrangements.txt"]);
    assert_eq!(scratch.run(&["rest", "job", "--arrangements", "port", "--write", "paper"]).code, Some(2), "nothing is overwritten");
    assert_eq!(scratch.run(&["rest", "job", "--write", "paper"]).code, Some(2));
}

/// If this fails, a plan is made by rules that are then found broken, or the refusal does not say what to do.
#[test]
fn rules_that_cannot_steer_are_refused_before_planning() {
    let scratch = small();
    let job = scratch.read("job/job.toml");
    let odd = job.replace("[rest]\n", "[rest.readings]\ndivided = \"all rest\"\n\n[rest]\n");
    assert_ne!(odd, job);
    scratch.write("job/job.toml", odd);
    let refused = scratch.run(&["plan", "job"]);
    assert_eq!((refused.code, refused.out.as_str()), (Some(2), ""), "{}", refused.err);
    assert!(refused.err.contains("choose another set or reading"), "{}", refused.err);
    assert!(!scratch.path("job/plan").exists(), "nothing was written");
    // Records can be checked by it all the same.
    let checked = scratch.run(&["rest", "job"]);
    assert!(checked.out.contains("A4") && checked.out.contains("all rest must fit the allowed periods"), "{}{}", checked.out, checked.err);
    // Twenty-four hours counted from the start of work after six off steer by every moment, which is stricter.
    scratch.write("job/job.toml", job.replace("[rest]\n", "[rest.readings]\nday = \"after 6 h of rest\"\n\n[rest]\n"));
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(0));
}

/// A company's order of 11 h of rest in any 24, under which the third engineer's watches, talks and arrival stand-by are
/// too much by themselves. If this fails, a plan that cannot be legal is taken for a fault of the program, or is written.
#[test]
fn duties_that_break_own_rules_end_without_a_plan() {
    let scratch = Scratch::new();
    scratch.copy("demo-crew", "job");
    let own = "[set.company]\nname = \"company order\"\nsource = \"invented\"\nlike = \"stcw-mlc-rest\"\n\
               [set.company.rule.24h]\nkind = \"total rest\"\nwithin = 24\nat_least = 11\n";
    scratch.write("job/rules.toml", own);
    let job = scratch.read("job/job.toml");
    scratch.write("job/job.toml", job.replace("rules = \"stcw-mlc-rest\"", "rules = \"company\""));
    let ran = scratch.run(&["plan", "job", "--quiet", "--time-limit", "1"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(3), ""), "{}", ran.err);
    assert!(ran.err.contains("duties of 3E that leave no choice") && ran.err.contains("or move a duty"), "{}", ran.err);
    assert!(!scratch.path("job/plan/001").exists());
}

/// If this fails, an empty form is printed for a month of which there is no record, and nobody is told which months there are.
#[test]
fn a_month_without_a_record_is_told() {
    let scratch = Scratch::small();
    let none = scratch.run(&["rest", "job", "--record", "FT", "--month", "2026-06"]);
    assert_eq!((none.code, none.out.as_str()), (Some(2), ""), "{}", none.err);
    assert_eq!(none.err, "nothing is recorded of FT in 2026-06; there are 2027-05, 2027-06\n");
    let all = scratch.run(&["rest", "job", "--record", "all", "--month", "2026-06"]);
    assert_eq!((all.code, all.err.as_str()), (Some(2), "nothing is recorded of anybody in 2026-06; there are 2027-05, 2027-06\n"));
    // Of several, those without are named beside the others.
    let rows: Vec<String> = scratch.read("job/hours.csv").lines().filter(|l| !l.starts_with("OL,")).map(|l| format!("{l}\n")).collect();
    scratch.write("job/hours.csv", rows.concat());
    scratch.write("job/job.toml", scratch.read("job/job.toml").replace("recorded_from", "# recorded_from"));
    let some = scratch.run(&["rest", "job", "--record", "all", "--month", "2027-06"]);
    assert_eq!((some.code, some.out.matches("RECORD OF HOURS OF REST").count()), (Some(0), 3), "{}", some.err);
    assert!(some.err.contains("nothing is recorded of OL in 2027-06"), "{}", some.err);
}

/// If this fails, what people were told before a plan was made anew is not compared with what they did then.
#[test]
fn the_record_is_compared_with_each_plan_for_its_time() {
    let scratch = Scratch::small_replanned("day 1 14:00");
    // All of both plans as a record, each for its time.
    let mut rows = scratch.read("job/hours.csv");
    for plan in ["001", "002"] {
        let value: serde_json::Value = serde_json::from_str(&scratch.read(&format!("job/plan/{plan}/plan.json"))).unwrap();
        for person in value["people"].as_array().unwrap() {
            for stretch in person["stretches"].as_array().unwrap() {
                let time = |key: &str| stretch[key].as_str().unwrap()[..16].to_owned();
                let (from, mut to) = (time("from"), time("to"));
                let kind = stretch["kind"].as_str().unwrap();
                if !["task", "watch", "duty"].contains(&kind) {
                    continue;
                }
                if plan == "001" {
                    let cut = "2027-06-07T14:00".to_owned();
                    if from >= cut {
                        continue;
                    }
                    to = to.min(cut);
                }
                rows = format!("{rows}{},{from},{to},{kind},\n", person["id"].as_str().unwrap());
            }
        }
    }
    scratch.write("job/hours.csv", &rows);
    let same = scratch.run(&["rest", "job", "--compare"]);
    assert_eq!(same.code, Some(0), "{}{}", same.out, same.err);
    let words = same.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("against what people were told: 2027-06-07 08:00"), "{}", same.out);
    assert!(words.contains("plan 001: 2027-06-07 08:00-14:00 plan 002: 2027-06-07 14:00 to"), "{}", same.out);
    // An hour of the morning that was not recorded is a difference of the first plan.
    let morning = rows.lines().rfind(|l| l.contains(",2027-06-07T08:00,")).expect("somebody begins at eight").to_owned();
    scratch.write("job/hours.csv", rows.replace(&format!("{morning}\n"), ""));
    let json: serde_json::Value = serde_json::from_str(&scratch.run(&["rest", "job", "--compare", "--json"]).out).unwrap();
    assert_eq!((json["days"].as_array().map(Vec::len), json["days"][0]["date"].as_str()), (Some(1), Some("2027-06-07")), "{json}");
    assert_eq!((json["plan"].as_str(), json["plans"].as_array().map(Vec::len)), (Some("002"), Some(2)), "{json}");
    assert_eq!(json["from"], json["plans"][0]["from"]);
}

/// If this fails, an absence that ends or begins on another day than the call is said with hours alone, which is another time.
#[test]
fn an_absence_of_several_days_is_said_with_its_days() {
    let scratch = small();
    let away = "[person.OL]\naway = \"day 1 12:00 - day 2 14:00, day 3 18:00-20:00, day 3 22:00 - end\"";
    scratch.write("job/crew.toml", scratch.read("job/crew.toml").replace("[person.OL]", away));
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(0));
    for (at, said) in [
        ("day 2 02:00", "not aboard day 1 12:00 to day 2 14:00."),
        ("day 3 18:30", "not aboard 18:00 to 20:00."),
        ("day 3 22:30", "not aboard from day 3 22:00 on."),
    ] {
        let ran = scratch.run(&["call", "job", "--at", at]);
        assert!(ran.out.contains(said), "{at}: {}{}", ran.out, ran.err);
    }
}
