//! A most of work in the hours of the night.

use crate::clock::ShipClock;
use crate::rest::Timeline;
use crate::rest::rule::Measured;
use crate::time::{Minutes, Span};

/// Between `from` and `to` by ship's clock there are at most `at_most` of work.
///
/// Parameters in minutes; `from` and `to` are minutes of the ship's day, and where `to` is not after `from`
/// the night runs to the next day. It states the ban on night work for those under 18: at least nine hours
/// that begin no later than midnight and end no earlier than 05:00 (MLC 2006 Standard A1.1 paragraph 2, read
/// as 20:00 to 06:00 in Germany and Denmark).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct NightWork {
    /// Minute of the day at which the night begins.
    pub from: Minutes,
    /// Minute of the day at which it ends.
    pub to: Minutes,
    /// The most work in it.
    pub at_most: Minutes,
}

impl NightWork {
    pub(super) fn measure(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        let work = |night| timeline.work().iter().filter_map(|piece| piece.intersection(night)).map(Span::length).sum();
        let nights = self.nights(timeline.clock(), scope).into_iter().filter(|night| night.overlaps(scope));
        nights.map(|window| Measured { window, found: work(window) }).collect()
    }

    /// The nights of the ship's days around `scope`, in time order; some may lie beside it.
    pub(in crate::rest) fn nights(&self, clock: &ShipClock, scope: Span) -> Vec<Span> {
        let last = clock.day(scope.end());
        let mut day = clock.day(scope.start() - Minutes::DAY);
        let mut nights = Vec::new();
        while day <= last {
            let end_day = if self.to > self.from { day } else { day.next() };
            nights.extend(Span::new(clock.at(day, self.from), clock.at(end_day, self.to)));
            day = day.next();
        }
        nights
    }

    pub(super) fn text(&self) -> String {
        let hour = |minutes: Minutes| format!("{:02}:{:02}", minutes.get() / 60, minutes.get() % 60);
        format!("at most {} of work between {} and {}", self.at_most, hour(self.from), hour(self.to))
    }
}
