//! The printed daily plan.

use turnto::out::days_text;
use turnto::report::Report;

use super::{ship, verified};

#[test]
fn x() {
    let problem = ship::problem();
    let verified = verified(&problem, ship::plan(&problem));
    let solved = ship::solved();
    let report = Report::new(&problem, &verified, &solved);
    println!("{}", days_text(&report));
}
