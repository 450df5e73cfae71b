//! Changes to watches.

use crate::id::{Id, IdVec, PersonId, PostId, TurnId};
use crate::model::{Parts, Post, Problem, Stand, Turn};
use crate::time::{Minutes, Moment, Span, union};
use crate::variant::Refused;

/// Puts turns back in order: by post, then start.
fn sort(parts: &mut Parts, mut turns: Vec<Turn>) {
    turns.sort_by_key(|t| (t.post, t.span));
    parts.turns = IdVec::<TurnId, Turn>::from(turns);
}

fn all(parts: &Parts) -> Vec<Turn> {
    parts.turns.iter().cloned().collect()
}

/// Who may stand a post and is aboard then, but for one; nobody who is on another fixed turn at the time.
fn others(problem: &Problem, turn: &Turn, but: PersonId) -> Vec<PersonId> {
    let holders = problem.holders(problem.posts[turn.post].competence).iter().copied().filter(|p| *p != but);
    let free = |p: &PersonId| {
        let taken = |t: &Turn| matches!(t.stand, Stand::Fixed(q) if q == *p) && t.span.overlaps(turn.span);
        problem.people[*p].aboard(turn.span) && !problem.turns.iter().any(taken)
    };
    let list: Vec<PersonId> = holders.collect();
    let aboard: Vec<PersonId> = list.iter().copied().filter(free).collect();
    if aboard.is_empty() { list } else { aboard }
}

pub(super) fn without(problem: &Problem, parts: &mut Parts, person: PersonId) -> Result<(), Refused> {
    let mut changed = false;
    for turn in parts.turns.iter_mut().filter(|t| t.span.end() > problem.start) {
        let named = match &turn.stand {
            Stand::Fixed(fixed) => *fixed == person,
            Stand::Open(people) => people.contains(&person),
        };
        if !named {
            continue;
        }
        changed = true;
        let left = match &turn.stand {
            Stand::Open(people) if people.len() > 1 => people.iter().copied().filter(|p| *p != person).collect(),
            Stand::Open(_) | Stand::Fixed(_) => others(problem, turn, person),
        };
        if left.is_empty() {
            return Err(Refused::NobodyElse(problem.posts[turn.post].code.clone()));
        }
        turn.stand = Stand::Open(left);
    }
    if changed { Ok(()) } else { Err(Refused::Nothing("this person stands no watch")) }
}

pub(super) fn double(problem: &Problem, parts: &mut Parts, post: PostId, span: Span) -> Result<(), Refused> {
    let first = &problem.posts[post];
    let cut: Vec<Turn> = problem
        .turns
        .iter()
        .filter(|t| t.post == post)
        .filter_map(|t| {
            let stand = Stand::Open(problem.holders(first.competence).to_vec());
            Some(Turn { span: t.span.intersection(span)?, stand, ..t.clone() })
        })
        .collect();
    if cut.is_empty() {
        return Err(Refused::Nothing("the post is not manned then"));
    }
    let manned = union(cut.iter().map(|t| t.span).collect());
    let mut code = format!("{}+2", first.code);
    while parts.posts.iter().any(|p| p.code == code) {
        code.push('\'');
    }
    let name = format!("{}, second person", first.name);
    let second = parts.posts.push(Post { code, name, competence: first.competence, manned, attends: 0, by_mode: None });
    let mut turns = all(parts);
    turns.extend(cut.into_iter().map(|t| Turn { post: second, ..t }));
    sort(parts, turns);
    Ok(())
}

pub(super) fn unattended(problem: &Problem, parts: &mut Parts, post: PostId, from: Moment) -> Result<(), Refused> {
    let keep = |span: Span| Span::new(span.start(), span.end().min(from));
    let before = parts.posts[post].manned.len();
    let manned: Vec<Span> = parts.posts[post].manned.iter().filter_map(|s| keep(*s)).collect();
    if manned == parts.posts[post].manned && manned.len() == before {
        return Err(Refused::Nothing("the post is not manned then anyway"));
    }
    parts.posts[post].manned = manned;
    let mut stood: Vec<PersonId> = Vec::new();
    let mut turns = Vec::new();
    for turn in all(parts) {
        if turn.post != post || turn.span.end() <= from {
            turns.push(turn);
            continue;
        }
        match &turn.stand {
            Stand::Fixed(person) => stood.push(*person),
            Stand::Open(people) => stood.extend(people),
        }
        turns.extend(keep(turn.span).map(|span| Turn { span, ..turn }));
    }
    sort(parts, turns);
    stood.sort_unstable();
    stood.dedup();
    day_hours(problem, parts, &stood, from);
    Ok(())
}

/// Those who stand nothing any more work, from the first stretch after `from` on, the hours of the person with most
/// ordinary time who stands no watch at all; who has more hours than that keeps his own.
fn day_hours(problem: &Problem, parts: &mut Parts, people: &[PersonId], from: Moment) {
    let stands = |parts: &Parts, p: PersonId| {
        parts.turns.iter().any(|t| {
            t.span.end() > from
                && match &t.stand {
                    Stand::Fixed(fixed) => *fixed == p,
                    Stand::Open(list) => list.contains(&p),
                }
        })
    };
    let ordinary = |p: PersonId| -> Minutes { problem.people[p].stretches.iter().flat_map(|s| &s.ordinary).map(|o| o.length()).sum() };
    let model = problem
        .people
        .ids()
        .filter(|p| !people.contains(p) && !stands(parts, *p))
        .max_by_key(|p| (ordinary(*p), std::cmp::Reverse(p.index())));
    let Some(model) = model else { return };
    let off: Vec<PersonId> = people.iter().copied().filter(|p| !stands(parts, *p) && ordinary(*p) < ordinary(model)).collect();
    for person in off {
        let row = &mut parts.people[person];
        row.stretches.retain(|s| s.hull().start() < from);
        let last = row.stretches.last().map(|s| s.day);
        row.stretches.extend(problem.people[model].stretches.iter().filter(|s| s.hull().start() >= from && Some(s.day) > last).cloned());
        row.stretches.iter_mut().filter(|s| s.hull().start() >= from).for_each(|s| s.overtime.clear());
        row.breaks.clone_from(&problem.people[model].breaks);
    }
}

/// Three lines of four on and eight off.
const LINES: [(&str, [i32; 2]); 3] = [("12-4", [0, 12]), ("4-8", [4, 16]), ("8-12", [8, 20])];

pub(super) fn manned(problem: &Problem, parts: &mut Parts, post: PostId, from: Moment) -> Result<(), Refused> {
    let Some(rest) = Span::new(from, problem.layout_end) else { return Err(Refused::Nothing("the job has ended by then")) };
    if union(parts.posts[post].manned.clone()).iter().any(|m| m.covers(rest)) {
        return Err(Refused::Nothing("the post is manned then anyway"));
    }
    let keep = |span: Span| Span::new(span.start(), span.end().min(from));
    let mut manned: Vec<Span> = parts.posts[post].manned.iter().filter_map(|s| keep(*s)).collect();
    manned.push(rest);
    parts.posts[post].manned = union(manned);
    let mut turns: Vec<Turn> = Vec::new();
    for turn in all(parts) {
        if turn.post == post {
            turns.extend(keep(turn.span).map(|span| Turn { span, ..turn }));
        } else {
            turns.push(turn);
        }
    }
    let holders = problem.holders(problem.posts[post].competence).to_vec();
    if holders.is_empty() {
        return Err(Refused::NobodyElse(problem.posts[post].code.clone()));
    }
    let clock = &problem.clock;
    let mut day = clock.day(from);
    while clock.at(day, Minutes::ZERO) < problem.layout_end {
        for (line, hours) in LINES {
            for hour in hours {
                let span = Span::new(clock.at(day, Minutes::hours(hour)), clock.at(day, Minutes::hours(hour + 4)));
                if let Some(span) = span.and_then(|s| s.intersection(rest)) {
                    turns.push(Turn { post, span, stand: Stand::Open(holders.clone()), line: line.to_owned() });
                }
            }
        }
        day = day.next();
    }
    sort(parts, turns);
    Ok(())
}
