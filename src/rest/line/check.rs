//! All rules over a view: only the windows that matter, without building anything.

use crate::rest::Finding;
use crate::rest::line::rules::{ClosedRules, Of, SumWindows};
use crate::rest::line::view::{Gaps, Stretches, Where};
use crate::rest::line::{rests, runs, sums};
use crate::time::{Minutes, Span};

/// Which rules are tested.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Which {
    /// All.
    All,
    /// This one, and those that are tested in the same walk.
    One(usize),
}

impl Which {
    /// Whether a walk that tests `rule` is made.
    fn wants(self, rule: usize) -> bool {
        match self {
            Self::All => true,
            Self::One(one) => one == rule,
        }
    }
}

/// Rules with the windows that the clock lays out for some of their sums.
#[derive(Clone, Copy, Debug)]
pub(super) struct Book<'a> {
    pub(super) rules: &'a ClosedRules,
    /// For each sum; in time order.
    pub(super) laid: &'a [Vec<Span>],
}

impl Book<'_> {
    /// Tests rules over blocks, or over pieces of work, in the windows that matter.
    ///
    /// Sums are left out for which `spared` says that they cannot be broken. Each finding goes to `report`,
    /// which says whether to carry on; what comes back is whether it was never told to stop.
    #[inline]
    pub(super) fn check(
        &self,
        of: Of,
        view: &impl Stretches,
        place: Where,
        which: Which,
        spared: impl Fn(usize) -> bool,
        report: &mut impl FnMut(Finding) -> bool,
    ) -> bool {
        for run in self.rules.runs.iter().filter(|run| which.wants(run.rule)) {
            let passes = match (of, run.gap) {
                (Of::Blocks, None) => runs::runs(run, view, place, report),
                (Of::Work, Some(gap)) => runs::runs(run, &view.with_gaps(Gaps::of(gap)), place, report),
                (Of::Blocks, Some(_)) | (Of::Work, None) => true,
            };
            if !passes {
                return false;
            }
        }
        if of == Of::Blocks {
            for group in self.rules.groups.iter().filter(|group| group.full.iter().any(|c| which.wants(c.rule))) {
                if !rests::group(group, view, place, report) {
                    return false;
                }
            }
        }
        for (number, sum) in self.rules.sums.iter().enumerate() {
            if sum.of != of || spared(number) || !which.wants(sum.rule) {
                continue;
            }
            let passes = match sum.gap {
                None => self.adds_up(number, view, place, report),
                Some(gap) => self.adds_up(number, &view.with_gaps(Gaps::of(gap)), place, report),
            };
            if !passes {
                return false;
            }
        }
        true
    }

    #[inline]
    fn adds_up(&self, number: usize, view: &impl Stretches, place: Where, report: &mut impl FnMut(Finding) -> bool) -> bool {
        let sum = &self.rules.sums[number];
        match sum.windows {
            SumWindows::Anchored(length) => sums::anchored(sum, length, view, place, report),
            SumWindows::Laid => sums::laid(sum, &self.laid[number], view, place, report),
        }
    }
}

/// Gaps between pieces of work: every one parts.
pub(super) const WORK_GAPS: Gaps<'static> = Gaps::of(Minutes::new(1));
