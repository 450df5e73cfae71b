//! Who stands each turn, from the watches.

use super::cursor::{Faults, Node};
use crate::id::{IdVec, PersonId, PostId, TurnId};
use crate::model::{Problem, Stand};
use crate::time::{Moment, Span};

/// Reads `watches` and `watches_after_end`. Every turn that begins before `end` must be there; later ones
/// only where the job leaves open who stands them.
pub(super) fn read(problem: &Problem, root: &Node<'_>, end: Moment, faults: &mut Faults) -> Option<IdVec<TurnId, PersonId>> {
    let mut filled: IdVec<TurnId, Option<PersonId>> = IdVec::filled(None, problem.turns.len());
    let watches = root.field("watches", faults)?;
    let mut rows = watches.items(faults);
    if let Some(after) = root.optional("watches_after_end") {
        rows.extend(after.items(faults));
    }
    for row in rows {
        let Some((turn, person)) = watch(problem, &row, faults) else { continue };
        if filled[turn].is_some() {
            row.fault(faults, "this turn stands here twice".to_owned());
        }
        filled[turn] = Some(person);
    }
    for (id, turn) in problem.turns.pairs() {
        match turn.stand {
            Stand::Fixed(person) if turn.span.start() >= end && filled[id].is_none() => filled[id] = Some(person),
            Stand::Fixed(_) | Stand::Open(_) => {}
        }
        if filled[id].is_none() {
            let post = &problem.posts[turn.post].code;
            watches.fault(faults, format!("nobody stands post {post} {}", from_to(problem, turn.span)));
        }
    }
    filled.iter().copied().collect::<Option<Vec<PersonId>>>().map(IdVec::from)
}

fn watch(problem: &Problem, row: &Node<'_>, faults: &mut Faults) -> Option<(TurnId, PersonId)> {
    let posts = problem.posts.pairs().map(|(p, post)| (p, post.code.as_str()));
    let post = row.field("post", faults).and_then(|n| n.code("post", posts, faults));
    let people = problem.people.pairs().map(|(p, who)| (p, who.code.as_str()));
    let person = row.field("person", faults).and_then(|n| n.code("person", people, faults));
    let span = row.span(&problem.clock, faults);
    let (post, person, span) = (post?, person?, span?);
    let turn = problem.turns.find(|t| t.post == post && t.span == span);
    if turn.is_none() {
        row.fault(faults, no_turn(problem, post, span));
    }
    Some((turn?, person))
}

fn no_turn(problem: &Problem, post: PostId, span: Span) -> String {
    let overlapping: Vec<String> =
        problem.turns.iter().filter(|t| t.post == post && t.span.overlaps(span)).map(|t| from_to(problem, t.span)).collect();
    let code = &problem.posts[post].code;
    if overlapping.is_empty() {
        format!("post {code} is not manned then")
    } else {
        format!("the turns of post {code} are given by the job: {}", overlapping.join(", "))
    }
}

/// From and to by ship's clock.
pub(super) fn from_to(problem: &Problem, span: Span) -> String {
    format!("{} to {}", problem.clock.day_time(span.start()), problem.clock.day_time(span.end()))
}
