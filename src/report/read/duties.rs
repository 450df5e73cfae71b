//! When duties are done.

use super::cursor::{Faults, Node};
use super::turns::from_to;
use crate::id::{DutyId, IdVec, PersonId, TurnId};
use crate::model::{OnWatch, Problem, When};
use crate::time::{Minutes, Moment, Span};

/// Reads `duties` and `duties_after_end`. Every duty that begins before `end` must be there, and every
/// movable one; fixed duties after that are where the job has them.
pub(super) fn read(
    problem: &Problem,
    root: &Node<'_>,
    end: Moment,
    turns: Option<&IdVec<TurnId, PersonId>>,
    faults: &mut Faults,
) -> Option<IdVec<DutyId, Moment>> {
    let mut filled: IdVec<DutyId, Option<Moment>> = IdVec::filled(None, problem.duties.len());
    let duties = root.field("duties", faults)?;
    let mut rows = duties.items(faults);
    if let Some(after) = root.optional("duties_after_end") {
        rows.extend(after.items(faults));
    }
    for row in rows {
        let Some(span) = row.span(&problem.clock, faults) else { continue };
        let Some(duty) = occurrence(problem, &row, span, faults) else { continue };
        if filled[duty].is_some() {
            row.fault(faults, "this duty stands here twice".to_owned());
        }
        filled[duty] = Some(span.start());
        let length = length(problem, duty);
        if span.length() != length {
            row.fault(faults, format!("the job gives {} a length of {length}", problem.duties[duty].code));
        }
        if let Some(turns) = turns {
            people(problem, duty, span, turns, &row, faults);
        }
    }
    for (id, duty) in problem.duties.pairs() {
        match duty.when {
            When::Fixed(span) if span.start() >= end && filled[id].is_none() => filled[id] = Some(span.start()),
            When::Fixed(_) | When::Movable { .. } => {}
        }
        if filled[id].is_none() {
            duties.fault(faults, format!("{} number {} is missing", duty.code, duty.occurrence));
        }
    }
    filled.iter().copied().collect::<Option<Vec<Moment>>>().map(IdVec::from)
}

fn length(problem: &Problem, duty: DutyId) -> Minutes {
    match problem.duties[duty].when {
        When::Fixed(span) => span.length(),
        When::Movable { length, .. } => length,
    }
}

/// Which duty a row is: by code and occurrence; without the latter, the one that is fixed at that time,
/// or the only one that could be.
fn occurrence(problem: &Problem, row: &Node<'_>, span: Span, faults: &mut Faults) -> Option<DutyId> {
    let id = row.field("id", faults)?;
    let code = id.text(faults)?;
    let mine: Vec<DutyId> = problem.duties.pairs().filter(|(_, d)| d.code == code).map(|(id, _)| id).collect();
    if mine.is_empty() {
        id.fault(faults, format!("the job has no duty `{code}`"));
        return None;
    }
    if let Some(said) = row.optional("occurrence") {
        let number = said.whole(faults)?;
        let found = mine.iter().copied().find(|d| problem.duties[*d].occurrence == number);
        if found.is_none() {
            said.fault(faults, format!("{code} has no number {number}"));
        }
        return found;
    }
    let could = |duty: &DutyId| match problem.duties[*duty].when {
        When::Fixed(fixed) => fixed.start() == span.start(),
        When::Movable { window, .. } => window.covers(span),
    };
    match (mine.as_slice(), mine.iter().copied().filter(could).collect::<Vec<_>>().as_slice()) {
        ([only], _) | (_, [only]) => Some(*only),
        _ => {
            row.fault(faults, format!("say which {code} this is, with the key `occurrence`"));
            None
        }
    }
}

/// Who attends is given by the job; a list that says otherwise is not silently overruled.
fn people(problem: &Problem, duty: DutyId, span: Span, turns: &IdVec<TurnId, PersonId>, row: &Node<'_>, faults: &mut Faults) {
    let Some(list) = row.optional("people") else { return };
    let who = &problem.duties[duty].who;
    let mut said = Vec::new();
    for item in list.items(faults) {
        let people = problem.people.pairs().map(|(p, row)| (p, row.code.as_str()));
        let Some(person) = item.code("person", people, faults) else { continue };
        if !who.contains(&person) {
            item.fault(faults, format!("the job does not call {} to {}", problem.people[person].code, problem.duties[duty].code));
        }
        said.push(person);
    }
    let excused = |person: PersonId| match problem.duties[duty].on_watch {
        OnWatch::Excused => {
            let own: Vec<Span> = problem.turns.pairs().filter(|(t, _)| turns[*t] == person).map(|(_, t)| t.span).collect();
            span.without(&own).is_empty()
        }
        OnWatch::DoneOnWatch | OnWatch::Clash => false,
    };
    for person in who.iter().copied().filter(|p| !said.contains(p) && !excused(*p)) {
        let (who, what) = (&problem.people[person].code, &problem.duties[duty].code);
        list.fault(faults, format!("the job calls {who} to {what} {}; change it there", from_to(problem, span)));
    }
}
