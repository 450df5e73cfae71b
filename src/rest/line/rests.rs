//! Conditions on the rests of windows, over a view.

use crate::rest::Finding;
use crate::rest::line::rules::{Group, Measure};
use crate::rest::line::view::{Stretches, Where};
use crate::rest::set::BEST_MOST;
use crate::time::{Minutes, Moment, Span};

/// What the rests of a window come to.
struct Tally {
    total: Minutes,
    best: [Minutes; BEST_MOST],
    counted: i32,
}

impl Tally {
    const fn new() -> Self {
        Self { total: Minutes::ZERO, best: [Minutes::ZERO; BEST_MOST], counted: 0 }
    }

    #[inline]
    fn add(&mut self, rest: Minutes, group: &Group) {
        self.total += rest;
        if rest >= group.unit {
            self.counted += rest.get() / group.unit.get();
        }
        let mut rest = rest;
        for best in &mut self.best[..group.depth] {
            if rest > *best {
                std::mem::swap(best, &mut rest);
            }
        }
    }

    #[inline]
    fn found(&self, measure: Measure, group: &Group) -> Minutes {
        match measure {
            Measure::Total => self.total,
            Measure::Best(count) => self.best[..count.min(BEST_MOST)].iter().copied().sum(),
            Measure::Count => Minutes::new(self.counted * group.unit.get()),
        }
    }

    #[inline]
    fn passes(&self, group: &Group) -> bool {
        self.total >= group.most && group.quick.iter().all(|c| self.found(c.measure, group) >= c.at_least)
    }
}

/// Tests the conditions of `group` in every window that matters. A walk ends as soon as the quick ones are
/// met; where they are not, all are reported that are broken.
#[inline]
pub(super) fn group(group: &Group, view: &impl Stretches, place: Where, report: &mut impl FnMut(Finding) -> bool) -> bool {
    let length = group.window;
    let mut judge = |tally: Option<Tally>, from: Moment, to: Moment| -> bool {
        let (Some(tally), Some(window)) = (tally, Span::new(from, to)) else { return true };
        let broken = group.full.iter().filter(|c| tally.found(c.measure, group) < c.at_least);
        let mut findings = broken.map(|c| Finding { rule: c.rule, window, found: tally.found(c.measure, group), required: c.at_least });
        findings.all(&mut *report)
    };
    let mut index = view.starting_before(place.region.end());
    while index > 0 {
        index -= 1;
        let start = view.start(index);
        if start + length <= place.region.start() {
            break;
        }
        if place.matters(start, start + length) && view.begins(index) && !judge(forward(view, index, group), start, start + length) {
            return false;
        }
    }
    for index in view.ending_after(place.region.start())..view.len() {
        let end = view.end(index);
        if end - length >= place.region.end() {
            break;
        }
        if place.matters(end - length, end) && view.ends(index) && !judge(back(view, index, group), end - length, end) {
            return false;
        }
    }
    true
}

/// The rests of the window forward from the start of `index`; `None` as soon as the conditions are met.
#[inline]
fn forward(view: &impl Stretches, index: usize, group: &Group) -> Option<Tally> {
    let limit = view.start(index) + group.window;
    let mut tally = Tally::new();
    for i in index..view.len() {
        let end = view.end(i);
        if end >= limit {
            return Some(tally);
        }
        let next = if i + 1 < view.len() { view.start(i + 1).min(limit) } else { limit };
        if next > end {
            tally.add(next - end, group);
            if tally.passes(group) {
                return None;
            }
        }
        if next == limit {
            return Some(tally);
        }
    }
    Some(tally)
}

/// The rests of the window back from the end of `index`; `None` as soon as the conditions are met.
#[inline]
fn back(view: &impl Stretches, index: usize, group: &Group) -> Option<Tally> {
    let limit = view.end(index) - group.window;
    let mut tally = Tally::new();
    for i in (0..=index).rev() {
        let start = view.start(i);
        if start <= limit {
            return Some(tally);
        }
        let previous = if i > 0 { view.end(i - 1).max(limit) } else { limit };
        if previous < start {
            tally.add(start - previous, group);
            if tally.passes(group) {
                return None;
            }
        }
        if previous == limit {
            return Some(tally);
        }
    }
    Some(tally)
}
