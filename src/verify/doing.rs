//! What a person does from the start of a plan to its end, without gap or overlap.

use crate::account::{Doing, What};
use crate::id::PersonId;
use crate::time::{Moment, Span};
use crate::verify::facts::Facts;
use crate::verify::rest;

/// The stretches of a person, in time order. Where two things meet, the first of these wins: away, task,
/// watch, duty, recorded work that reaches into the plan, then everything that is no rest, then rest.
pub(super) fn stretches(facts: &Facts, id: PersonId) -> Vec<Doing> {
    let layers = layers(facts, id);
    let edges = layers.iter().flat_map(|(span, _)| [span.start(), span.end()]);
    let mut edges: Vec<Moment> = edges.chain([facts.time.start(), facts.time.end()]).filter(|m| !outside(facts.time, *m)).collect();
    edges.sort_unstable();
    edges.dedup();
    let mut stretches: Vec<Doing> = Vec::new();
    for span in edges.windows(2).filter_map(|pair| Span::new(pair[0], pair[1])) {
        let what = layers.iter().find(|(layer, _)| layer.overlaps(span)).map_or(What::Rest, |(_, what)| *what);
        match stretches.last_mut() {
            Some(last) if last.what == what => last.span = last.span.hull(span),
            _ => stretches.push(Doing { span, what }),
        }
    }
    stretches
}

fn outside(time: Span, moment: Moment) -> bool {
    moment < time.start() || time.end() < moment
}

/// Everything that is not rest, most important first.
fn layers(facts: &Facts, id: PersonId) -> Vec<(Span, What)> {
    let person = &facts.problem.people[id];
    let own = &facts.people[id];
    let away = person.away.iter().map(|span| (*span, What::Away));
    let tasks = own.spells.iter().flat_map(|s| s.work.iter().map(|piece| (*piece, What::Task(s.task))));
    let watches = own.turns.iter().map(|(turn, span)| (*span, What::Watch(*turn)));
    let duties = own.attended.iter().map(|(duty, span)| (*span, What::Duty(*duty)));
    let calls = person.recorded.iter().map(|r| (r.span, What::Call));
    let pauses = own.spells.iter().map(|s| (s.span(), What::Break));
    let hulls = own.hulls.iter().map(|span| (*span, What::Break));
    let timeline = rest::timeline(facts, id, own.occupied.clone());
    let blocks = timeline.blocks().iter().map(|span| (*span, What::Break));
    away.chain(tasks).chain(watches).chain(duties).chain(calls).chain(pauses).chain(hulls).chain(blocks).collect()
}
