//! A weekly total with the exception of a lower one for a while.

use crate::rest::rule::{Measured, TotalRest};
use crate::rest::{ExceptionGap, Timeline};
use crate::time::{Minutes, Moment, Span};

/// As `base`, but for a while not less than `floor` is enough: at most `most` in a row, and between two such whiles at
/// least twice as long as `gap` says.
///
/// Parameters in minutes. Defaults: 70 h in place of 77 h in any seven days, for at most two consecutive weeks, twice
/// the duration apart (STCW Code A-VIII/1 paragraph 9; UK SI 2018/58 reg. 7(2); German Seearbeitsgesetz section
/// 49(1)3). Only where a flag state and an agreement allow it.
///
/// Reading: a while is all windows below `base` that share time or touch, from the first start of work in them to the
/// last end of work; what is twice as long is taken of whole days begun. In one that is too long the windows are allowed whose work ends in time. One that comes too soon
/// is not allowed at all, and counts against the next.
///
/// It does not steer the planner, which keeps `base`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct WeekExcepted {
    /// The rule without exception.
    pub base: TotalRest,
    /// Least rest in a window by exception.
    pub floor: Minutes,
    /// Longest while.
    pub most: Minutes,
    /// What the time between two whiles is measured by.
    pub gap: ExceptionGap,
}

/// Windows below the limit that hang together.
struct While {
    windows: Span,
    work: Span,
    /// The most by which one of them is short.
    short: Minutes,
}

impl While {
    /// How long it lasted, in whole days begun: work from Monday morning to the Sunday evening after next is two weeks.
    fn days(&self) -> Minutes {
        let day = Minutes::DAY.get();
        Minutes::new((self.work.length().get() + day - 1) / day * day)
    }
}

impl WeekExcepted {
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
        let whiles = self.whiles(timeline, &all);
        let passes = |measured: &Measured| {
            let number = whiles.iter().position(|w| w.windows.covers(measured.window));
            let (Some(number), true) = (number, (self.floor..self.base.at_least).contains(&measured.found)) else { return false };
            let own = &whiles[number];
            let soon = number.checked_sub(1).map(|before| &whiles[before]).is_some_and(|before| self.too_soon(timeline, before, own));
            let end = last_work(timeline, measured.window);
            !soon && end.is_some_and(|end| end - own.work.start() <= self.most)
        };
        let inside = all.into_iter().filter(|measured| measured.window.overlaps(scope));
        let (pass, stand) = inside.partition(|measured| passes(measured));
        (stand, pass)
    }

    /// Whether `own` begins sooner after `before` than is allowed.
    fn too_soon(&self, timeline: &Timeline, before: &While, own: &While) -> bool {
        let length = match self.gap {
            ExceptionGap::LongerOfTwo => before.days().max(own.days()),
            ExceptionGap::First => before.days(),
            ExceptionGap::LeaveWaives => {
                let off = timeline.rests().iter().find(|rest| rest.start() >= before.work.end());
                if off.is_some_and(|off| off.start() == before.work.end() && off.length() >= before.days()) {
                    return false;
                }
                before.days().max(own.days())
            }
            ExceptionGap::Hours => before.short,
        };
        own.work.start() - before.work.end() < length + length
    }

    fn whiles(&self, timeline: &Timeline, all: &[Measured]) -> Vec<While> {
        let mut whiles: Vec<While> = Vec::new();
        for Measured { window, found } in all.iter().copied().filter(|m| m.found < self.base.at_least) {
            let short = self.base.at_least - found;
            let work = timeline.blocks().iter().filter_map(|block| block.intersection(window)).reduce(Span::hull);
            let Some(work) = work else { continue };
            match whiles.last_mut() {
                Some(last) if window.start() <= last.windows.end() => {
                    *last = While { windows: last.windows.hull(window), work: last.work.hull(work), short: last.short.max(short) };
                }
                _ => whiles.push(While { windows: window, work, short }),
            }
        }
        whiles
    }

    pub(super) fn text(&self) -> String {
        let Self { base, floor, most, .. } = self;
        format!("{}, by exception at least {floor} for at most {} days", base.text(), most.get() / Minutes::DAY.get())
    }
}

/// The last minute of work in `window`.
fn last_work(timeline: &Timeline, window: Span) -> Option<Moment> {
    timeline.blocks().iter().filter_map(|block| block.intersection(window)).map(Span::end).max()
}
