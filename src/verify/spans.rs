//! Small arithmetic on lists of stretches.

use crate::time::{Grid, Minutes, Slot, Slots, Span};

/// The length of all of them together; stretches that overlap count twice.
pub(super) fn total(spans: &[Span]) -> Minutes {
    spans.iter().map(|s| s.length()).sum()
}

/// What the stretches of `some` share with those of `others`; in order if both are in order and apart.
pub(super) fn common(some: &[Span], others: &[Span]) -> Vec<Span> {
    some.iter().flat_map(|a| others.iter().filter_map(|b| a.intersection(*b))).collect()
}

/// What of the stretches of `some` lies outside all of `others`.
pub(super) fn outside(some: &[Span], others: &[Span]) -> Vec<Span> {
    some.iter().flat_map(|s| s.without(others)).collect()
}

/// The parts of `spans` that lie in `window`.
pub(super) fn within(spans: &[Span], window: Span) -> Vec<Span> {
    spans.iter().filter_map(|s| s.intersection(window)).collect()
}

/// Whether any of `spans` shares a minute with `window`.
pub(super) fn touches(spans: &[Span], window: Span) -> bool {
    spans.iter().any(|s| s.overlaps(window))
}

/// The shortest stretch that covers all of `spans`; `None` if there are none.
pub(super) fn hull(spans: impl IntoIterator<Item = Span>) -> Option<Span> {
    spans.into_iter().reduce(Span::hull)
}

/// The time of the slot that starts at `slot`.
pub(super) fn slot_span(grid: Grid, slot: Slot) -> Option<Span> {
    Span::of(grid.moment(slot), grid.slot())
}

/// All slots that share a minute with `span`, in order, each with its time.
pub(super) fn slots(grid: Grid, span: Span) -> impl Iterator<Item = (Slot, Span)> {
    let (first, end) = (grid.floor(span.start()), grid.ceil(span.end()));
    (0..(end - first).count()).filter_map(move |i| {
        let slot = first + Slots::new(i);
        slot_span(grid, slot).map(|span| (slot, span))
    })
}

/// How much is held at a time: from a list of (stretch, number held), stretches of constant load in time
/// order; those without any load are left out.
pub(super) fn loads(held: &[(Span, usize)]) -> Vec<(Span, usize)> {
    let mut changes: Vec<_> = held.iter().flat_map(|(span, _)| [span.start(), span.end()]).collect();
    changes.sort_unstable();
    changes.dedup();
    let pieces = changes.windows(2).filter_map(|pair| Span::new(pair[0], pair[1]));
    pieces
        .map(|piece| (piece, held.iter().filter(|(span, _)| span.overlaps(piece)).map(|(_, number)| number).sum()))
        .filter(|(_, load)| *load > 0)
        .collect()
}

/// The stretches in which the load is above `most`, each as long as that lasts, with its highest load.
pub(super) fn overloads(held: &[(Span, usize)], most: usize) -> Vec<(Span, usize)> {
    let mut over: Vec<(Span, usize)> = Vec::new();
    for (span, load) in loads(held).into_iter().filter(|(_, load)| *load > most) {
        match over.last_mut() {
            Some((last, highest)) if last.end() == span.start() => {
                *last = last.hull(span);
                *highest = load.max(*highest);
            }
            _ => over.push((span, load)),
        }
    }
    over
}
