//! Time on hand: within a working stretch, everything from the first piece of work to the last.
//!
//! Between two pieces of work of one working stretch a person is on hand: that is neither work nor rest.
//! The effective stretch is its ordinary hours and those of its overtime pieces in which the person works
//! on a task; watches and duties beyond it do not count. Listed time on hand counts like work here.

use crate::model::Person;
use crate::time::Span;
use crate::verify::facts::Own;
use crate::verify::spans::{hull, touches, within};

/// From first to last piece of work of each stretch that has any, in time order.
pub(super) fn hulls(person: &Person, own: &Own) -> Vec<Span> {
    let spells = own.spells.iter().map(|s| s.span());
    let turns = own.turns.iter().map(|(_, span)| *span);
    let attended = own.attended.iter().map(|(_, span)| *span);
    let before = person.before.hull;
    let pieces: Vec<Span> = spells.chain(turns).chain(attended).chain(own.on_hand.iter().copied()).collect();
    let effective = person.stretches.iter().filter_map(|stretch| {
        let begun = |piece: Span| before.is_some_and(|before| before.overlaps(piece));
        let overtime = stretch.overtime.iter().filter(|piece| touches(&own.labour, **piece) || begun(**piece));
        hull(stretch.ordinary.iter().chain(overtime).copied())
    });
    // What was begun before planning begins reaches on to work that follows; by itself it is in the record.
    let all = |stretch: Span| {
        let here = within(&pieces, stretch);
        let begun = before.and_then(|before| before.intersection(stretch)).filter(|_| !here.is_empty());
        hull(here.into_iter().chain(begun))
    };
    effective.filter_map(all).collect()
}

/// The hulls without the named breaks inside them, which are neither work nor rest. A break that reaches over
/// an end of a hull stays in it: no rest starts or ends at a break. `breaks` are apart.
pub(super) fn at_work_or_on_hand(breaks: &[Span], hulls: &[Span]) -> Vec<Span> {
    let inside = |hull: Span, pause: Span| hull.start() < pause.start() && pause.end() < hull.end();
    hulls
        .iter()
        .flat_map(|hull| {
            let inner: Vec<Span> = breaks.iter().copied().filter(|pause| inside(*hull, *pause)).collect();
            hull.without(&inner)
        })
        .collect()
}
