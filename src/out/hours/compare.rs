//! The record against the plan: as text, as a table, as a document.

use serde::Serialize;

use crate::clock::ShipClock;
use crate::hours::{Comparison, DayCompared};
use crate::model::Problem;
use crate::out::csv::{Table, hours, text};
use crate::out::hours::words::{self, FIRST};
use crate::out::page::Page;
use crate::out::words::tied;
use crate::report::wire::Hours;
use crate::time::{Minutes, Span};

/// Column at which what is said about a person begins.
const COLUMN: usize = 7;

/// What was compared.
pub struct Compared<'a> {
    /// The job.
    pub problem: &'a Problem,
    /// What the plans are called that people were told, one after the other.
    pub plans: &'a [String],
    /// How the two compare.
    pub comparison: &'a Comparison,
}

/// The comparison as text of at most 80 columns, the largest difference first.
#[must_use]
pub fn compare_text(compared: &Compared<'_>) -> String {
    let mut page = Page::default();
    let Compared { problem, plans, comparison } = compared;
    let clock = &problem.clock;
    page.text(&format!("{} - {}", problem.ship, problem.title));
    let Some(time) = comparison.time else {
        let plan = plans.first().map_or("", String::as_str);
        page.text(&format!("The record against plan {plan}: nothing is recorded since the plan begins, so there is nothing to compare."));
        return page.finish();
    };
    let named: Vec<(&String, Span)> = plans.iter().zip(&comparison.counts).filter_map(|(plan, time)| Some((plan, (*time)?))).collect();
    match named.as_slice() {
        [(plan, _)] => page.text(&format!("The record against plan {plan}: {}, ship's time", words::from_to(clock, time))),
        several => {
            page.text(&format!("The record against what people were told: {}, ship's time", words::from_to(clock, time)));
            for (plan, time) in several {
                page.text(&format!("plan {plan}: {}", words::from_to(clock, *time)));
            }
        }
    }
    page.text(FIRST);
    let differ = comparison.days.len();
    page.heading(&if differ == 0 { "They agree".to_owned() } else { format!("They differ on {differ} days of people") });
    if comparison.same > 0 {
        page.text(&format!("Days of people with work on which both say the same: {}.", comparison.same));
    }
    if !comparison.without.is_empty() {
        page.text(&format!(
            "ATTENTION: nothing is recorded since the first plan begins of {}.",
            words::people(problem, &comparison.without)
        ));
    }
    for row in &comparison.days {
        let code = tied(&problem.people[row.person].code);
        page.item(
            &code,
            COLUMN,
            &format!(
                "{}: planned {}, recorded {}, {} differ",
                tied(&format!("{} (day {})", clock.date(row.day), row.day.number())),
                words::hours(row.planned),
                words::hours(row.recorded),
                words::hours(row.difference())
            ),
        );
        for (what, spans) in [("planned, not recorded", &row.missing), ("recorded, not planned", &row.extra)] {
            if !spans.is_empty() {
                page.item("", COLUMN, &format!("{what}: {}", times(clock, spans)));
            }
        }
    }
    page.blank();
    page.text(
        "Work is watches, tasks and duties of the plan, and every row of the record; time on hand is none. Compared up to the last \
         recorded minute of anybody; what came before a plan was made anew, with the plan that held then. A record that differs from \
         the plan is not wrong by that: it is to say what was done.",
    );
    page.finish()
}

/// `08:00-12:00, 13:00-14:30`.
fn times(clock: &ShipClock, spans: &[Span]) -> String {
    let end = |span: &Span| {
        let midnight = clock.minute_of_day(span.end()).is_zero();
        if midnight { "24:00".to_owned() } else { clock.hour(span.end()) }
    };
    spans.iter().map(|span| tied(&format!("{}-{}", clock.hour(span.start()), end(span)))).collect::<Vec<_>>().join(", ")
}

/// A row for each day of a person on which the two differ, the largest difference first.
#[must_use]
pub fn compare_csv(compared: &Compared<'_>) -> String {
    let clock = &compared.problem.clock;
    let mut table = Table::new(&[
        "person",
        "date",
        "planned_hours",
        "recorded_hours",
        "difference_hours",
        "planned_not_recorded",
        "recorded_not_planned",
    ]);
    for row in &compared.comparison.days {
        let spans = |spans: &[Span]| text(&times(clock, spans).replace('\u{a0}', " "));
        table.push(vec![
            text(&compared.problem.people[row.person].code),
            clock.date(row.day).to_string(),
            hours(row.planned),
            hours(row.recorded),
            hours(row.difference()),
            spans(&row.missing),
            spans(&row.extra),
        ]);
    }
    table.finish()
}

#[derive(Serialize)]
struct Document {
    format: &'static str,
    made_by: &'static str,
    ship: String,
    job: String,
    /// The newest.
    plan: String,
    /// Those that are compared, each for its time.
    plans: Vec<PlanRow>,
    from: Option<String>,
    to: Option<String>,
    agree: bool,
    same_days: usize,
    without_record: Vec<String>,
    days: Vec<DayRow>,
}

#[derive(Serialize)]
struct PlanRow {
    plan: String,
    from: String,
    to: String,
}

#[derive(Serialize)]
struct DayRow {
    person: String,
    date: String,
    planned_hours: Hours,
    recorded_hours: Hours,
    difference_hours: Hours,
    planned_not_recorded: Vec<Times>,
    recorded_not_planned: Vec<Times>,
}

#[derive(Serialize)]
struct Times {
    from: String,
    to: String,
}

/// The comparison as one document with a line end at the end.
///
/// # Panics
/// Never: the document has text keys and finite numbers only.
#[must_use]
pub fn compare_json(compared: &Compared<'_>) -> String {
    let Compared { problem, plans, comparison } = compared;
    let stamp = |moment| problem.clock.stamp(moment).to_rfc3339();
    let code = |person| problem.people[person].code.clone();
    let list = |spans: &[Span]| spans.iter().map(|s| Times { from: stamp(s.start()), to: stamp(s.end()) }).collect();
    let row = |row: &DayCompared| {
        let length = |minutes: Minutes| minutes.into();
        DayRow {
            person: code(row.person),
            date: problem.clock.date(row.day).to_string(),
            planned_hours: length(row.planned),
            recorded_hours: length(row.recorded),
            difference_hours: length(row.difference()),
            planned_not_recorded: list(&row.missing),
            recorded_not_planned: list(&row.extra),
        }
    };
    let document = Document {
        format: "turnto-compare/1",
        made_by: crate::report::wire::MADE_BY,
        ship: problem.ship.clone(),
        job: problem.title.clone(),
        plan: plans.last().cloned().unwrap_or_default(),
        plans: plans
            .iter()
            .zip(&comparison.counts)
            .filter_map(|(plan, time)| Some(PlanRow { plan: plan.clone(), from: stamp((*time)?.start()), to: stamp((*time)?.end()) }))
            .collect(),
        from: comparison.time.map(|time| stamp(time.start())),
        to: comparison.time.map(|time| stamp(time.end())),
        agree: comparison.time.is_some() && comparison.days.is_empty(),
        same_days: comparison.same,
        without_record: comparison.without.iter().map(|person| code(*person)).collect(),
        days: comparison.days.iter().map(row).collect(),
    };
    let mut text = serde_json::to_string_pretty(&document).expect("a document with text keys and finite numbers can be written");
    text.push('\n');
    text
}
