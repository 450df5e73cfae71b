//! Records of many ships as a document. Instants are RFC 3339 in UTC, lengths decimal hours.

use serde::Serialize;

use crate::hours::{FleetView, RuleHours, ShipHours};
use crate::out::hours::check_json::{Set, set_row};
use crate::out::hours::fleet::{days, stamps};
use crate::report::wire::Hours;
use crate::rest::rule::Rule;

#[derive(Serialize)]
struct Document {
    format: &'static str,
    made_by: &'static str,
    rule_set: Set,
    rows: usize,
    rows_skipped: usize,
    came_back: usize,
    needs_attention: bool,
    ships: Vec<ShipRow>,
}

#[derive(Serialize)]
struct ShipRow {
    ship: String,
    people: usize,
    people_with_findings: usize,
    person_days: i64,
    rows: usize,
    overlapping_rows: usize,
    came_back: usize,
    from: Option<String>,
    to: Option<String>,
    rules: Vec<Row>,
}

#[derive(Serialize)]
struct Row {
    rule: String,
    occasions: usize,
    windows: usize,
    excused_windows: usize,
    people: usize,
    worst: Option<Worst>,
}

#[derive(Serialize)]
struct Worst {
    person: String,
    from: String,
    to: String,
    found_hours: Hours,
    required_hours: Hours,
    short_by_hours: Hours,
}

/// The sums of every ship as one document with a line end at the end.
///
/// # Panics
/// Never: the document has text keys and finite numbers only.
#[must_use]
pub fn fleet_json(view: &FleetView<'_>) -> String {
    let document = Document {
        format: "turnto-rest-ships/1",
        made_by: crate::report::wire::MADE_BY,
        rule_set: set_row(view.set, Vec::new()),
        rows: view.rows(),
        rows_skipped: view.skipped,
        came_back: view.came_back(),
        needs_attention: view.needs_attention(),
        ships: view.ships.iter().map(|one| ship(view, one)).collect(),
    };
    let mut text = serde_json::to_string_pretty(&document).expect("a document with text keys and finite numbers can be written");
    text.push('\n');
    text
}

fn ship(view: &FleetView<'_>, ship: &ShipHours) -> ShipRow {
    let [from, to] = match ship.span.map(stamps) {
        Some(ends) => ends.map(Some),
        None => [None, None],
    };
    ShipRow {
        ship: ship.ship.clone(),
        people: ship.people,
        people_with_findings: ship.people_found,
        person_days: days(ship.person_minutes),
        rows: ship.rows,
        overlapping_rows: ship.overlapping,
        came_back: ship.came_back,
        from,
        to,
        rules: view.set.rules.iter().zip(&ship.rules).map(|(rule, found)| row(rule, found)).collect(),
    }
}

fn row(rule: &Rule, found: &RuleHours) -> Row {
    let worst = found.worst.as_ref().map(|(person, worst)| {
        let [from, to] = stamps(worst.window);
        Worst {
            person: person.clone(),
            from,
            to,
            found_hours: worst.found.into(),
            required_hours: worst.required.into(),
            short_by_hours: worst.shortfall().into(),
        }
    });
    Row {
        rule: rule.code.clone(),
        occasions: found.occasions,
        windows: found.windows,
        excused_windows: found.excused,
        people: found.people,
        worst,
    }
}
