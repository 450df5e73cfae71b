//! A roster laid open: why each stint is whose, and what it comes to for everybody.

use crate::id::{IdVec, PersonId, TurnId};
use crate::model::{Problem, RecordKind, Stand, When};
use crate::rest::{Figures, Timeline, figures};
use crate::roster::answer::{Stint, stints};
use crate::roster::check::{Checker, ordinary_hulls, with_on_hand};
use crate::roster::hole::{Bar, bar, own_open};
use crate::roster::layout::{is_rota, night};
use crate::roster::worth::Worth;
use crate::time::{Minutes, Span, union};

/// Why a stint is whose it is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Reason {
    /// The job folder names the person.
    Named,
    /// Nobody else is named for it.
    Only,
    /// The person had the line before, by the record.
    Had,
    /// In place of the one before, who is kept from it by this; `None` where he is not.
    Instead(PersonId, Option<Bar>),
    /// A rota, which goes about.
    InTurn,
    /// Of those named, the cheapest as the whole roster goes.
    Chosen,
    /// Nobody stands it.
    Nobody,
}

/// Somebody else who is named for a turn.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Other {
    /// Who.
    pub person: PersonId,
    /// What keeps him from it; `None` where he could stand it too.
    pub bar: Option<Bar>,
    /// Ordinary time on the job he would lose by it, weighed by how much he is wanted.
    pub lost: Minutes,
}

/// A stint with its reasons.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Explained {
    /// The stint.
    pub stint: Stint,
    /// Why.
    pub reason: Reason,
    /// Ordinary time on the job lost by it, where that was weighed.
    pub lost: Minutes,
    /// The others named, for a stint of at most two turns with a choice; empty for longer ones, in which everybody
    /// keeps the line he has.
    pub others: Vec<Other>,
}

/// What a roster comes to for one person.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PersonRow {
    /// Who.
    pub person: PersonId,
    /// Time on watch.
    pub watch: Minutes,
    /// Of that, between 00:00 and 06:00 by ship's clock.
    pub night: Minutes,
    /// Number of turns.
    pub turns: usize,
    /// How often the person takes a line over from somebody else.
    pub changes: usize,
    /// Rest beside watches, fixed duties, time on hand between them and the record, with no work on the job.
    pub rest: Figures,
}

/// Most turns of a stint whose other candidates are listed.
const FEW: usize = 2;

/// The stints of a roster that begin inside `time`, each with its reason.
#[must_use]
pub fn explain(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, time: Span) -> Vec<Explained> {
    let all = stints(problem, stands, time);
    let mut worth = Worth::new(problem);
    let mut explained: Vec<Explained> = Vec::new();
    for (i, stint) in all.iter().enumerate() {
        let before = i.checked_sub(1).map(|b| &all[b]).filter(|b| b.post == stint.post && b.line == stint.line);
        let reason = reason(problem, stands, stint, before);
        let mut others = Vec::new();
        let mut lost = Minutes::ZERO;
        if stint.turns.len() <= FEW && matches!(reason, Reason::Chosen | Reason::Instead(..)) {
            let turn = stint.turns[0];
            lost = stint.person.map_or(Minutes::ZERO, |p| would_lose(problem, stands, &mut worth, p, turn));
            others = named(problem, turn)
                .iter()
                .filter(|p| Some(**p) != stint.person)
                .map(|p| Other {
                    person: *p,
                    bar: bar(problem, stands, *p, problem.turns[turn].span),
                    lost: would_lose(problem, stands, &mut worth, *p, turn),
                })
                .collect();
        }
        explained.push(Explained { stint: stint.clone(), reason, lost, others });
    }
    explained
}

/// Whether the line of a stint is a rota, by what its first day holds of it.
fn goes_about(problem: &Problem, stint: &Stint) -> bool {
    let day = problem.clock.day(problem.turns[stint.turns[0]].span.start());
    let same = problem.turns.iter().filter(|t| t.post == stint.post && t.line == stint.line);
    is_rota(same.filter(|t| problem.clock.day(t.span.start()) == day).map(|t| t.span.length()).sum())
}

fn named(problem: &Problem, turn: TurnId) -> &[PersonId] {
    match &problem.turns[turn].stand {
        Stand::Fixed(person) => std::slice::from_ref(person),
        Stand::Open(people) => people,
    }
}

fn reason(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, stint: &Stint, before: Option<&Stint>) -> Reason {
    let first = stint.turns[0];
    let Some(person) = stint.person else { return Reason::Nobody };
    match &problem.turns[first].stand {
        Stand::Fixed(_) => return Reason::Named,
        Stand::Open(people) if people.len() == 1 => return Reason::Only,
        Stand::Open(_) => {}
    }
    if goes_about(problem, stint) {
        return Reason::InTurn;
    }
    if let Some(other) = before.and_then(|b| b.person) {
        // If not kept from the first turn, then perhaps from a later one by being away.
        let away = || {
            let bars = stint.turns[1..].iter().filter_map(|t| bar(problem, stands, other, problem.turns[*t].span));
            bars.into_iter().find(|b| matches!(b, Bar::Away(_)))
        };
        return Reason::Instead(other, bar(problem, stands, other, problem.turns[first].span).or_else(away));
    }
    let span = problem.turns[first].span;
    let yesterday = Span::new(span.start() - Minutes::DAY, span.end() - Minutes::DAY);
    let watches = problem.people[person].recorded.iter().filter(|r| r.kind == RecordKind::Watch);
    let had: Minutes = watches.filter_map(|r| yesterday?.intersection(r.span)).map(Span::length).sum();
    if 2 * had.get() >= span.length().get() { Reason::Had } else { Reason::Chosen }
}

/// Ordinary time a person loses by a turn, beside everything else he stands.
fn would_lose(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, worth: &mut Worth, person: PersonId, turn: TurnId) -> Minutes {
    let span = problem.turns[turn].span;
    let open: Vec<Span> = own_open(problem, stands, person).into_iter().filter(|(t, _)| *t != turn).map(|(_, s)| s).collect();
    let Some(mut checker) = Checker::new(problem, person, &open) else { return Minutes::ZERO };
    worth.minutes_lost(problem, &mut checker, problem.clock.day(span.start()), &[span])
}

/// What a roster comes to for everybody who stands something in `time`, in table order.
#[must_use]
pub fn people(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, time: Span) -> Vec<PersonRow> {
    let list = stints(problem, stands, time);
    let mut rows = Vec::new();
    for (id, person) in problem.people.pairs() {
        let turns = problem.turns.pairs().filter(|(t, _)| stands[*t] == Some(id));
        let all: Vec<Span> = turns.filter_map(|(_, t)| Span::new(t.span.start().max(problem.start), t.span.end())).collect();
        let mine: Vec<Span> = all.iter().copied().filter(|s| time.contains(s.start())).collect();
        if mine.is_empty() {
            continue;
        }
        let taken = list.windows(2).filter(|w| {
            let goes_on = w[0].post == w[1].post && w[0].line == w[1].line;
            goes_on && w[1].person == Some(id) && w[0].person.is_some() && !goes_about(problem, &w[1])
        });
        let mut work = all;
        for duty in problem.duties.iter().filter(|d| d.who.contains(&id)) {
            // Those on watch are excused, or do it there: either way it is the same time.
            if let When::Fixed(span) = duty.when {
                work.extend(Span::new(span.start().max(problem.start), span.end()));
            }
        }
        let mut work = with_on_hand(&ordinary_hulls(person), &work, &person.breaks);
        work.extend(person.recorded.iter().map(|r| r.span));
        let line = Timeline::new(&problem.rule_sets[person.rest], union(work), &person.breaks).on_clock(problem.clock.clone());
        rows.push(PersonRow {
            person: id,
            watch: mine.iter().map(|s| s.length()).sum(),
            night: Minutes::new(i32::try_from(mine.iter().map(|s| night(problem, *s)).sum::<i64>()).unwrap_or(i32::MAX)),
            turns: mine.len(),
            changes: taken.count(),
            rest: figures(&line, time),
        });
    }
    rows
}
