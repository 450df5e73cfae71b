//! Sums over spans: by day, outside ordinary hours.

use crate::clock::Day;
use crate::model::{Person, Problem};
use crate::time::{Minutes, Span};

/// The part of `span` outside the person's ordinary hours.
pub(super) fn overtime(person: &Person, span: Span) -> Minutes {
    let ordinary: Vec<Span> = person.stretches.iter().flat_map(|s| s.ordinary.iter().copied()).filter(|o| o.overlaps(span)).collect();
    span.without(&ordinary).into_iter().map(Span::length).sum()
}

/// `span` cut at the ship's midnights.
pub(super) fn by_day(problem: &Problem, span: Span) -> Vec<(Day, Span)> {
    let mut parts = Vec::new();
    let mut day = problem.clock.day(span.start());
    loop {
        let whole = problem.clock.day_span(day);
        parts.extend(whole.intersection(span).map(|part| (day, part)));
        if whole.end() >= span.end() {
            return parts;
        }
        day = day.next();
    }
}
