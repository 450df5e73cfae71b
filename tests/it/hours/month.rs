//! The record of a month: sums, the columns that are not for the seafarer, and what is not known.

use chrono::NaiveDate;
use turnto::clock::{ClockChange, ShipClock};
use turnto::hours::{Month, covers, month, months};
use turnto::model::{Problem, RecordKind, Recorded};
use turnto::out;
use turnto::time::{Minutes, Span};

use crate::support::job::{Job, at, on};

/// 06:00 to 20:00 every day from 20 February to 28 February 2027; day 1 is 1 March. Known from 20 February.
fn sheet() -> (Problem, Month) {
    let mut job = Job::new(2);
    let person = job.person("A", &[]);
    let mut list: Vec<Recorded> =
        (-8..=0).map(|day| Recorded { span: on(day, "06:00-20:00"), kind: RecordKind::Duty, note: String::new() }).collect();
    list.push(Recorded { span: on(-3, "21:00-22:00"), kind: RecordKind::Call, note: "bilge <alarm>".to_owned() });
    list.sort_by_key(|r| r.span);
    job.parts.people[person].recorded = list;
    job.parts.people[person].recorded_from = Some(at(-8, "00:00"));
    let problem = job.problem();
    let first = NaiveDate::from_ymd_opt(2027, 2, 1).unwrap();
    let sheet = month(&problem, problem.people.ids().next().unwrap(), first);
    (problem, sheet)
}

/// If this fails, an inspector's figures are wrong, or are given where the record does not reach back far enough.
#[test]
fn the_columns_not_for_the_seafarer_are_worked_out() {
    let (problem, sheet) = sheet();
    assert_eq!(months(&problem, sheet.person), [sheet.first]);
    assert_eq!(sheet.days.len(), 28);
    let day = |number: usize| &sheet.days[number - 1];
    assert_eq!(day(19).known, None);
    assert_eq!(day(19).least_24h, None, "nothing is known");
    // The window from 06:00 on the day before, known from 00:00, ends on the 21st: 10 h.
    assert_eq!(day(20).least_24h, None, "24 h back from 20:00 reach before the record");
    assert_eq!(day(21).least_24h, Some(Minutes::hours(10)));
    assert_eq!((day(22).work, day(22).rest), (Minutes::hours(14), Minutes::hours(10)));
    // On the 25th there is an hour more of work at 21:00: 10 - 1 in the 24 h from 06:00, that end on the 26th.
    assert_eq!((day(25).work, day(25).rest), (Minutes::hours(15), Minutes::hours(9)));
    assert_eq!(day(26).least_24h, Some(Minutes::hours(9)));
    // Seven days of 14 h and the call: 168 - 98 - 1. The first seven days that are all known end on the 27th.
    assert_eq!(day(26).least_7d, None);
    assert_eq!(day(27).least_7d, Some(Minutes::hours(69)));
    assert_eq!(day(27).most_7d, Some(Minutes::hours(99)));
    let rules = &problem.rule_sets[problem.people[sheet.person].rest].rules;
    assert!(day(27).findings.iter().any(|f| rules[f.rule].code == "7d"));
    assert!(!sheet.watchkeeper);
}

/// If this fails, the record on paper does not fit the page, says something else than the figures, or lets a note
/// break the page.
#[test]
fn the_record_is_the_same_as_text_table_and_page() {
    let (problem, sheet) = sheet();
    let text = out::month_text(&problem, &sheet);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    // Twelve half-hours of rest, 28 of work, 8 of rest.
    assert!(text.contains(&format!("22 |{}{}{}", ".".repeat(12), "X".repeat(28), ".".repeat(8))), "{text}");
    assert!(text.contains("call-out 21:00-22:00 (bilge <alarm>)"), "{text}");
    let table = out::month_csv(&problem, &sheet);
    let mut reader = csv_rows(&table);
    let header = reader.remove(0);
    assert_eq!((header.len(), reader.len()), (57, 28));
    assert_eq!(reader[21][..3], ["A", "2027-02-22", ""]);
    assert_eq!((reader[21][14].as_str(), reader[21][50].as_str(), reader[21][51].as_str()), ("X", "14", "10"));
    let page = out::month_html(&problem, &sheet);
    assert!(page.contains("bilge &lt;alarm&gt;") && !page.contains("<alarm>"));
    assert!(!page.contains("http") && !page.contains("<script"), "nothing is fetched or run");
    assert_eq!(page.matches("<tr><th scope=\"row\">").count(), 28);
}

/// Rows of a simple table without quotation marks in the fields looked at.
fn csv_rows(table: &str) -> Vec<Vec<String>> {
    table.lines().map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

/// The half-hours of a day, from 00:00, on the printed record of A, who works in `spans`; the clock goes back from 03:00 to 02:00
/// on 25 February 2027. With the row of the table, and the comments.
fn day_of_25_hours(spans: &[Span]) -> (String, Vec<String>, String) {
    let mut job = Job::new(2);
    let person = job.person("A", &[]);
    let change = ClockChange { at: at(-3, "03:00"), offset: Minutes::hours(2) };
    job.parts.clock = ShipClock::new(job.parts.clock.day_one(), Minutes::hours(3), vec![change]).expect("a legal clock");
    let row = |span: &Span| Recorded { span: *span, kind: RecordKind::Watch, note: String::new() };
    job.parts.people[person].recorded = spans.iter().map(row).collect();
    job.parts.people[person].recorded_from = Some(at(-8, "00:00"));
    let problem = job.problem();
    let sheet = month(&problem, person, NaiveDate::from_ymd_opt(2027, 2, 1).unwrap());
    assert_eq!(sheet.days[24].span.length(), Minutes::hours(25));
    let text = out::month_text(&problem, &sheet);
    let line = text.lines().find(|l| l.starts_with("25 |")).expect("the day is there");
    let table = csv_rows(&out::month_csv(&problem, &sheet)).remove(25);
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    (line[4..52].to_owned(), table[2..50].to_vec(), words)
}

/// The model record has 48 places for a day, whatever its length (IMO/ILO guidelines of 1999, model format of the record; what
/// becomes of an hour shown twice it does not say: common practice, no source). If this fails, work in one of two showings of a
/// half-hour is not on the paper, or is put to a half-hour beside it.
#[test]
fn a_half_hour_that_is_shown_twice_is_marked_for_both() {
    let second = |from: &str, to: &str| Span::new(at(-3, from), at(-3, to)).expect("it has a length");
    // 02:00-02:30 by the clock for the second time is 03:00-03:30 in time that goes on.
    for (span, marks) in [
        (second("02:00", "02:30"), "..../..."),
        (second("03:00", "03:30"), "..../..."),
        (second("03:30", "04:00"), "...../.."),
        (second("02:30", "03:30"), "....//.."),
        (second("02:00", "04:00"), "....XX.."),
        (second("04:00", "04:30"), "......X."),
    ] {
        let (line, cells, words) = day_of_25_hours(&[span]);
        assert_eq!(&line[..8], marks, "{span:?}");
        let told: Vec<&str> = marks.chars().map(|c| if c == '.' { "" } else { "w" }).collect();
        assert_eq!(cells[..8], told, "{span:?}");
        assert!(words.contains("this day has 25 h; 02:00-03:00 is shown twice, and marked once for both"), "{words}");
    }
    // A minute of rest between the two showings: both are worked on in part.
    let (line, ..) = day_of_25_hours(&[second("02:00", "02:59"), second("03:00", "04:00")]);
    assert_eq!(&line[..8], "....X/..");
}

/// If this fails, hours after the last entry of a day read as rest in the table, where nothing is known of them.
#[test]
fn what_comes_after_the_last_entry_is_not_known() {
    let mut job = Job::new(2);
    let person = job.person("A", &[]);
    let duty = |day, times| Recorded { span: on(day, times), kind: RecordKind::Duty, note: String::new() };
    // The job starts at 08:00 of day 1, 1 March 2027; the last entry is of 10:30 that day.
    job.parts.people[person].recorded = vec![duty(0, "08:00-12:00"), duty(1, "08:00-10:30")];
    job.parts.people[person].recorded_from = Some(at(0, "00:00"));
    let problem = job.problem();
    let sheet = month(&problem, person, NaiveDate::from_ymd_opt(2027, 3, 1).unwrap());
    let row = csv_rows(&out::month_csv(&problem, &sheet)).remove(1);
    let told: Vec<&str> = std::iter::repeat_n("", 16).chain(["X"; 5]).chain(std::iter::repeat_n("?", 27)).collect();
    assert_eq!(row[2..50], told);
}

/// If this fails, a month of which nothing is known is taken for one with a record, or one of rest alone is not.
#[test]
fn months_of_which_nothing_is_known_are_told() {
    let (problem, sheet) = sheet();
    let covered = |year, month| covers(&problem, sheet.person, NaiveDate::from_ymd_opt(year, month, 1).unwrap());
    // The job starts at 08:00 on 1 March, and to then the record is of rest.
    let found = [(2026, 12), (2027, 1), (2027, 2), (2027, 3), (2027, 4)].map(|(year, month)| covered(year, month));
    assert_eq!(found, [false, false, true, true, false]);
}
