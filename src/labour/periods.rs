//! Periods: stretches of time in which nothing changes in anybody's calendar.

use super::classes::Class;
use crate::calendar::{Fit, State};
use crate::clock::Day;
use crate::model::Problem;
use crate::time::Span;

/// A stretch of slots of one ship's day in which every class is in one state, and which lies wholly inside
/// or wholly outside the clock hours of the unbooked reserve.
#[derive(Clone, Debug)]
pub(super) struct Period {
    /// First slot.
    pub(super) from: usize,
    /// First slot after it.
    pub(super) to: usize,
    /// Its ship's day.
    pub(super) day: Day,
    /// State of each class.
    pub(super) states: Vec<State>,
    /// Whether unbooked time counts in all of it, outright; time that counts in a part of a slot is in no
    /// such period.
    pub(super) counts: bool,
}

impl Period {
    /// Its length in slots.
    pub(super) const fn slots(&self) -> usize {
        self.to - self.from
    }
}

/// All periods before slot boundary `finish`, in time order.
pub(super) fn all(problem: &Problem, fit: &Fit<'_>, classes: &[Class], finish: usize) -> Vec<Period> {
    let range = fit.people().range();
    let mut counts = crate::bits::Bits::none(range.len());
    for span in counting(problem) {
        let (from, to) = range.inside(span);
        counts.insert_range(from, to);
    }
    let mut periods: Vec<Period> = Vec::new();
    for i in 0..finish.min(range.len()) {
        let (day, counts) = (range.day(i), counts.has(i));
        let states: Vec<State> = classes.iter().map(|c| fit.people().state(c.one(), i)).collect();
        match periods.last_mut() {
            Some(last) if last.day == day && last.counts == counts && last.states == states => last.to = i + 1,
            _ => periods.push(Period { from: i, to: i + 1, day, states, counts }),
        }
    }
    periods
}

/// When unbooked time counts: the clock hours of each reserve that asks for some, where its mode holds,
/// from the start to the latest end.
pub(super) fn counting(problem: &Problem) -> Vec<Span> {
    let mut spans = Vec::new();
    for (span, mode) in &problem.mode_spans {
        let Some(reserve) = problem.modes[*mode].reserve.as_ref().filter(|r| r.unbooked.get() > 0) else { continue };
        for day in problem.days(problem.latest_end) {
            let hours = Span::new(problem.clock.at(day, reserve.hours.0), problem.clock.at(day, reserve.hours.1));
            spans.extend(hours.and_then(|h| h.intersection(*span)));
        }
    }
    crate::time::union(spans)
}
