//! A roster as a document. Instants are RFC 3339 with the ship's offset, lengths decimal hours.

use serde::Serialize;

use crate::model::Problem;
use crate::out::hours::{Set, sets};
use crate::out::roster::{RosterView, Tried, words};
use crate::report::wire::{Hours, MADE_BY};
use crate::roster::Proof;
use crate::time::Moment;

#[derive(Serialize)]
struct Document {
    format: &'static str,
    made_by: &'static str,
    ship: String,
    job: String,
    from: String,
    to: String,
    rule_sets: Vec<Set>,
    proof: &'static str,
    gap_percent: f64,
    turns: Vec<Turn>,
    people: Vec<Person>,
    holes: Vec<Gap>,
    tried: Vec<Row>,
}

#[derive(Serialize)]
struct Turn {
    post: String,
    line: String,
    from: String,
    to: String,
    person: Option<String>,
}

#[derive(Serialize)]
struct Person {
    id: String,
    watch_hours: Hours,
    night_hours: Hours,
    turns: usize,
    changes: usize,
    least_24h: Hours,
    least_7d: Hours,
}

#[derive(Serialize)]
struct Gap {
    post: String,
    from: String,
    to: String,
    why: Vec<Why>,
    ways_out: Vec<String>,
}

#[derive(Serialize)]
struct Why {
    person: String,
    because: String,
}

#[derive(Serialize)]
struct Row {
    what: String,
    cannot_be: Option<String>,
    uncovered_hours: Option<Hours>,
    changes: Option<u32>,
    no_plan: Option<String>,
    finish: Option<String>,
    overtime_hours: Option<Hours>,
    late_hours: Option<Hours>,
}

/// The roster as one document with a line end at the end.
///
/// # Panics
/// Never: the document has text keys and finite numbers only.
#[must_use]
pub fn roster_json(view: &RosterView<'_>) -> String {
    let problem = view.problem;
    let stamp = |at: Moment| problem.clock.stamp(at).to_rfc3339();
    let plain = |text: String| text.replace(crate::out::page::TIE, " ");
    let stands = &view.outcome.rosters[0].stands;
    let turns = problem.turns.pairs().filter(|(_, t)| view.time.contains(t.span.start()));
    let document = Document {
        format: "turnto-watches/1",
        made_by: MADE_BY,
        ship: problem.ship.clone(),
        job: problem.title.clone(),
        from: stamp(view.time.start()),
        to: stamp(view.time.end()),
        rule_sets: sets(problem),
        proof: match view.outcome.proof {
            Proof::NothingOpen => "nothing open",
            Proof::Proven => "proven",
            Proof::Within { .. } => "gap",
        },
        gap_percent: f64::from(i32::try_from(view.outcome.gap_thousandths()).unwrap_or(i32::MAX)) / 10.0,
        turns: turns
            .map(|(id, t)| Turn {
                post: problem.posts[t.post].code.clone(),
                line: t.line.clone(),
                from: stamp(t.span.start()),
                to: stamp(t.span.end()),
                person: stands[id].map(|p| problem.people[p].code.clone()),
            })
            .collect(),
        people: (view.people.iter())
            .map(|row| Person {
                id: problem.people[row.person].code.clone(),
                watch_hours: row.watch.into(),
                night_hours: row.night.into(),
                turns: row.turns,
                changes: row.changes,
                least_24h: row.rest.least_24h.into(),
                least_7d: row.rest.least_7d.into(),
            })
            .collect(),
        holes: (view.outcome.holes.iter())
            .map(|hole| {
                let turn = &problem.turns[hole.turn];
                Gap {
                    post: problem.posts[turn.post].code.clone(),
                    from: stamp(turn.span.start()),
                    to: stamp(turn.span.end()),
                    why: (hole.why.iter())
                        .map(|(p, bar)| Why { person: problem.people[*p].code.clone(), because: plain(words::bar(problem, *p, bar)) })
                        .collect(),
                    ways_out: hole.repairs.iter().map(|r| plain(words::repair(problem, hole, r))).collect(),
                }
            })
            .collect(),
        tried: view.tried.iter().map(|t| row(t, &stamp)).collect(),
    };
    let mut text = serde_json::to_string_pretty(&document).expect("a document with text keys and finite numbers can be written");
    text.push('\n');
    text
}

#[derive(Serialize)]
struct Trials {
    format: &'static str,
    made_by: &'static str,
    ship: String,
    job: String,
    tried: Vec<Row>,
}

/// Things tried, the job as it is first, as one document with a line end at the end.
///
/// # Panics
/// Never: the document has text keys and finite numbers only.
#[must_use]
pub fn tried_json(problem: &Problem, format: &'static str, tried: &[Tried]) -> String {
    let stamp = |at: Moment| problem.clock.stamp(at).to_rfc3339();
    let document = Trials {
        format,
        made_by: MADE_BY,
        ship: problem.ship.clone(),
        job: problem.title.clone(),
        tried: tried.iter().map(|t| row(t, &stamp)).collect(),
    };
    let mut text = serde_json::to_string_pretty(&document).expect("a document with text keys and finite numbers can be written");
    text.push('\n');
    text
}

fn row(tried: &Tried, stamp: &dyn Fn(Moment) -> String) -> Row {
    let came = tried.came.as_ref().ok();
    let job = came.and_then(|c| c.job.as_ref());
    let figures = job.and_then(|j| j.as_ref().ok());
    Row {
        what: tried.what.clone(),
        cannot_be: tried.came.as_ref().err().cloned(),
        uncovered_hours: came.map(|c| c.uncovered.into()),
        changes: came.map(|c| c.changes),
        no_plan: job.and_then(|j| j.as_ref().err().cloned()),
        finish: figures.map(|f| stamp(f.finish)),
        overtime_hours: figures.map(|f| f.overtime.into()),
        late_hours: figures.map(|f| f.late.into()),
    }
}
