//! What people did up to a moment, as a record.

use std::collections::BTreeSet;

use crate::account::What;
use crate::clock::Day;
use crate::id::{IdVec, PersonId};
use crate::model::{RecordKind, Recorded};
use crate::plan::{Plan, Spell};
use crate::replan::progress::{State, Work};
use crate::replan::run::cut;
use crate::replan::{Effects, Past, Standing, Whole};
use crate::time::{Moment, Span};
use crate::verify::Asked;

/// The past at `start`: that of the standing plan, what was done since, and what the log amends.
pub(super) fn past(whole: &Whole, standing: &Standing, effects: &Effects, work: &Work, start: Moment) -> Past {
    let mut spells: Vec<Spell> = work.earlier.iter().chain(&work.spells).filter_map(|s| cut(s, start)).collect();
    spells.sort_by_key(|s| (s.span(), s.task));
    let since = rows_since(standing, work, start);
    let rows = whole.parts.people.ids().map(|person| {
        let old = standing.past.rows[person].iter().cloned();
        // Somebody whom an option adds has no past.
        let new = since.get(person).into_iter().flatten().cloned();
        let all: Vec<Recorded> = old.chain(new).collect();
        let without_unfit: Vec<Recorded> = all.into_iter().flat_map(|row| pieces(&row, &effects.unfit[person])).collect();
        kept(whole, person, without_unfit)
    });
    let settled = work.left.pairs().map(|(task, left)| (task, left.state));
    let settled = settled.filter(|(_, state)| matches!(state, State::Done(_) | State::Dropped)).collect();
    Past { spells, rows: rows.collect(), settled }
}

/// A row without the time in which the person could do nothing.
fn pieces(row: &Recorded, unfit: &[Span]) -> Vec<Recorded> {
    row.span.without(&crate::time::union(unfit.to_vec())).into_iter().map(|span| Recorded { span, ..row.clone() }).collect()
}

/// What the standing plan, with its work as it went, had people do from its start to `start`.
fn rows_since(standing: &Standing, work: &Work, start: Moment) -> IdVec<PersonId, Vec<Recorded>> {
    let problem = &standing.problem;
    let mut rows = IdVec::filled(Vec::new(), problem.people.len());
    let Some(window) = Span::new(problem.start, start) else { return rows };
    let plan = as_it_went(standing, work, start);
    // The plan fits the problem as a table, whatever the log made of its times.
    let Ok(asked) = Asked::new(problem, &plan) else { return rows };
    for person in problem.people.ids() {
        let occupied = asked.work(person);
        for doing in asked.doings(person) {
            let Some(span) = doing.span.intersection(window) else { continue };
            let one = |kind, note: &str| vec![Recorded { span, kind, note: note.to_owned() }];
            rows[person].extend(match doing.what {
                What::Task(task) => one(RecordKind::Task, &problem.tasks[task].code),
                What::Watch(turn) => one(RecordKind::Watch, &problem.posts[problem.turns[turn].post].code),
                What::Duty(duty) => {
                    let kind = if problem.duties[duty].drill { RecordKind::Drill } else { RecordKind::Duty };
                    one(kind, &problem.duties[duty].code)
                }
                What::Break => on_hand(occupied, span),
                What::Call | What::Rest | What::Away => Vec::new(),
            });
        }
    }
    rows
}

/// Time that is neither work nor rest, as far as the rest rules count it as occupied.
fn on_hand(occupied: &[Span], span: Span) -> Vec<Recorded> {
    let inside = occupied.iter().filter_map(|o| o.intersection(span));
    inside.map(|span| Recorded { span, kind: RecordKind::Duty, note: "on hand".to_owned() }).collect()
}

/// The standing plan with the spells that were really begun before `start` in place of those it had there.
fn as_it_went(standing: &Standing, work: &Work, start: Moment) -> Plan {
    let own = |whole| standing.tasks.find(|t| *t == whole);
    let begun = work.spells.iter().filter_map(|s| Some(Spell { task: own(s.task)?, ..s.clone() }));
    let later = standing.plan.spells.iter().filter(|s| s.span().start() >= start).cloned();
    Plan { spells: begun.chain(later).collect(), ..standing.plan.clone() }
}

/// Rows as far as the ship's own record does not say otherwise: on a ship's day on which it has rows for the
/// person, call-outs aside, it says everything.
fn kept(whole: &Whole, person: PersonId, rows: Vec<Recorded>) -> Vec<Recorded> {
    let clock = &whole.parts.clock;
    let written = whole.parts.people[person].recorded.iter().filter(|r| r.kind != RecordKind::Call && r.span.start() >= whole.parts.start);
    let days: BTreeSet<Day> = written.map(|r| clock.day(r.span.start())).collect();
    rows.into_iter().filter(|row| !days.contains(&clock.day(row.span.start()))).collect()
}
