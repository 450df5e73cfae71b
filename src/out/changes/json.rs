//! What a new plan changes, as a document. Instants are RFC 3339 with the ship's offset.

use serde::Serialize;

use crate::model::Problem;
use crate::out::changes::{ChangeSheet, words};
use crate::replan::{Act, Reason};
use crate::report::wire::Hours;
use crate::time::{Moment, Span};

#[derive(Serialize)]
struct Document {
    format: &'static str,
    plan: u32,
    in_place_of: u32,
    from: String,
    finish: String,
    people: Vec<Person>,
    tasks: Vec<Task>,
    duties: Vec<Duty>,
    gone: Vec<Gone>,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct Person {
    id: String,
    weighted_hours: Hours,
    pieces: Vec<Piece>,
}

#[derive(Serialize)]
struct Piece {
    from: String,
    to: String,
    told: Doing,
    now: Doing,
}

#[derive(Serialize)]
struct Doing {
    kind: &'static str,
    #[serde(rename = "ref")]
    reference: Option<String>,
}

#[derive(Serialize)]
struct Task {
    id: String,
    told: Option<Stretch>,
    now: Stretch,
    reason: &'static str,
    of: Option<String>,
    text: String,
}

/// A task told for later with no more to do.
#[derive(Serialize)]
struct Gone {
    id: String,
    told: Stretch,
    text: String,
}

#[derive(Serialize)]
struct Stretch {
    from: String,
    to: String,
}

#[derive(Serialize)]
struct Duty {
    id: String,
    occurrence: u32,
    told: String,
    now: String,
}

/// The document, indented by two, with a line end at the end.
///
/// # Panics
/// Never: the document has text keys and finite numbers only.
#[must_use]
pub fn changes_json(sheet: &ChangeSheet<'_>) -> String {
    let problem = &sheet.rest.problem;
    let stamp = |at: Moment| problem.clock.stamp(at).to_rfc3339();
    let stretch = |span: Span| Stretch { from: stamp(span.start()), to: stamp(span.end()) };
    let people = sheet.changes.people.iter().map(|change| Person {
        id: problem.people[change.person].code.clone(),
        weighted_hours: change.weight.into(),
        pieces: change
            .pieces
            .iter()
            .map(|p| Piece { from: stamp(p.span.start()), to: stamp(p.span.end()), told: doing(sheet, p.was), now: doing(sheet, p.now) })
            .collect(),
    });
    let tasks = sheet.changes.tasks.iter().map(|change| {
        let (reason, of) = reason(problem, change.reason);
        Task {
            id: problem.tasks[change.task].code.clone(),
            told: change.was.map(stretch),
            now: stretch(change.now),
            reason,
            of,
            text: words::reason(sheet.whole, problem, change.reason).replace(crate::out::page::TIE, " "),
        }
    });
    let duties = sheet.changes.duties.iter().map(|(duty, was, now)| Duty {
        id: problem.duties[*duty].code.clone(),
        occurrence: problem.duties[*duty].occurrence,
        told: stamp(*was),
        now: stamp(*now),
    });
    let gone = sheet.changes.gone.iter().map(|row| Gone {
        id: sheet.whole.parts.tasks[row.task].code.clone(),
        told: stretch(row.was),
        text: row.entry.map_or_else(String::new, |entry| words::logged(sheet.whole, entry).replace(crate::out::page::TIE, " ")),
    });
    let document = Document {
        format: "turnto-changes/1",
        plan: sheet.new,
        in_place_of: sheet.old.parse().unwrap_or(0),
        from: stamp(problem.start),
        finish: stamp(sheet.account.finish),
        people: people.collect(),
        tasks: tasks.collect(),
        duties: duties.collect(),
        gone: gone.collect(),
        notes: sheet.notes.to_vec(),
    };
    let mut text = serde_json::to_string_pretty(&document).expect("a document with text keys and finite numbers can be written");
    text.push('\n');
    text
}

fn doing(sheet: &ChangeSheet<'_>, act: Act) -> Doing {
    let problem = &sheet.rest.problem;
    let (kind, reference) = match act {
        Act::Task(task) => ("task", Some(problem.tasks[task].code.clone())),
        Act::Gone(task) => ("task", Some(sheet.whole.parts.tasks[task].code.clone())),
        Act::Turn(turn) => ("watch", Some(problem.posts[problem.turns[turn].post].code.clone())),
        Act::Free => ("free", None),
    };
    Doing { kind, reference }
}

fn reason(problem: &Problem, reason: Reason) -> (&'static str, Option<String>) {
    let task = |t: crate::id::TaskId| Some(problem.tasks[t].code.clone());
    match reason {
        Reason::New(_) => ("new", None),
        Reason::Logged(_) => ("logged", None),
        Reason::Unfit(who) => ("unfit", Some(problem.people[who].code.clone())),
        Reason::Called(who) => ("called", Some(problem.people[who].code.clone())),
        Reason::ToolGone(tool) => ("tool_gone", Some(problem.tools[tool].code.clone())),
        Reason::PersonOn(_, other) => ("person_taken", task(other)),
        Reason::ToolOn(_, other) => ("tool_taken", task(other)),
        Reason::After(other) => ("after", task(other)),
        Reason::Earlier => ("earlier", None),
        Reason::Undone => ("undone", None),
        Reason::Room => ("room", None),
    }
}
