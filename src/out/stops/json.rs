//! Stop points as a document. Instants are RFC 3339 with the ship's offset.

use serde::Serialize;

use crate::out::stops::{StopRow, StopSheet, Stopped};
use crate::replan::Overnight;
use crate::report::wire::Hours;
use crate::time::Moment;

#[derive(Serialize)]
struct Document {
    format: &'static str,
    ship: String,
    plan: String,
    going_on: String,
    no_quicker_from: Option<String>,
    rows: Vec<Row>,
    night: Night,
    alone: Vec<Alone>,
}

#[derive(Serialize)]
struct Row {
    from: String,
    open: Option<bool>,
    closed_up: Option<Closed>,
    why_not: Option<String>,
}

#[derive(Serialize)]
struct Closed {
    at: String,
    hours: Hours,
    not_before: String,
    quicker: bool,
    tasks: usize,
    left_out: Vec<String>,
    overtime_hours: Hours,
    machinery_shortfall: i64,
    reserve_shortfall: i64,
}

#[derive(Serialize)]
struct Night {
    from: String,
    to: String,
    not_to_be_interrupted: Vec<GoesOn>,
}

#[derive(Serialize)]
struct GoesOn {
    what: &'static str,
    task: String,
    tool: Option<String>,
    attended_by: Option<String>,
    from: String,
    to: String,
}

#[derive(Serialize)]
struct Alone {
    person: String,
    competence: String,
    tasks: Vec<String>,
}

/// The document, indented by two, with a line end at the end.
///
/// # Panics
/// Never: the document has text keys and finite numbers only.
#[must_use]
pub fn stops_json(sheet: &StopSheet<'_>) -> String {
    let stamp = |at: Moment| sheet.standing.clock.stamp(at).to_rfc3339();
    let alone = sheet.sole.iter().map(|sole| Alone {
        person: sheet.rest.people[sole.person].code.clone(),
        competence: sheet.rest.competences[sole.competence].code.clone(),
        tasks: sole.tasks.iter().map(|t| sheet.rest.tasks[*t].code.clone()).collect(),
    });
    let document = Document {
        format: "turnto-stops/1",
        ship: sheet.standing.ship.clone(),
        plan: sheet.plan.to_owned(),
        going_on: stamp(sheet.going_on),
        no_quicker_from: sheet.no_return().map(stamp),
        rows: sheet.rows.iter().map(|row| self::row(sheet, row)).collect(),
        night: Night {
            from: stamp(sheet.night.start()),
            to: stamp(sheet.night.end()),
            not_to_be_interrupted: sheet.tonight.iter().map(|one| goes_on(sheet, one)).collect(),
        },
        alone: alone.collect(),
    };
    let mut text = serde_json::to_string_pretty(&document).expect("a document with text keys and finite numbers can be written");
    text.push('\n');
    text
}

fn row(sheet: &StopSheet<'_>, row: &StopRow) -> Row {
    let stamp = |at: Moment| sheet.standing.clock.stamp(at).to_rfc3339();
    let open = row.stopped.as_ref().ok().map(|stopped| !matches!(stopped, Stopped::NothingOpen));
    let closed_up = match &row.stopped {
        Ok(Stopped::ClosedUp { figures, not_before, tasks, left_out }) => Some(Closed {
            at: stamp(figures.finish),
            hours: (figures.finish - row.from).into(),
            not_before: stamp(*not_before),
            quicker: figures.finish < sheet.going_on,
            tasks: *tasks,
            left_out: left_out.iter().map(|t| sheet.whole.parts.tasks[*t].code.clone()).collect(),
            overtime_hours: figures.overtime.into(),
            machinery_shortfall: figures.machinery,
            reserve_shortfall: figures.reserve,
        }),
        Ok(Stopped::NothingOpen) | Err(_) => None,
    };
    Row { from: stamp(row.from), open, closed_up, why_not: row.stopped.as_ref().err().cloned() }
}

fn goes_on(sheet: &StopSheet<'_>, one: &Overnight) -> GoesOn {
    let problem = sheet.standing;
    let stamp = |at: Moment| problem.clock.stamp(at).to_rfc3339();
    let (what, task, tool, attended_by) = match one {
        Overnight::Spell { task, part: false, .. } => ("never", *task, None, None),
        Overnight::Spell { task, part: true, .. } => ("part", *task, None, None),
        Overnight::ByItself { task, attended_by, .. } => ("by itself", *task, None, *attended_by),
        Overnight::Held { tool, until, .. } => ("held", *until, Some(*tool), None),
    };
    GoesOn {
        what,
        task: problem.tasks[task].code.clone(),
        tool: tool.map(|t| problem.tools[t].code.clone()),
        attended_by: attended_by.map(|p| problem.posts[p].code.clone()),
        from: stamp(one.span().start()),
        to: stamp(one.span().end()),
    }
}
