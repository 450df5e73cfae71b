//! A timeline as the ship's clock shows it, for those who count hours so.
//!
//! Moments then stand for what the clock shows, counted in minutes from 00:00 of day 1 on a clock that is never changed.
//! An hour that is shown twice is there once, and is work if either of the two was; one that is left out is there, and is
//! what was done around it.

use crate::rest::rule::{Kind, Measured};
use crate::rest::{Counted, RuleSet, Timeline};
use crate::time::{Minutes, Moment, Span, union};

/// A timeline by what the clock shows.
pub(super) struct Shown<'a> {
    by_clock: &'a Timeline,
    /// The same by what is shown.
    line: Timeline,
}

impl<'a> Shown<'a> {
    /// `timeline` by what its clock shows, if `set` counts so and the clock is ever changed.
    pub(super) fn of(set: &RuleSet, timeline: &'a Timeline) -> Option<Self> {
        let clock = timeline.clock();
        if set.readings.counted == Counted::Elapsed || clock.changes().is_empty() {
            return None;
        }
        let faces = |spans: &[Span]| spans.iter().flat_map(|span| clock.faces(*span)).collect::<Vec<_>>();
        let breaks = union(faces(timeline.breaks()));
        let line = Timeline::new(set, faces(timeline.work()), &breaks).on_clock(clock.unchanged());
        Some(Self { by_clock: timeline, line })
    }

    /// What `measure` finds by what the clock shows, in the windows that share time with `scope`; windows are turned back
    /// into elapsed time, so that one of 24 hours shown may be 23 or 25 hours long.
    pub(super) fn measured(&self, scope: Span, measure: impl Fn(&Timeline, Span) -> Vec<Measured>) -> Vec<Measured> {
        let clock = self.by_clock.clock();
        let Some(shown) = clock.faces(scope).into_iter().reduce(Span::hull) else { return Vec::new() };
        let back = |m: Measured| clock.of_faces(m.window).map(|window| Measured { window, ..m });
        measure(&self.line, shown).into_iter().filter_map(back).filter(|m| m.window.overlaps(scope)).collect()
    }

    /// Rest shown, in the `length` that the clock shows before `end`.
    fn rest_before(&self, end: Moment, length: Minutes) -> Minutes {
        let shown = self.by_clock.clock().face(end);
        let window = Span::of(shown - length, length);
        window.map_or(Minutes::ZERO, |window| self.line.rests_in(window, crate::rest::Edge::Part).into_iter().sum())
    }
}

impl RuleSet {
    /// What `kind` finds in each of its windows that share time with `scope`, counted as the set is read; sorted by window.
    #[must_use]
    pub fn measure(&self, kind: &Kind, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        match Shown::of(self, timeline) {
            Some(shown) => shown.measured(scope, |line, scope| kind.measure(line, scope)),
            None => kind.measure(timeline, scope),
        }
    }

    /// The windows that would break `kind` and pass by an exception alone, counted as the set is read; sorted.
    #[must_use]
    pub fn excepted(&self, kind: &Kind, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        match Shown::of(self, timeline) {
            Some(shown) => shown.measured(scope, |line, scope| kind.excepted(line, scope)),
            None => kind.excepted(timeline, scope),
        }
    }

    /// Rest in the `length` before `end`, counted as the set is read.
    #[must_use]
    pub fn rest_before(&self, timeline: &Timeline, end: Moment, length: Minutes) -> Minutes {
        match Shown::of(self, timeline) {
            Some(shown) => shown.rest_before(end, length),
            None => Span::of(end - length, length)
                .map_or(Minutes::ZERO, |window| timeline.rests_in(window, crate::rest::Edge::Part).into_iter().sum()),
        }
    }
}
