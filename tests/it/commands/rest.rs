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
    assert_eq!(again.code, Some(4), "nothing is overwritten: {}", again.err);
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
