//! Where a new stretch goes among sorted ones.

use crate::rest::line::view::Gaps;
use crate::time::{Minutes, Span};

/// Where a new stretch goes among sorted ones: it replaces `first..end` by `span`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) first: usize,
    pub(super) end: usize,
    pub(super) span: Span,
    /// From the first to the last minute that was not covered before; `None` where nothing is new.
    pub(super) changed: Option<Span>,
    /// How many minutes were not covered before.
    pub(super) added: Minutes,
}

/// Where `span` goes among `spans`.
pub(super) fn place(spans: &[Span], span: Span, gaps: Gaps<'_>) -> Place {
    let mut first = spans.partition_point(|old| old.end() < span.start());
    let mut end = first + spans[first..].iter().take_while(|old| old.start() <= span.end()).count();
    let mut whole = span;
    if let [head, ..] = &spans[first..end] {
        whole = whole.hull(*head).hull(spans[end - 1]);
    }
    if first > 0 && gaps.join(spans[first - 1].end(), whole.start()) {
        first -= 1;
        whole = whole.hull(spans[first]);
    }
    if end < spans.len() && gaps.join(whole.end(), spans[end].start()) {
        whole = whole.hull(spans[end]);
        end += 1;
    }
    let replaced = &spans[first..end];
    let covered: Minutes = replaced.iter().map(|old| old.length()).sum();
    let from = replaced.first().filter(|old| old.start() == whole.start()).map_or(whole.start(), |old| old.end());
    let to = replaced.last().filter(|old| old.end() == whole.end()).map_or(whole.end(), |old| old.start());
    Place { first, end, span: whole, changed: Span::new(from, to), added: whole.length() - covered }
}
