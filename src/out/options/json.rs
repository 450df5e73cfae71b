//! Options as a document. Instants are RFC 3339 with the ship's offset.

use serde::Serialize;

use crate::account::Account;
use crate::model::Problem;
use crate::out::options::{Figures, OptionSheet};
use crate::report::wire::Hours;
use crate::time::Moment;

#[derive(Serialize)]
struct Document {
    format: &'static str,
    ship: String,
    options: Vec<Row>,
}

#[derive(Serialize)]
struct Row {
    name: String,
    title: String,
    plan: Option<Plan>,
    why_not: Option<String>,
}

#[derive(Serialize)]
struct Plan {
    finish: String,
    late_hours: Hours,
    machinery_shortfall: i64,
    reserve_shortfall: i64,
    overtime_hours: Hours,
    changed_hours: Hours,
    least_rest_24h: Hours,
    milestones: Vec<Date>,
    back: Vec<Date>,
}

#[derive(Serialize)]
struct Date {
    id: String,
    at: String,
}

/// The document, indented by two, with a line end at the end.
///
/// # Panics
/// Never: the document has text keys and finite numbers only.
#[must_use]
pub fn options_json(sheet: &OptionSheet<'_>) -> String {
    let row = |row: &super::OptionRow| {
        let (plan, why_not) = match &row.result {
            Ok((problem, account)) => (Some(plan(problem, account)), None),
            Err(why) => (None, Some(why.clone())),
        };
        Row { name: row.name.clone(), title: row.title.clone(), plan, why_not }
    };
    let document = Document { format: "turnto-options/1", ship: sheet.ship.clone(), options: sheet.rows.iter().map(row).collect() };
    let mut text = serde_json::to_string_pretty(&document).expect("a document with text keys and finite numbers can be written");
    text.push('\n');
    text
}

fn plan(problem: &Problem, account: &Account) -> Plan {
    let figures = Figures::of(problem, account);
    let stamp = |at: Moment| problem.clock.stamp(at).to_rfc3339();
    let milestones = problem.milestones.pairs().map(|(id, m)| Date { id: m.code.clone(), at: stamp(account.milestones[id].met_at) });
    Plan {
        finish: stamp(account.finish),
        late_hours: figures.late.into(),
        machinery_shortfall: account.machinery_shortfall,
        reserve_shortfall: account.reserve_shortfall,
        overtime_hours: figures.overtime.into(),
        changed_hours: account.told_changed.into(),
        least_rest_24h: figures.least_rest.into(),
        milestones: milestones.collect(),
        back: figures.back.iter().map(|(unit, at)| Date { id: problem.units[*unit].code.clone(), at: stamp(*at) }).collect(),
    }
}
