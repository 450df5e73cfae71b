//! Work under way that may not stop and goes on past the hours of those who are at it: a load that hangs is set down whatever the
//! clock says.

use crate::clock::ShipClock;
use crate::id::{IdVec, PersonId, TaskId};
use crate::model::{Parts, Person, Stand, Stop, Stretch, Task};
use crate::replan::excused::{fixed, goes_on};
use crate::replan::{Past, Whole};
use crate::time::{Moment, Span, union};

/// The crew of the job with the hours it needs.
pub(super) struct Crew {
    /// Everybody, with overtime for what is under way, may not stop, and goes on for longer than the hours of those at it.
    pub(super) people: IdVec<PersonId, Person>,
    /// Whose evening is taken up by that, whatever was agreed.
    pub(super) late: Vec<PersonId>,
}

/// Finds that crew; says who works on past his hours.
pub(super) fn crew(
    parts: &Parts,
    whole: &Whole,
    tasks: &IdVec<TaskId, TaskId>,
    past: &Past,
    start: Moment,
    notes: &mut Vec<String>,
) -> Crew {
    let mut crew = Crew { people: whole.parts.people.clone(), late: Vec::new() };
    for (id, task) in parts.tasks.pairs().filter(|(_, task)| !task.emergency && !matches!(task.stop, Stop::Any { .. })) {
        let Some(under_way) = &task.under_way else { continue };
        let rest = goes_on(parts, task, under_way, start);
        let Some(end) = rest.last().map(|last| last.end()) else { continue };
        let mut longer = Vec::new();
        for who in under_way.team.iter().copied() {
            let person = &mut crew.people[who];
            let spells = past.spells.iter().filter(|s| s.task == tasks[id] && s.team.contains(&who));
            let began = spells.map(|s| s.span().start()).max().unwrap_or(start);
            if lengthen(person, &rest, began, &whole.parts.clock) {
                longer.push(who);
            }
            let ordinary: Vec<Span> = union(person.stretches.iter().flat_map(|s| s.ordinary.iter().copied()).collect());
            if rest.iter().any(|piece| !piece.without(&ordinary).is_empty()) {
                crew.late.push(who);
            }
        }
        if !longer.is_empty() {
            notes.push(said(whole, task, &longer, end));
        }
    }
    crew
}

/// Says who is under way at a task that may not stop and has a watch or a duty before it is done.
pub(super) fn wanted_elsewhere(parts: &Parts, start: Moment, notes: &mut Vec<String>) {
    for task in parts.tasks.iter().filter(|task| !matches!(task.stop, Stop::Any { .. })) {
        let Some(under_way) = &task.under_way else { continue };
        let rest = goes_on(parts, task, under_way, start);
        notes.extend(under_way.team.iter().filter_map(|person| wanted(parts, task, *person, &rest)));
    }
}

/// What is said where somebody under way at a task that may not stop has a watch of his own, or a duty, before it is done.
fn wanted(parts: &Parts, task: &Task, person: PersonId, rest: &[Span]) -> Option<String> {
    let turns = parts.turns.iter().filter(|turn| turn.stand == Stand::Fixed(person)).map(|turn| (turn.span, Ok(turn.post)));
    let duties = parts.duties.pairs().filter(|(_, duty)| duty.who.contains(&person));
    let duties = duties.filter_map(|(id, duty)| Some((fixed(duty.when)?, Err(id))));
    let (span, what) = turns.chain(duties).filter(|(span, _)| rest.iter().any(|piece| piece.overlaps(*span))).min()?;
    let (what, remedy) = match what {
        Ok(post) => (format!("post {}", parts.posts[post].code), "write a [[cover]] in watches.toml".to_owned()),
        Err(duty) => (format!("duty {}", parts.duties[duty].code), "log the duty as `moved`, or take him out of it".to_owned()),
    };
    let (who, code) = (&parts.people[person].code, &task.code);
    let [from, until] = [span.start(), rest[rest.len() - 1].end()].map(|at| parts.clock.day_time(at));
    Some(format!(
        "{who} has {what} from {from}, and {code}, which does not stop, goes on until {until}: {remedy}, or log what is so of {code} \
         (`to_go`, `stopped`)."
    ))
}

/// Adds overtime for as much of `rest` as lies outside somebody's hours: to the working stretch in which he was at work at
/// `began`, or which it touches, or else in one of its own. Whether any was added.
fn lengthen(person: &mut Person, rest: &[Span], began: Moment, clock: &ShipClock) -> bool {
    let hours: Vec<Span> = union(person.stretches.iter().flat_map(Stretch::hours).collect());
    let outside: Vec<Span> = rest.iter().flat_map(|piece| piece.without(&hours)).collect();
    let (Some(first), Some(last)) = (outside.first(), outside.last()) else { return false };
    let all = first.hull(*last);
    let meets = |stretch: &Stretch| {
        let hull = stretch.hull();
        (hull.start() <= began && began < hull.end()) || (hull.start() <= all.end() && all.start() <= hull.end())
    };
    if let Some(stretch) = person.stretches.iter_mut().find(|stretch| meets(stretch)) {
        // What was worked past the hours by now joins the two.
        let from = stretch.hull().end().min(all.start());
        let kept: Vec<Span> = union(hours.iter().chain(&person.breaks).copied().collect());
        let more = Span::new(from, all.end()).into_iter().flat_map(|span| span.without(&kept));
        stretch.overtime = union(stretch.overtime.iter().copied().chain(more).collect());
    } else {
        person.stretches.push(Stretch { day: clock.day_of(all.start()), ordinary: Vec::new(), overtime: outside });
        person.stretches.sort_by_key(|stretch| stretch.hull().start());
    }
    true
}

fn said(whole: &Whole, task: &Task, late: &[PersonId], end: Moment) -> String {
    let who: Vec<&str> = late.iter().map(|person| whole.parts.people[*person].code.as_str()).collect();
    let what = if matches!(task.stop, Stop::Never) { "Task" } else { "A part of" };
    let (code, until) = (&task.code, whole.parts.clock.day_time(end));
    format!("{what} {code} is under way and does not stop for the end of hours: {} at it until {until}, as overtime.", are(&who))
}

/// Several names as one subject with its verb.
fn are(names: &[&str]) -> String {
    match names {
        [one] => format!("{one} is"),
        [first @ .., last] => format!("{} and {last} are", first.join(", ")),
        [] => String::new(),
    }
}
