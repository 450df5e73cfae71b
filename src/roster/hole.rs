//! Turns that nobody can stand: why not, and what would fill them.

use crate::id::{DutyId, IdVec, PersonId, TurnId};
use crate::model::{OnWatch, Problem, When};
use crate::rest::{Finding, Timeline, judge};
use crate::roster::check::Checker;
use crate::time::{Minutes, Span};

/// Why a person does not stand a turn.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Bar {
    /// Not aboard for some of it.
    Away(Span),
    /// On another turn at the time.
    Stands(TurnId),
    /// At a duty that does not go with a watch.
    At(DutyId),
    /// A rest rule is broken with it.
    Rest(Finding),
    /// His fixed work alone breaks a rest rule.
    Broken,
}

/// A legal way to fill a turn that the roster may not choose by itself.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Repair {
    /// Somebody who may stand the post but is not named for the turn.
    Also(PersonId),
    /// Two of those who may stand the post share it; the first takes it up to this moment of it.
    Share(PersonId, Span, PersonId, Span),
    /// One of those named, if a duty is done without him.
    Without(PersonId, DutyId),
}

/// A turn that nobody stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Hole {
    /// The turn.
    pub turn: TurnId,
    /// Why not, for everybody who is named for it; empty for all but the first holes, which were not looked into.
    pub why: Vec<(PersonId, Bar)>,
    /// What would fill it, nearest first.
    pub repairs: Vec<Repair>,
}

/// How many holes, the first, are looked into: what fills them fills others as well.
const DETAILED: usize = 10;

/// Most repairs that are named for one hole.
const MOST: usize = 4;

/// The holes of a roster, in time order, each held against all other turns as the roster has them.
pub(super) fn holes(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>) -> Vec<Hole> {
    let mut empty: Vec<TurnId> =
        stands.pairs().filter(|(t, p)| p.is_none() && problem.turns[*t].span.end() > problem.start).map(|(t, _)| t).collect();
    empty.sort_by_key(|t| (problem.turns[*t].span, *t));
    let detail = |(i, turn): (usize, TurnId)| {
        if i < DETAILED { hole(problem, stands, turn) } else { Hole { turn, why: Vec::new(), repairs: Vec::new() } }
    };
    empty.into_iter().enumerate().map(detail).collect()
}

fn hole(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, turn: TurnId) -> Hole {
    let row = &problem.turns[turn];
    let span = Span::new(row.span.start().max(problem.start), row.span.end()).unwrap_or(row.span);
    let named: &[PersonId] = match &row.stand {
        crate::model::Stand::Fixed(person) => std::slice::from_ref(person),
        crate::model::Stand::Open(people) => people,
    };
    let why = named.iter().filter_map(|p| Some((*p, bar(problem, stands, *p, span)?))).collect();
    let mut repairs = Vec::new();
    let holders = problem.holders(problem.posts[row.post].competence);
    for person in holders.iter().filter(|p| !named.contains(p)) {
        if bar(problem, stands, *person, span).is_none() {
            repairs.push(Repair::Also(*person));
        }
    }
    if repairs.len() < MOST {
        repairs.extend(shared(problem, stands, holders, span).into_iter().take(MOST - repairs.len()));
    }
    for person in named {
        for (id, duty) in problem.duties.pairs().filter(|(_, d)| d.who.contains(person)) {
            let When::Fixed(time) = duty.when else { continue };
            let near = Span::new(span.start() - Minutes::DAY, span.end() + Minutes::DAY);
            if repairs.len() < MOST && near.is_some_and(|n| n.overlaps(time)) && without(problem, stands, *person, span, id) {
                repairs.push(Repair::Without(*person, id));
            }
        }
    }
    Hole { turn, why, repairs }
}

/// The open turns a person has in a roster.
pub(super) fn own_open(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, person: PersonId) -> Vec<(TurnId, Span)> {
    own(problem, stands, person).into_iter().filter(|(t, _)| !is_fixed(problem, *t)).collect()
}

/// All turns a person has in the roster.
fn own(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, person: PersonId) -> Vec<(TurnId, Span)> {
    let mine = problem.turns.pairs().filter(|(id, _)| stands[*id] == Some(person));
    mine.filter_map(|(id, t)| Some((id, Span::new(t.span.start().max(problem.start), t.span.end())?))).collect()
}

/// What keeps a person from standing `span`; `None` if nothing does.
pub(super) fn bar(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, person: PersonId, span: Span) -> Option<Bar> {
    let who = &problem.people[person];
    if let Some(away) = who.away.iter().find(|a| a.overlaps(span)) {
        return Some(Bar::Away(*away));
    }
    let own = own(problem, stands, person);
    if let Some((turn, _)) = own.iter().find(|(_, s)| s.overlaps(span)) {
        return Some(Bar::Stands(*turn));
    }
    let clashes = |d: &crate::model::Duty| {
        d.on_watch == OnWatch::Clash && d.who.contains(&person) && matches!(d.when, When::Fixed(time) if time.overlaps(span))
    };
    if let Some(duty) = problem.duties.find(clashes) {
        return Some(Bar::At(duty));
    }
    let open: Vec<Span> = own_open(problem, stands, person).into_iter().map(|(_, s)| s).collect();
    let Some(mut checker) = Checker::new(problem, person, &open) else { return Some(Bar::Broken) };
    if checker.legal(&[span]) {
        return None;
    }
    let mark = checker.enter(&[span]);
    let work = checker.work();
    checker.leave(mark);
    let set = &problem.rule_sets[who.rest];
    let time = Span::new(problem.start, problem.latest_end)?;
    let recorded = who.recorded.iter().map(|r| r.span).collect();
    let record = Timeline::new(set, recorded, &who.breaks).on_clock(problem.clock.clone());
    let whole = Timeline::new(set, work, &who.breaks).on_clock(problem.clock.clone());
    judge(set, &whole, &record, time).counting.first().map(|f| Bar::Rest(*f)).or(Some(Bar::Broken))
}

fn is_fixed(problem: &Problem, turn: TurnId) -> bool {
    matches!(problem.turns[turn].stand, crate::model::Stand::Fixed(_))
}

/// Two people who stand `span` between them: the first as much as he can, the second the rest.
fn shared(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, holders: &[PersonId], span: Span) -> Vec<Repair> {
    let slot = problem.grid.slot();
    let slots = span.length().get() / slot.get();
    let mut list = Vec::new();
    for first in holders {
        // The most of it from its start on.
        let longest = (1..slots)
            .rev()
            .filter_map(|n| Span::of(span.start(), Minutes::new(n * slot.get())))
            .find(|s| bar(problem, stands, *first, *s).is_none());
        let Some(head) = longest else { continue };
        let Some(tail) = Span::new(head.end(), span.end()) else { continue };
        let second = holders.iter().find(|p| *p != first && bar(problem, stands, **p, tail).is_none());
        list.extend(second.map(|second| Repair::Share(*first, head, *second, tail)));
    }
    list
}

/// Whether a person could stand `span` if `duty` were done without him.
fn without(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, person: PersonId, span: Span, duty: DutyId) -> bool {
    let mut parts = problem.clone().into_parts();
    parts.duties[duty].who.retain(|p| *p != person);
    Problem::new(parts).is_ok_and(|problem| bar(&problem, stands, person, span).is_none())
}
