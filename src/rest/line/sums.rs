//! Sums over windows, over a view: both edges of the window only move forward.

use crate::rest::Finding;
use crate::rest::line::rules::Sum;
use crate::rest::line::view::{Stretches, Where};
use crate::time::{Minutes, Moment, Span};

/// Tests `sum` in every window of `length` at a start or an end that matters.
#[inline]
pub(super) fn anchored(sum: &Sum, length: Minutes, view: &impl Stretches, place: Where, report: &mut impl FnMut(Finding) -> bool) -> bool {
    let most = sum.limit.most(length);
    sweep(length, view, place, &mut |window, total| total <= most || report(finding(sum, window, total)))
}

/// Tests `sum` in every window of `laid` (sorted by start and by end) that matters.
pub(super) fn laid(sum: &Sum, laid: &[Span], view: &impl Stretches, place: Where, report: &mut impl FnMut(Finding) -> bool) -> bool {
    let first = laid.partition_point(|window| window.end() <= place.region.start());
    for &window in laid[first..].iter().take_while(|window| window.start() < place.region.end()) {
        if !place.matters(window.start(), window.end()) {
            continue;
        }
        let mut total = Minutes::ZERO;
        for index in view.ending_after(window.start())..view.starting_before(window.end()) {
            total += view.end(index).min(window.end()) - view.start(index).max(window.start());
        }
        if total > sum.limit.most(window.length()) && !report(finding(sum, window, total)) {
            return false;
        }
    }
    true
}

fn finding(sum: &Sum, window: Span, total: Minutes) -> Finding {
    let length = window.length();
    Finding { rule: sum.rule, window, found: sum.limit.found(length, total), required: sum.limit.required() }
}

/// Hands every window of `length` that matters, at a start or an end of a run, to `each` with the time in
/// it that the view covers; stops where `each` says so. Linear: both edges only move forward.
#[inline]
fn sweep(length: Minutes, view: &impl Stretches, place: Where, each: &mut impl FnMut(Span, Minutes) -> bool) -> bool {
    let stop = view.starting_before(place.region.end());
    let mut first = stop;
    while first > 0 && view.start(first - 1) + length > place.region.start() {
        first -= 1;
    }
    let (mut far, mut covered) = (first, Minutes::ZERO);
    for index in first..stop {
        let start = view.start(index);
        let limit = start + length;
        while far < view.len() && view.start(far) < limit {
            covered += view.end(far) - view.start(far);
            far += 1;
        }
        if place.matters(start, limit) && view.begins(index) {
            let over = (view.end(far - 1) - limit).max(Minutes::ZERO);
            if !Span::new(start, limit).is_none_or(|window| each(window, covered - over)) {
                return false;
            }
        }
        covered = covered - (view.end(index) - start);
    }
    let first = view.ending_after(place.region.start());
    if first == view.len() {
        return true;
    }
    let mut near = first;
    let mut covered = Minutes::ZERO;
    while near > 0 && view.end(near - 1) > view.end(first) - length {
        near -= 1;
        covered += view.end(near) - view.start(near);
    }
    for index in first..view.len() {
        let end = view.end(index);
        let limit = end - length;
        if limit >= place.region.end() {
            break;
        }
        covered += end - view.start(index);
        while view.end(near) <= limit {
            covered = covered - (view.end(near) - view.start(near));
            near += 1;
        }
        if place.matters(limit, end) && view.ends(index) {
            let over = (limit - view.start(near)).max(Minutes::ZERO);
            if !Span::new(limit, end).is_none_or(|window| each(window, covered - over)) {
                return false;
            }
        }
    }
    true
}

/// The most of `spans` (sorted, apart) that any window of `length` holds, of those that end after `from`.
///
/// It is enough to look at the windows from starts and back from ends: a window with one edge in a gap can
/// be moved until that edge meets a span, one with both edges in spans until one of them leaves its span, and
/// it holds no less. Moved to the left it may come to end with the last span that ends by `from`, which is
/// why that one is looked at too.
pub(super) fn most_covered(spans: &[Span], length: Minutes, from: Moment) -> Minutes {
    let mut most = Minutes::ZERO;
    let first = spans.partition_point(|span| span.start() + length <= from);
    let (mut far, mut covered) = (first, Minutes::ZERO);
    for span in &spans[first..] {
        let limit = span.start() + length;
        while let Some(next) = spans.get(far).filter(|next| next.start() < limit) {
            covered += next.length();
            far += 1;
        }
        let over = (spans[far - 1].end() - limit).max(Minutes::ZERO);
        most = most.max(covered - over);
        covered = covered - span.length();
    }
    let first = spans.partition_point(|span| span.end() <= from).saturating_sub(1);
    let Some(head) = spans.get(first) else { return most };
    let mut near = spans.partition_point(|span| span.end() <= head.end() - length);
    let mut covered: Minutes = spans[near..first].iter().map(|span| span.length()).sum();
    for span in &spans[first..] {
        let limit = span.end() - length;
        covered += span.length();
        while spans[near].end() <= limit {
            covered = covered - spans[near].length();
            near += 1;
        }
        let over = (limit - spans[near].start()).max(Minutes::ZERO);
        most = most.max(covered - over);
    }
    most
}
