//! A split with the exception of a third period.

use crate::rest::Timeline;
use crate::rest::rule::{BestRests, Measured};
use crate::time::{Minutes, Moment, Span};

/// As `base`, but where its longest rests are too short, one more may be added on some days: `count + 1` rests make
/// the hours, the longest of at least `longest`, no other shorter than `least_other`, in at most `most_days` periods
/// of 24 h in any 168 h.
///
/// Parameters: minutes and numbers. Defaults: three rests make the 10 h, one of at least 6 h, neither other less than
/// one hour, on at most two 24-hour periods in any seven days (STCW Code A-VIII/1 paragraph 9; UK SI 2018/58 reg.
/// 7(3); German Seearbeitsgesetz section 49(1)2). Only where a flag state and an agreement allow it.
///
/// Reading: windows that need the exception and start within 24 h of the first of them are one use; a use is allowed
/// if the last use but one began at least 168 h before it, whether that one was allowed or not.
///
/// It does not steer the planner, which keeps `base`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct SplitExcepted {
    /// The rule without exception.
    pub base: BestRests,
    /// Least length of the longest of the rests.
    pub longest: Minutes,
    /// Least length of the others.
    pub least_other: Minutes,
    /// Most uses in any 168 h.
    pub most_days: usize,
}

impl SplitExcepted {
    pub(super) fn measure(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        self.parted(timeline, scope).0
    }

    /// The windows that pass by the exception alone, with what `base` finds there.
    pub(super) fn excepted(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        self.parted(timeline, scope).1
    }

    /// What stands without exception, and what passes by it; both sorted by window.
    fn parted(&self, timeline: &Timeline, scope: Span) -> (Vec<Measured>, Vec<Measured>) {
        let all = self.base.measure(timeline, super::whole(timeline, scope));
        let mut uses: Vec<Moment> = Vec::new();
        let (mut stand, mut pass) = (Vec::new(), Vec::new());
        for measured in all {
            let needs = measured.found < self.base.at_least && self.holds(timeline, measured.window);
            let start = measured.window.start();
            if needs && uses.last().is_none_or(|first| start - *first >= Minutes::DAY) {
                uses.push(start);
            }
            let allowed = |uses: &[Moment]| {
                let before = uses.len().checked_sub(1 + self.most_days).map(|i| uses[i]);
                uses.last().is_some_and(|last| before.is_none_or(|before| *last - before >= Minutes::WEEK))
            };
            if measured.window.overlaps(scope) {
                let list = if needs && allowed(&uses) { &mut pass } else { &mut stand };
                list.push(measured);
            }
        }
        (stand, pass)
    }

    /// Whether one rest more makes the hours.
    fn holds(&self, timeline: &Timeline, window: Span) -> bool {
        let mut rests: Vec<Minutes> = timeline.rests_in(window, self.base.edge);
        rests.retain(|rest| *rest >= self.least_other);
        rests.sort_unstable_by(|a, b| b.cmp(a));
        rests.truncate(self.base.count + 1);
        rests.first().is_some_and(|longest| *longest >= self.longest) && rests.into_iter().sum::<Minutes>() >= self.base.at_least
    }

    pub(super) fn text(&self) -> String {
        let Self { base, longest, least_other, most_days } = self;
        format!(
            "{}, by exception in {} (one of {longest}, none under {least_other}) on at most {most_days} days in 7",
            base.text(),
            base.count + 1
        )
    }
}
