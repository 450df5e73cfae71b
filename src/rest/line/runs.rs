//! Limits on the length of runs, over a view.

use crate::rest::Finding;
use crate::rest::line::rules::Run;
use crate::rest::line::view::{Stretches, Where};
use crate::time::{Minutes, Span};

/// Tests the length of every run that matters.
#[inline]
pub(super) fn runs(run: &Run, view: &impl Stretches, place: Where, report: &mut impl FnMut(Finding) -> bool) -> bool {
    let mut first = view.ending_after(place.region.start());
    if first == view.len() {
        return true;
    }
    while !view.begins(first) {
        first -= 1;
    }
    let (mut start, mut worked) = (view.start(first), Minutes::ZERO);
    for index in first..view.len() {
        if view.begins(index) {
            start = view.start(index);
            worked = Minutes::ZERO;
        }
        if start >= place.region.end() {
            return true;
        }
        let end = view.end(index);
        worked += view.get(index).length();
        let found = if run.work_only { worked } else { end - start };
        if found > run.at_most && view.ends(index) && place.matters(start, end) {
            let finding = |window: Span| Finding { rule: run.rule, window, found, required: run.at_most };
            if !Span::new(start, end).is_none_or(|window| report(finding(window))) {
                return false;
            }
        }
    }
    true
}
