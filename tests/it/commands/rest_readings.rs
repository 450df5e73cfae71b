//! Readings and rest owed as somebody meets them on the command line.

use super::Scratch;

fn small() -> Scratch {
    let scratch = Scratch::new();
    assert_eq!(scratch.run(&["new", "job", "--quiet"]).code, Some(0));
    scratch
}

/// Chooses readings in the job and adds rows to the record.
fn change(scratch: &Scratch, readings: &str, rows: &str) {
    if !readings.is_empty() {
        let job = scratch.read("job/job.toml");
        scratch.write("job/job.toml", job.replace("[rest]\n", &format!("[rest.readings]\n{readings}\n\n[rest]\n")));
    }
    let hours = scratch.read("job/hours.csv");
    scratch.write("job/hours.csv", hours + rows);
}

/// If this fails, rest owed for a call-out is not balanced in one of the outputs, or what is still owed ends as if all were well.
#[test]
fn what_is_owed_for_a_call_out_is_said_everywhere() {
    let scratch = small();
    change(&scratch, "", "2E,2027-06-05 02:00,2027-06-05 03:00,call,bilge alarm\n");
    let paid = scratch.run(&["rest", "job"]);
    assert_eq!(paid.code, Some(0), "{}{}", paid.out, paid.err);
    // From 03:00: five hours to 08:00, five from 17:00, then the hour that was lost; lunch is a named break.
    assert!(paid.out.contains("1 h owed, given back by 2027-06-05 23:00"), "{}", paid.out);
    assert!(paid.out.contains("STILL OWED: NOTHING") && paid.out.lines().all(|l| l.chars().count() <= 80), "{}", paid.out);
    let json: serde_json::Value = serde_json::from_str(&scratch.run(&["rest", "job", "--json"]).out).unwrap();
    let owed = &json["people"][0]["calls"][0]["owed"];
    assert_eq!((owed["hours"].as_f64(), owed["still_owed_hours"].as_f64()), (Some(1.0), Some(0.0)), "{json}");
    let person = &json["people"][0];
    for (figure, from) in [("best_two_24h", "best_two_24h_from"), ("longest_24h", "longest_24h_from")] {
        assert!(person[figure].is_number() && person[from].is_string(), "{person}");
    }
    assert_eq!(owed["given_back_by"], "2027-06-05T23:00:00+02:00");
    assert_eq!(owed["due_by"], "2027-06-06T08:00:00+02:00");
    let table = scratch.run(&["rest", "job", "--csv"]).out;
    assert!(table.lines().next().unwrap().ends_with(",owed_hours,given_back_hours,still_owed_hours,due_by,overdue"), "{table}");
    let row = table.lines().find(|l| l.starts_with("call,2E")).unwrap();
    assert!(row.ends_with(",1.00,1.00,0.00,2027-06-06T08:00:00+02:00,no") || row.ends_with(",1,1,0,2027-06-06T08:00:00+02:00,no"), "{row}");
    // Called every night, and at work until eight: nothing is left to give back.
    let late = "2E,2027-06-05 17:00,2027-06-05 22:00,duty,\n2E,2027-06-06 06:00,2027-06-06 08:00,duty,\n\
                2E,2027-06-06 17:00,2027-06-06 22:00,duty,\n2E,2027-06-07 06:00,2027-06-07 08:00,duty,\n";
    change(&scratch, "", late);
    let owing = scratch.run(&["rest", "job"]);
    assert_eq!(owing.code, Some(1), "{}{}", owing.out, owing.err);
    let words = owing.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("ATTENTION: 1 h still owed, was due by 2027-06-06 06:00, the end of the next rest"), "{}", owing.out);
    assert!(owing.out.contains("STILL OWED: 2E 1 H"), "{}", owing.out);
}

/// Reading A9. If this fails, time on call cannot be recorded, is taken for work, or is not where that is the reading.
#[test]
fn time_on_call_is_rest_or_work_as_it_is_read() {
    let rows = "2E,2027-06-04 17:00,2027-06-05 08:00,oncall,\n2E,2027-06-05 02:00,2027-06-05 03:00,call,alarm\n";
    let scratch = small();
    change(&scratch, "", rows);
    let check = scratch.run(&["check", "job"]);
    assert_eq!(check.code, Some(0), "no overlap: {}{}", check.out, check.err);
    assert_eq!(scratch.run(&["rest", "job"]).code, Some(0));
    let month = scratch.run(&["rest", "job", "--record", "2E"]);
    assert!(month.out.contains("on call 17:00-24:00") && month.out.contains("on call 00:00-08:00"), "{}", month.out);
    let table = scratch.run(&["rest", "job", "--record", "2E", "--csv"]).out;
    let day = table.lines().find(|line| line.contains("2027-06-05")).unwrap();
    let marks: Vec<&str> = day.split(',').skip(2).take(8).collect();
    assert_eq!(marks, ["o", "o", "o", "o", "c", "c", "o", "o"], "{day}");
    change(&scratch, "on_call = \"work\"", "");
    let strict = scratch.run(&["rest", "job"]);
    assert_eq!(strict.code, Some(1), "{}{}", strict.out, strict.err);
    let words = strict.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("on call without a call is work"), "{}", strict.out);
    // From 08:00 on the 4th to 17:00 on the 5th without a rest: lunch is a named break.
    assert!(words.contains("14h, at most 14 h between two rests: 33 h found, 19 h too much"), "{}", strict.out);
}

/// Reading A16. If this fails, ten hours exactly pass where they are read to fail, or nobody is told why they do not.
#[test]
fn exactly_ten_hours_fail_where_that_is_read_so() {
    let scratch = small();
    // Work from 06:00 to 20:00, and on the next day from 06:00 on.
    let rows = "2E,2027-06-05 06:00,2027-06-05 08:00,duty,\n2E,2027-06-05 17:00,2027-06-05 20:00,duty,\n2E,2027-06-06 06:00,2027-06-06 07:00,duty,\n";
    change(&scratch, "", rows);
    assert_eq!(scratch.run(&["rest", "job"]).code, Some(0));
    change(&scratch, "exactly = \"fails\"", "");
    let ran = scratch.run(&["rest", "job"]);
    assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
    let words = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("24h, at least 10 h 01 of rest in any 24 h: 10 h found, 0 h 01 too little"), "{}", ran.out);
    assert!(words.contains("exactly the limit fails: the limits printed are a minute stricter"), "{}", ran.out);
}

/// Reading A10. If this fails, a finding that an emergency takes away is still there, or the emergency is gone with it.
#[test]
fn an_emergency_may_take_a_finding_away() {
    let scratch = small();
    change(&scratch, "", "2E,2027-06-05 17:00,2027-06-06 02:00,emergency,fire in the galley\n");
    assert_eq!(scratch.run(&["rest", "job"]).code, Some(1));
    change(&scratch, "emergency = \"removes\"", "");
    let ran = scratch.run(&["rest", "job"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("FINDINGS: NONE") && ran.out.contains("fire in the galley"), "{}", ran.out);
    let month = scratch.run(&["rest", "job", "--record", "2E", "--month", "2027-06"]);
    assert_eq!(month.code, Some(0), "{}", month.out);
    assert!(month.out.contains("emergency 17:00-02:00 (fire in the galley)") && !month.out.contains('!'), "{}", month.out);
}

/// Reading A8. If this fails, a plan is made that gives no rest for exempt drills, or the refusal does not say why; or jobs
/// without drills are refused too.
#[test]
fn exempt_drills_are_not_planned_and_it_is_said_why() {
    let scratch = small();
    change(&scratch, "drill = \"exempt\"", "");
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(0), "there is no drill");
    let duties = "[duty.boats]\nname = \"Lifeboat drill\"\nwhen = \"day 2 16:00-17:00\"\nwho = \"all\"\ndrill = true\n";
    let before = if scratch.path("job/duties.toml").exists() { scratch.read("job/duties.toml") } else { String::new() };
    scratch.write("job/duties.toml", before + "\n" + duties);
    let refused = scratch.run(&["plan", "job", "--quiet"]);
    assert_eq!((refused.code, refused.out.as_str()), (Some(2), ""), "{}", refused.err);
    let words = refused.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("exempts drills from the limits and owes equal rest for them (A8)") && words.contains("`boats`"),
        "{}",
        refused.err
    );
    let check = scratch.run(&["check", "job"]);
    assert_eq!(check.code, Some(1));
    assert!(check.out.contains("C434"), "{}", check.out);
}

/// Reading A14. If this fails, a passage with a change of the clock is planned by elapsed hours though they are counted as
/// shown, or records cannot be checked so.
#[test]
fn hours_as_shown_are_planned_only_while_the_clock_stands() {
    let scratch = small();
    change(&scratch, "clock_change = \"as shown\"", "");
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(0), "the clock is not changed");
    let job = scratch.read("job/job.toml");
    scratch.write("job/job.toml", job.replace("[breaks]", "[[clock_change]]\nat = \"day 2 02:00\"\nclock = \"UTC+3\"\n\n[breaks]"));
    let refused = scratch.run(&["plan", "job", "--quiet"]);
    assert_eq!((refused.code, refused.out.as_str()), (Some(2), ""), "{}", refused.err);
    assert!(refused.err.contains("A14"), "{}", refused.err);
    let ran = scratch.run(&["rest", "job", "--of", "records"]);
    assert!(ran.out.contains("24 to every day"), "{}{}", ran.out, ran.err);
}

/// Exceptions and stricter readings are of the planner's own making: rosters have to keep the rules without them. If this fails,
/// a job with open turns breaks the program off, or is rostered by rules of which it cannot be known whether they will hold.
#[test]
fn open_turns_are_rostered_under_exceptions_and_refused_where_rules_cannot_steer() {
    let scratch = Scratch::new();
    scratch.copy("examples/harbour-rota", "job");
    let job = scratch.read("job/job.toml");
    let with = |text: &str| scratch.write("job/job.toml", job.replace("[rest]\n", &format!("{text}\n[rest]\n")));
    with(
        "[rest.exceptions]\nflag = \"F\"\nagreement = \"G\"\nseventy_hours = true\nthree_periods = true\n\n[rest.readings]\nexactly = \"fails\"\n",
    );
    let rostered = scratch.run(&["watches", "job", "--quiet"]);
    assert_eq!(rostered.code, Some(0), "{}{}", rostered.out, rostered.err);
    let words = rostered.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("A16 exactly the limit fails") && rostered.out.lines().all(|l| l.chars().count() <= 80), "{}", rostered.out);
    let planned = scratch.run(&["plan", "job", "--quiet", "--time-limit", "1"]);
    assert!(matches!(planned.code, Some(0 | 1)), "complete or late: {}", planned.err);
    let call = scratch.run(&["call", "job", "--at", "day 2 02:00", "--night"]);
    let words = call.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("A16 exactly the limit fails") && words.contains("at least 10 h 01 of rest in any 24 h"),
        "{}{}",
        call.out,
        call.err
    );
    for command in [&["call", "job", "--at", "day 2 02:00", "--json"][..], &["watches", "job", "--json"]] {
        let value: serde_json::Value = serde_json::from_str(&scratch.run(command).out).unwrap();
        let readings = value["rule_sets"][0]["readings"].as_array().unwrap();
        assert!(readings.iter().any(|r| r["number"] == "A16" && r["text"].as_str().unwrap().contains("fails")), "{value}");
    }
    with("[rest.readings]\ndivided = \"all rest\"\n");
    let refused = scratch.run(&["watches", "job", "--quiet"]);
    assert_eq!((refused.code, refused.out.as_str()), (Some(2), ""), "{}", refused.err);
    assert!(refused.err.contains("choose another set or reading"), "{}", refused.err);
}

/// If this fails, people of whom nothing is recorded pass for rested without a word, or a row is lost behind a quotation mark.
#[test]
fn what_is_not_in_the_record_is_said() {
    let scratch = small();
    let hours = scratch.read("job/hours.csv");
    let without: Vec<&str> = hours.lines().filter(|line| !line.starts_with("OL,")).collect();
    scratch.write("job/hours.csv", without.join("\n") + "\n");
    let ran = scratch.run(&["rest", "job"]);
    assert!(ran.out.contains("NO WORK RECORDED\nOL: hours.csv has no work"), "{}", ran.out);
    let row = |note: &str| format!("2E,2027-06-05 18:00,2027-06-05 20:00,duty,{note}\n3E,2027-06-05 18:00,2027-06-05 20:00,duty,\n");
    scratch.write("job/hours.csv", hours.clone() + &row("\"fuel pump"));
    let broken = scratch.run(&["rest", "job"]);
    assert_eq!(broken.code, Some(2), "{}", broken.out);
    assert!(broken.err.contains("a quotation mark is not closed on this line"), "{}", broken.err);
    scratch.write("job/hours.csv", hours + &row("\"fuel pump, \"\"old\"\" one\""));
    assert_eq!(scratch.run(&["rest", "job"]).code, Some(0));
}

/// If this fails, somebody who was ashore before the job cannot say so, though a gap in his record asks for it.
#[test]
fn time_ashore_before_the_job_explains_a_gap_in_a_grid() {
    let scratch = small();
    let halves: Vec<String> = (0..48).map(|half| format!("{:02}:{:02}", half / 2, half % 2 * 30)).collect();
    let mut grid = vec![format!("person,date,{}", halves.join(","))];
    for person in ["2E", "3E", "FT", "OL"] {
        for day in (1..=6).filter(|day| person != "3E" || ![3, 4].contains(day)) {
            grid.push(format!("{person},2027-06-{day:02}{}", ",".repeat(48)));
        }
    }
    scratch.write("job/hours.csv", grid.join("\n") + "\n");
    let gap = scratch.run(&["check", "job"]);
    assert_eq!(gap.code, Some(2), "{}", gap.out);
    assert!(gap.out.contains("there is no row of 3E on 2027-06-03") && gap.out.contains("(away)"), "{}", gap.out);
    let crew = scratch.read("job/crew.toml");
    scratch.write("job/crew.toml", crew.replace("[person.3E]\n", "[person.3E]\naway = \"2027-06-03 00:00 - 2027-06-04 24:00\"\n"));
    let sound = scratch.run(&["check", "job"]);
    assert_eq!(sound.code, Some(0), "{}{}", sound.out, sound.err);
    let month = scratch.run(&["rest", "job", "--record", "3E", "--month", "2027-06"]);
    assert!(month.out.contains("03  not aboard 00:00-24:00"), "{}{}", month.out, month.err);
    assert_eq!(scratch.run(&["plan", "job", "--quiet"]).code, Some(0));
}

/// If this fails, somebody does what a cure says and the finding is still there.
#[test]
fn a_cure_that_is_followed_takes_the_finding_away() {
    let scratch = small();
    let rows = |from: &str| format!("2E,2027-06-05 17:00,2027-06-05 23:00,duty,\n2E,2027-06-06 {from},2027-06-06 08:00,duty,\n");
    let dates = ["2027-05-31", "2027-06-01", "2027-06-02", "2027-06-03", "2027-06-04", "2027-06-05", "2027-06-06"];
    let days = (-6..=0).zip(dates);
    let hours = days.fold(scratch.read("job/hours.csv"), |text, (day, date)| text.replace(&format!("day {day} "), &format!("{date} ")));
    scratch.write("job/hours.csv", hours.clone() + &rows("06:00"));
    let broken = scratch.run(&["rest", "job", "--json"]);
    assert_eq!(broken.code, Some(1));
    let value: serde_json::Value = serde_json::from_str(&broken.out).unwrap();
    let matters = value["people"][0]["matters"].as_array().unwrap();
    assert!(!matters.is_empty());
    // One after the other, each as it is told, until none is left; every step has to take away what it is said to.
    let mut text = hours.clone() + &rows("06:00");
    let mut steps = 0;
    loop {
        let value: serde_json::Value = serde_json::from_str(&scratch.run(&["rest", "job", "--json"]).out).unwrap();
        let matters = value["people"][0]["matters"].as_array().unwrap();
        let Some(first) = matters.iter().find(|matter| matter["cure"].is_object()) else {
            assert!(matters.is_empty(), "{matters:?}");
            break;
        };
        let (piece, part) = (&first["cure"]["piece"], &first["cure"]["part"]);
        let cut = |value: &serde_json::Value| value.as_str().unwrap()[..16].replace('T', " ");
        // What is left of the piece: unbroken work, whatever rows it was made of.
        let (from, to) = (cut(&piece["from"]), cut(&piece["to"]));
        let inside = |line: &str| {
            let fields: Vec<&str> = line.split(',').collect();
            fields[0] == "2E" && fields[1].starts_with("2027") && fields[1] >= from.as_str() && fields[2] <= to.as_str()
        };
        let kept: Vec<&str> = text.lines().filter(|line| !inside(line)).collect();
        let mut changed = kept.join("\n") + "\n";
        for (a, b) in [(from.clone(), cut(&part["from"])), (cut(&part["to"]), to.clone())] {
            if a < b {
                changed = [changed, format!("2E,{a},{b},duty,\n")].concat();
            }
        }
        assert_ne!(changed, text, "{first}");
        text = changed;
        scratch.write("job/hours.csv", text.as_str());
        let after: serde_json::Value = serde_json::from_str(&scratch.run(&["rest", "job", "--json"]).out).unwrap();
        let still = after["people"][0]["matters"].as_array().unwrap();
        assert!(!still.iter().any(|matter| matter["worst"] == first["worst"]), "{first}: {still:?}");
        steps += 1;
        assert!(steps < 12, "no end of cures");
    }
    assert_eq!(scratch.run(&["rest", "job"]).code, Some(0));
}
