//! Whole outputs of the small job, compared byte for byte with files that were looked at by eye.
//!
//! After a wanted change, run the tests once with `SNAPSHOTS=overwrite` and read the difference.

use snapbox::{assert_data_eq, file};

use super::of_ship;
use turnto::out;

/// The printed plan changes only when somebody means it to.
#[test]
fn days_txt() {
    assert_data_eq!(of_ship(out::days_text), file!["../../fixtures/output/days.txt"].raw());
}

/// The stable document changes only when somebody means it to.
#[test]
fn plan_json() {
    assert_data_eq!(of_ship(out::plan_json), file!["../../fixtures/output/plan.json": Text].raw());
}

/// The tables change only when somebody means them to.
#[test]
fn tables() {
    assert_data_eq!(of_ship(out::people_csv), file!["../../fixtures/output/people.csv"].raw());
    assert_data_eq!(of_ship(out::tasks_csv), file!["../../fixtures/output/tasks.csv"].raw());
    assert_data_eq!(of_ship(out::watches_csv), file!["../../fixtures/output/watches.csv"].raw());
    assert_data_eq!(of_ship(out::rest_csv), file!["../../fixtures/output/rest.csv"].raw());
    assert_data_eq!(of_ship(out::totals_csv), file!["../../fixtures/output/totals.csv"].raw());
}
