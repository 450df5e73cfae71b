//! Records of many ships as a table.

use crate::hours::FleetView;
use crate::out::csv::{Table, hours, text};
use crate::out::hours::fleet::{days, stamps};

const HEADER: [&str; 19] = [
    "ship",
    "people",
    "person_days",
    "rows",
    "overlapping_rows",
    "came_back",
    "rule_set",
    "rule",
    "asks_for",
    "occasions",
    "windows",
    "excused_windows",
    "people_found",
    "worst_person",
    "worst_from",
    "worst_to",
    "worst_found_hours",
    "required_hours",
    "worst_short_by_hours",
];

/// A row for each ship and rule, broken or kept.
#[must_use]
pub fn fleet_csv(view: &FleetView<'_>) -> String {
    let mut table = Table::new(&HEADER);
    for ship in view.ships {
        for (rule, found) in view.set.rules.iter().zip(&ship.rules) {
            let number = |n: usize| n.to_string();
            let mut row = vec![
                text(&ship.ship),
                number(ship.people),
                days(ship.person_minutes).to_string(),
                number(ship.rows),
                number(ship.overlapping),
                number(ship.came_back),
                text(&view.set.code),
                text(&rule.code),
                text(&rule.kind.text()),
                number(found.occasions),
                number(found.windows),
                number(found.excused),
                number(found.people),
            ];
            match &found.worst {
                Some((person, worst)) => {
                    let [from, to] = stamps(worst.window);
                    row.extend([text(person), from, to, hours(worst.found), hours(worst.required), hours(worst.shortfall())]);
                }
                None => row.extend([const { String::new() }; 6]),
            }
            table.push(row);
        }
    }
    table.finish()
}
