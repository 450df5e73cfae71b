//! `turnto rest --stdin`: records of many ships.

use std::io::Write;
use std::process::Stdio;

use super::{Ran, Scratch};

const HEAD: &str = "ship,person,from,to,kind,note\n";

fn feed(scratch: &Scratch, args: &[&str], text: &[u8]) -> Ran {
    let mut command = scratch.command(&[&["rest", "--stdin"], args].concat());
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // What is wrong with the first line ends the program before it has read the rest.
    drop(child.stdin.take().unwrap().write_all(text));
    let output = child.wait_with_output().unwrap();
    Ran { code: output.status.code(), out: String::from_utf8(output.stdout).unwrap(), err: String::from_utf8(output.stderr).unwrap() }
}

/// A person's day work, 08-12 and 13-17, on so many days of March.
fn days(ship: &str, person: &str, days: u32) -> String {
    let row = |day: u32, from: u32, to: u32| format!("{ship},{person},2027-03-{day:02}T{from:02}:00,2027-03-{day:02}T{to:02}:00,duty,\n");
    (1..=days).map(|day| row(day, 8, 12) + &row(day, 13, 17)).collect()
}

/// If this fails, a sound fleet is not passed, or its sums are wrong.
#[test]
fn a_sound_fleet_passes_with_its_sums() {
    let scratch = Scratch::new();
    let text = HEAD.to_owned() + &days("Alder", "2E", 31) + &days("Alder", "3E", 30) + &days("Birch", "2E", 10);
    let ran = feed(&scratch, &[], text.as_bytes());
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{}", ran.out);
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
    let json = feed(&scratch, &["--json"], text.as_bytes());
    let value: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(value["format"], "turnto-rest-ships/1");
    assert_eq!(
        (value["rows"].as_u64(), value["rows_skipped"].as_u64(), value["needs_attention"].as_bool()),
        (Some(142), Some(0), Some(false))
    );
    let ship = &value["ships"][0];
    assert_eq!((ship["ship"].as_str(), ship["people"].as_u64(), ship["rows"].as_u64()), (Some("Alder"), Some(2), Some(122)));
    // From 08:00 on the first day to 17:00 on the last: 30 d 9 h and 29 d 9 h, 59.75 days.
    assert_eq!(ship["person_days"].as_i64(), Some(60));
    assert_eq!((ship["from"].as_str(), ship["to"].as_str()), (Some("2027-03-01T08:00:00Z"), Some("2027-03-31T17:00:00Z")));
}

/// If this fails, a breach in a stream is not found, or is found by other rules than were asked for.
#[test]
fn breaches_are_summed_by_ship_and_rule() {
    let scratch = Scratch::new();
    // Published example: 06-20, then 05-10: 9 h of rest from 06:00 to 06:00; offsets must not move it.
    let rows =
        "Alder,2E,2027-03-01T06:00+03:00,2027-03-01T20:00+03:00,duty,\nAlder,2E,2027-03-02T05:00+03:00,2027-03-02T10:00+03:00,duty,\n";
    let text = HEAD.to_owned() + rows + &days("Birch", "2E", 10);
    let ran = feed(&scratch, &[], text.as_bytes());
    assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("Worst: 2E, 2027-03-01 03:00 to 2027-03-02 03:00: 9 h found, 1 h"), "{}", ran.out);
    let table = feed(&scratch, &["--csv"], text.as_bytes()).out;
    let row = |ship: &str, rule: &str| table.lines().find(|l| l.starts_with(ship) && l.contains(&format!(",{rule},"))).unwrap().to_owned();
    assert!(row("Alder", "24h").contains(",1,2,0,1,2E,2027-03-01T03:00:00Z,"), "{table}");
    assert!(row("Birch", "24h").contains(",0,0,0,0,,,"), "{table}");
    // Ten days of eight hours are 80 h in ten days but 56 in seven: in order by both regimes.
    let both = feed(&scratch, &["--rules", "both"], (HEAD.to_owned() + &days("Birch", "2E", 10)).as_bytes());
    assert_eq!(both.code, Some(0), "{}", both.out);
    // A set of one's own, seven hours a day.
    scratch.write(
        "job/rules.toml",
        "[set.light]\nname = \"light duty\"\nsource = \"invented\"\n[set.light.rule.day]\nkind = \"work\"\nwithin = 24\nat_most = 7\n",
    );
    let own = feed(&scratch, &["job", "--rules", "light", "--csv"], (HEAD.to_owned() + &days("Birch", "2E", 10)).as_bytes());
    assert_eq!(own.code, Some(1), "{}{}", own.out, own.err);
    assert!(own.out.contains("light,day,at most 7 h of work in any 24 h,"), "{}", own.out);
    assert_eq!(feed(&scratch, &["--rules", "none-such"], text.as_bytes()).code, Some(2));
}

/// If this fails, an emergency passes as a breach as any other, or excuses what was broken without it.
#[test]
fn an_emergency_excuses_but_stays() {
    let scratch = Scratch::new();
    let fire = "Alder,2E,2027-03-05T17:00,2027-03-06T00:30,emergency,fire in the purifier room\n";
    let value = |text: &str| -> serde_json::Value {
        let ran = feed(&scratch, &["--json"], text.as_bytes());
        assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
        let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        value["ships"][0]["rules"][0].clone()
    };
    let with = value(&(HEAD.to_owned() + &days("Alder", "2E", 10) + fire));
    assert_eq!((with["rule"].as_str(), with["excused_windows"].as_u64()), (Some("24h"), with["windows"].as_u64()));
    // Without a reason on record nothing is excused.
    let without = value(&(HEAD.to_owned() + &days("Alder", "2E", 10) + &fire.replace("fire in the purifier room", "")));
    assert_eq!((without["excused_windows"].as_u64(), without["windows"].as_u64()), (Some(0), with["windows"].as_u64()));
}

/// If this fails, rows are lost without a word, or one bad row costs others.
#[test]
fn broken_rows_are_named_counted_and_skipped() {
    let scratch = Scratch::new();
    let bad = "Alder,2E,2027-03-01T08:00,2027-03-01T12:00,nap,\nAlder,2E,\"2027-03-01T08:00\nAlder\nAlder,2E,2027-03-09T12:00,2027-03-09T08:00,duty,\n";
    let mut text = (HEAD.to_owned() + &days("Alder", "2E", 5) + bad).into_bytes();
    text.extend(vec![b'x'; 200_000]);
    text.extend_from_slice(b"\nAlder,2E,2027-03-07T08:00+01:00,2027-03-07T12:00+01:00,duty,\n\xff\xfe\n");
    text.extend_from_slice(days("Birch", "2E", 5).as_bytes());
    let ran = feed(&scratch, &[], &text);
    assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
    for (line, why) in [
        (12, "`nap` is not a kind of work"),
        (13, "a quotation mark is not closed"),
        (14, "it has no person; the row has 1 fields of 6"),
        (15, "it ends before it begins"),
        (16, "longer than 64 KiB"),
        (17, "give an offset from UTC"),
        (18, "not UTF-8"),
    ] {
        let said = ran.err.lines().find(|l| l.starts_with(&format!("standard input, line {line}: "))).unwrap_or_default();
        assert!(said.contains(why), "{line}: {}", ran.err);
    }
    let said = if let Some(a) = ran.out.find("20\u{a0}rows used") { a } else { ran.out.find("20 rows used").expect("the count") };
    assert!(ran.out[said..].contains("7 rows not used"), "{}", ran.out);
    for (text, words) in [("", "is empty"), ("a,b\n", "is not a column"), (HEAD, "has no rows")] {
        let ran = feed(&scratch, &[], text.as_bytes());
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{}", ran.err);
        assert!(ran.err.contains(words), "{}", ran.err);
    }
}

/// If this fails, a record that comes in two parts passes for a whole one.
#[test]
fn who_comes_back_is_said_loudly() {
    let scratch = Scratch::new();
    let ship = HEAD.to_owned() + &days("Alder", "2E", 5) + &days("Birch", "2E", 5) + &days("Alder", "3E", 5);
    let ran = feed(&scratch, &[], ship.as_bytes());
    assert_eq!(ran.code, Some(1));
    assert!(ran.err.contains("line 22: ATTENTION: ship Alder comes back"), "{}", ran.err);
    assert!(ran.out.contains("ATTENTION: 1"), "{}", ran.out);
    let person = HEAD.to_owned() + &days("Alder", "2E", 5) + &days("Alder", "3E", 5) + &days("Alder", "2E", 5);
    let ran = feed(&scratch, &["--json"], person.as_bytes());
    assert!(ran.err.contains("line 22: ATTENTION: 2E of Alder comes back"), "{}", ran.err);
    let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!((ran.code, value["came_back"].as_u64(), value["ships"][0]["people"].as_u64()), (Some(1), Some(1), Some(2)));
}
