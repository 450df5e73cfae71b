//! Which windows a rule looks at.

use chrono::Datelike;

use crate::clock::{Day, ShipClock};
use crate::rest::{Timeline, Windows};
use crate::time::{Minutes, Moment, Span};

/// All windows of `length` that `windows` asks for and that share time with `scope`, sorted, no repeats.
///
/// `anchors` are the stretches at whose starts and ends they lie: the blocks, or for limits on work the
/// pieces of work. Calendar windows are days, or so many weeks from a Monday on where `length` is weeks.
pub(super) fn list(windows: Windows, length: Minutes, anchors: &[Span], timeline: &Timeline, scope: Span) -> Vec<Span> {
    let forward = |from: Moment| Span::of(from, length);
    let back = |to: Moment| Span::of(to - length, length);
    let mut found: Vec<Span> = match windows {
        Windows::Anchored => anchors.iter().flat_map(|a| [forward(a.start()), back(a.end())]).flatten().collect(),
        Windows::EveryMinute => {
            let first = (scope.start() - length).minutes() + 1;
            (first..scope.end().minutes()).filter_map(|minute| forward(Moment::new(minute))).collect()
        }
        Windows::AfterRest(rest) => {
            let long_before = |i: usize| i == 0 || anchors[i].start() - anchors[i - 1].end() >= rest;
            (0..anchors.len()).filter(|&i| long_before(i)).filter_map(|i| forward(anchors[i].start())).collect()
        }
        Windows::FirstWorkOfDay => {
            let day = |i: usize| timeline.clock().day(anchors[i].start());
            let first = |i: usize| i == 0 || day(i - 1) != day(i);
            (0..anchors.len()).filter(|&i| first(i)).filter_map(|i| forward(anchors[i].start())).collect()
        }
        Windows::Calendar => calendar(length, timeline.clock(), scope),
        Windows::BackFromWorkStart => anchors.iter().filter_map(|a| back(a.start())).collect(),
    };
    found.retain(|window| window.overlaps(scope));
    found.sort_unstable();
    found.dedup();
    found
}

/// Ship's days, or so many weeks in a row, each from Monday on, that share time with `scope`.
pub(super) fn calendar(length: Minutes, clock: &ShipClock, scope: Span) -> Vec<Span> {
    let last = clock.day(scope.end());
    let mut day = clock.day(scope.start());
    let weeks = length.get() / Minutes::WEEK.get();
    let (step, days) = if weeks == 0 { (1, 1) } else { (7, 7 * weeks) };
    if weeks > 0 {
        let back = clock.date(day).weekday().num_days_from_monday();
        day = Day::new(day.number() - i32::try_from(back).unwrap_or(0) - days + step);
    }
    let mut windows = Vec::new();
    while day <= last {
        let end = Day::new(day.number() + days);
        windows.extend(Span::new(clock.at(day, Minutes::ZERO), clock.at(end, Minutes::ZERO)));
        day = Day::new(day.number() + step);
    }
    windows
}
