//! Time on hand, from the stretches of people.

use super::cursor::{Faults, Node};
use crate::id::PersonId;
use crate::model::{Person, Problem, Stretch};
use crate::plan::OnHand;
use crate::time::{Span, union};

/// All kinds of stretches a document may have.
const KINDS: [&str; 7] = ["task", "watch", "duty", "call", "break", "rest", "away"];

/// Reads `people`. A `break` is time on hand unless it says `"on_hand": false`, where it lies in ordinary
/// hours or in a named break between them; elsewhere it follows from the rest of the plan.
pub(super) fn read(problem: &Problem, root: &Node<'_>, faults: &mut Faults) -> Vec<OnHand> {
    let mut seen: Vec<PersonId> = Vec::new();
    let mut found = Vec::new();
    for row in root.list("people", faults) {
        let Some(id) = row.field("id", faults) else { continue };
        let people = problem.people.pairs().map(|(p, who)| (p, who.code.as_str()));
        let Some(person) = id.code("person", people, faults) else { continue };
        if seen.contains(&person) {
            id.fault(faults, "this person stands here twice".to_owned());
            continue;
        }
        seen.push(person);
        let breaks = breaks(problem, &row, faults);
        found.extend(normal(&problem.people[person], &breaks).into_iter().map(|span| OnHand { person, span }));
    }
    found.sort_unstable();
    found
}

fn breaks(problem: &Problem, row: &Node<'_>, faults: &mut Faults) -> Vec<Span> {
    let mut breaks = Vec::new();
    for stretch in row.list("stretches", faults) {
        let Some(kind) = stretch.field("kind", faults) else { continue };
        match kind.text(faults) {
            Some("break") => {
                let span = stretch.span(&problem.clock, faults);
                let gap = stretch.optional("on_hand").is_some_and(|said| said.truth(faults) == Some(false));
                breaks.extend(span.filter(|_| !gap));
            }
            Some(text) if !KINDS.contains(&text) => kind.fault(faults, format!("`{text}` is none of {}", KINDS.join(", "))),
            Some(_) | None => {}
        }
    }
    breaks
}

/// The parts of `breaks` that are time on hand, each inside the ordinary hours of one working stretch and
/// the named breaks between them.
fn normal(person: &Person, breaks: &[Span]) -> Vec<Span> {
    let in_stretch = |stretch: &Stretch| {
        let hull = stretch.ordinary.iter().copied().reduce(Span::hull);
        let named = hull.into_iter().flat_map(|hull| person.breaks.iter().filter_map(move |b| b.intersection(hull)));
        let allowed: Vec<Span> = stretch.ordinary.iter().copied().chain(named).collect();
        union(breaks.iter().flat_map(|b| allowed.iter().filter_map(|a| a.intersection(*b))).collect())
    };
    person.stretches.iter().flat_map(in_stretch).collect()
}
