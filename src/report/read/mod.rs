//! Reads a plan back from `plan.json`, also one edited by hand.
//!
//! Taken as said: the spells of the tasks, the watches, when duties are done, and time on hand (stretches
//! of people of kind `break`). Everything else in the document follows from these and is not looked at.
//! Whether the plan keeps the rules is for the verifier to say; here it only has to fit the job.

mod cursor;
mod duties;
mod on_hand;
mod spells;
mod turns;

use std::fmt;

use cursor::{Faults, Node};

use crate::clock::ShipClock;
use crate::model::Problem;
use crate::plan::Plan;
use crate::report::wire;
use crate::time::Moment;

/// One thing in a plan file that does not fit the job.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlanProblem {
    /// Where: the path in the document (`tasks[3].spells[0].from`), or line and column where the text is
    /// not JSON.
    pub path: String,
    /// What is wrong.
    pub what: String,
}

impl fmt::Display for PlanProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.path, self.what)
    }
}

impl std::error::Error for PlanProblem {}

/// Reads a plan for `problem` from the text of a `plan.json`.
///
/// Things are matched by their codes, instants by their offset (any offset will do). Spells come back
/// sorted by start, task and part, and time on hand as stretches of ordinary hours and named breaks.
///
/// # Errors
/// Everything that does not fit, in the order of the document.
pub fn read_plan(problem: &Problem, text: &str) -> Result<Plan, Vec<PlanProblem>> {
    let value = parsed(text)?;
    let mut faults = Faults::default();
    let root = Node::root(&value);
    if !heading(problem, &root, &mut faults) {
        return Err(faults.into_list());
    }
    let on_hand = on_hand::read(problem, &root, &mut faults);
    let spells = spells::read(problem, &root, &mut faults);
    let finish = spells.iter().map(|s| s.span().end()).max().unwrap_or(problem.start);
    let end = problem.end_for(finish);
    let turns = turns::read(problem, &root, end, &mut faults);
    let duties = duties::read(problem, &root, end, turns.as_ref(), &mut faults);
    match (turns, duties, faults.into_list()) {
        (Some(turns), Some(duties), none) if none.is_empty() => Ok(Plan { spells, turns, duties, on_hand }),
        (_, _, list) => Err(list),
    }
}

/// What a `plan.json` says about itself.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Heading {
    /// When planning began: the start of the job, or the moment it was planned again.
    pub start: Moment,
    /// The plan it was made from.
    pub based_on: Option<u32>,
    /// How many entries of the log it takes in.
    pub log_entries: Option<u32>,
}

/// Reads what a document says about itself, and nothing of the plan in it.
///
/// # Errors
/// It is not such a document.
pub fn read_heading(clock: &ShipClock, text: &str) -> Result<Heading, Vec<PlanProblem>> {
    let value = parsed(text)?;
    let mut faults = Faults::default();
    let root = Node::root(&value);
    let start = root.field("start", &mut faults).and_then(|node| node.moment(clock, &mut faults));
    let mut number = |key| root.optional(key).and_then(|node| node.whole(&mut faults));
    let (based_on, log_entries) = (number("based_on"), number("log_entries"));
    start.map(|start| Heading { start, based_on, log_entries }).ok_or_else(|| faults.into_list())
}

fn parsed(text: &str) -> Result<serde_json::Value, Vec<PlanProblem>> {
    serde_json::from_str(text).map_err(|error| {
        let path = format!("line {}, column {}", error.line(), error.column());
        vec![PlanProblem { path, what: format!("this is not JSON: {error}") }]
    })
}

/// Checks what must agree before it makes sense to read on.
fn heading(problem: &Problem, root: &Node<'_>, faults: &mut Faults) -> bool {
    let Some(format) = root.field("format", faults) else { return false };
    if format.text(faults).is_none_or(|text| text != wire::FORMAT) {
        format.fault(faults, format!("only `{}` can be read", wire::FORMAT));
        return false;
    }
    if let Some(node) = root.field("slot_minutes", faults) {
        let slot = node.whole(faults);
        let here = problem.grid.slot().get();
        if slot.is_some_and(|s| i64::from(s) != i64::from(here)) {
            node.fault(faults, format!("the job has slots of {here} minutes"));
        }
    }
    if let Some(node) = root.field("start", faults)
        && let Some(start) = node.moment(&problem.clock, faults)
        && start != problem.start
    {
        node.fault(faults, format!("the job is planned from {}", problem.clock.stamp(problem.start).to_rfc3339()));
    }
    true
}
