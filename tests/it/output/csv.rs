//! The tables: they parse back, their sums agree with the account, and no cell is a formula.

use turnto::model::Problem;
use turnto::out::{people_csv, rest_csv, tasks_csv, totals_csv, watches_csv};
use turnto::report::Report;

use super::ship::{self, id};
use super::{of, of_ship};

/// A writer of a table.
type Writer = fn(&Report<'_>) -> String;

const ALL: [(&str, Writer); 5] =
    [("people", people_csv), ("tasks", tasks_csv), ("watches", watches_csv), ("rest", rest_csv), ("totals", totals_csv)];

/// Header and rows.
fn parse(text: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().expect("a header").iter().map(str::to_owned).collect();
    let rows = reader.records().map(|r| r.expect("rows of equal length").iter().map(str::to_owned).collect()).collect();
    (header, rows)
}

fn column(header: &[String], name: &str) -> usize {
    header.iter().position(|h| h == name).unwrap_or_else(|| panic!("no column `{name}`"))
}

/// Sum of a column of hours over the rows that `wanted` picks.
fn sum(text: &str, name: &str, wanted: impl Fn(&[String]) -> bool) -> f64 {
    let (header, rows) = parse(text);
    let at = column(&header, name);
    rows.iter().filter(|r| wanted(r)).map(|r| r[at].parse::<f64>().expect("a number")).sum()
}

/// If this fails, a spreadsheet cannot open a table, or its columns shift.
#[test]
fn every_table_parses_back() {
    for (name, write) in ALL {
        let (header, rows) = parse(&of_ship(write));
        assert!(!rows.is_empty(), "{name}");
        assert!(rows.iter().all(|r| r.len() == header.len()), "{name}");
    }
}

/// If this fails, the hours of a person no longer add up to the length of the plan.
#[test]
fn people_account_for_every_hour() {
    let text = of_ship(people_csv);
    // From day 1 08:00 to day 4 00:00 are 64 h.
    for person in ["CE", "2E", "3E", "4E", "FT", "M1", "W1"] {
        assert!((sum(&text, "hours", |r| r[0] == person) - 64.0).abs() < 1e-9, "{person}");
    }
    // 2E: 1 + 0.5 + 4.5 on day 1, 3 + 1 on day 3.
    assert!((sum(&text, "hours", |r| r[0] == "2E" && r[5] == "task") - 10.0).abs() < 1e-9);
    assert!((sum(&text, "overtime_hours", |r| r[5] == "task") - 1.0).abs() < 1e-9);
}

/// If this fails, labour is counted twice or not at all in one of the tables.
#[test]
fn labour_is_the_same_everywhere() {
    // 37 labour-hours: see the first screen.
    assert!((sum(&of_ship(tasks_csv), "labour_hours", |_| true) - 37.0).abs() < 1e-9);
    let totals = of_ship(totals_csv);
    for of in ["job", "day", "person", "person-day", "phase", "task", "competence-day"] {
        assert!((sum(&totals, "labour_hours", |r| r[0] == of) - 37.0).abs() < 1e-9, "{of}");
    }
    for of in ["job", "day", "person", "person-day", "phase", "task"] {
        assert!((sum(&totals, "overtime_hours", |r| r[0] == of) - 1.0).abs() < 1e-9, "{of}");
    }
}

/// If this fails, opening a table in a spreadsheet can run what somebody wrote into a task.
#[test]
fn texts_are_no_formulas() {
    let mut parts = ship::parts();
    parts.tasks[id(0)].text = "=HYPERLINK(\"x\")".to_owned();
    parts.tasks[id(1)].text = "+1".to_owned();
    parts.tasks[id(2)].text = "-1".to_owned();
    parts.tasks[id(3)].text = "@x".to_owned();
    parts.tasks[id(4)].text = "\t=1".to_owned();
    parts.people[id(0)].name = "=1+1".to_owned();
    parts.duties[id(0)].name = "=2".to_owned();
    parts.tags[id(0)].code = "=tag".to_owned();
    parts.posts[id(0)].name = "@post".to_owned();
    let problem = Problem::new(parts).expect("it hangs together");
    for (name, write) in ALL {
        let text = of(&problem, ship::plan(&problem), &ship::solved(), write);
        let (_, rows) = parse(&text);
        let formula = |cell: &String| cell.trim_start().starts_with(['=', '+', '-', '@']) && cell.parse::<f64>().is_err();
        for cell in rows.iter().flatten() {
            assert!(!formula(cell), "{name}: {cell}");
        }
    }
    let text = of(&problem, ship::plan(&problem), &ship::solved(), tasks_csv);
    assert!(text.contains("'=HYPERLINK"), "the text itself is kept");
}

/// If this fails, a table has times without offset, which a reader would take for his own.
#[test]
fn times_have_their_offset() {
    for (name, write) in ALL {
        let (header, rows) = parse(&of_ship(write));
        for at in header.iter().enumerate().filter(|(_, h)| h.ends_with("from") || h.ends_with("to")).map(|(i, _)| i) {
            for row in rows.iter().filter(|r| !r[at].is_empty()) {
                assert!(row[at].starts_with("2027-0") && row[at].ends_with("+03:00"), "{name}: {}", row[at]);
            }
        }
    }
}

/// If this fails, tasks without a phase have one of a sign that spreadsheets take for a formula.
#[test]
fn tasks_without_a_phase_have_an_empty_cell() {
    let mut parts = ship::parts();
    parts.phases[id(0)].code = "-".to_owned();
    let problem = Problem::new(parts).expect("the changed job hangs together");
    let write = |writer: Writer| of(&problem, ship::plan(&problem), &ship::solved(), writer);
    let (header, rows) = parse(&write(tasks_csv));
    let at = column(&header, "phase");
    assert!(rows.iter().any(|row| row[at].is_empty()) && rows.iter().all(|row| row[at] != "'-"), "{rows:?}");
    assert!(write(totals_csv).lines().any(|line| line.starts_with("phase,,,")), "{}", write(totals_csv));
}
