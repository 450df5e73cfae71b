//! Rule 2: every post is manned at every minute by somebody who may stand it.

use crate::model::Stand;
use crate::time::Span;
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;
use crate::verify::spans::outside;

/// All breaches of rule 2, to the end of the layout.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let problem = facts.problem;
    let mut breaches = Vec::new();
    for (post, row) in problem.posts.pairs() {
        let stood = problem.turns.pairs().filter(|(id, turn)| {
            let person = facts.plan.turns.get(*id);
            turn.post == post && person.is_some_and(|p| problem.people.get(*p).is_some())
        });
        let stood: Vec<Span> = stood.map(|(_, turn)| turn.span).collect();
        let manned: Vec<Span> = row.manned.iter().filter_map(|s| Span::new(s.start().max(problem.start), s.end())).collect();
        let holes = outside(&manned, &stood);
        breaches.extend(holes.into_iter().map(|hole| Breach::new(Clause::Unmanned).of(Thing::Post(post)).during(hole)));
    }
    for (id, turn) in problem.turns.pairs().filter(|(_, turn)| turn.span.end() > problem.start) {
        let Some(person) = facts.plan.turns.get(id).filter(|p| problem.people.get(**p).is_some()) else { continue };
        let named = match &turn.stand {
            Stand::Fixed(fixed) => fixed == person,
            Stand::Open(people) => people.contains(person),
        };
        if !named || !problem.people[*person].holds(problem.posts[turn.post].competence) {
            breaches.push(Breach::new(Clause::MayNotStand).by(*person).of(Thing::Turn(id)).during(turn.span));
        }
    }
    breaches
}
