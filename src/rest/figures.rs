//! The rest figures that every output shows.

use crate::rest::rule::{BestRests, Kind, LongestRest, Measured, TotalRest};
use crate::rest::{Edge, Timeline, Windows};
use crate::time::{Minutes, Moment, Span};

/// Least rest over all windows that share time with a scope, default readings, whatever the rule set.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Figures {
    /// Least rest in any 24 h; 24 h where there is no work near.
    pub least_24h: Minutes,
    /// Start of the first window that has it; `None` where there is no work near.
    pub least_24h_from: Option<Moment>,
    /// Least sum of the two longest rests of a 24 h window.
    pub best_two_24h: Minutes,
    /// Start of the first window that has it.
    pub best_two_24h_from: Option<Moment>,
    /// Least longest rest of a 24 h window.
    pub longest_24h: Minutes,
    /// Start of the first window that has it.
    pub longest_24h_from: Option<Moment>,
    /// Least rest in any 168 h.
    pub least_7d: Minutes,
    /// Start of the first window that has it.
    pub least_7d_from: Option<Moment>,
}

/// The figures of `timeline` over all windows that share time with `scope`: totals at every moment, the split and the
/// longest rest from starts of blocks forward and from ends back.
#[must_use]
pub fn figures(timeline: &Timeline, scope: Span) -> Figures {
    let (windows, edge) = (Windows::Anchored, Edge::Part);
    let least = |kind: Kind| least(&kind.measure(timeline, scope));
    let day = least_total(timeline, scope, Minutes::DAY);
    let week = least_total(timeline, scope, Minutes::WEEK);
    let best = least(Kind::BestRests(BestRests { window: Minutes::DAY, count: 2, at_least: Minutes::ZERO, windows, edge }));
    let longest = least(Kind::LongestRest(LongestRest { window: Minutes::DAY, at_least: Minutes::ZERO, windows, edge }));
    let found = |measured: Option<Measured>, none: Minutes| measured.map_or(none, |m| m.found);
    Figures {
        least_24h: found(day, Minutes::DAY),
        least_24h_from: day.map(|m| m.window.start()),
        best_two_24h: found(best, Minutes::DAY),
        best_two_24h_from: best.map(|m| m.window.start()),
        longest_24h: found(longest, Minutes::DAY),
        longest_24h_from: longest.map(|m| m.window.start()),
        least_7d: found(week, Minutes::WEEK),
        least_7d_from: week.map(|m| m.window.start()),
    }
}

/// The window of `length` with the least rest of all that share time with `scope`, at whatever minute they begin; `None`
/// where there is no work near.
///
/// Moved to where it holds less, a window comes to start or end with a block, or to share no more than its last or its first
/// minute with the scope: those two are looked at too. One that starts or ends with a block is named before them.
fn least_total(timeline: &Timeline, scope: Span, length: Minutes) -> Option<Measured> {
    let total = TotalRest { window: length, at_least: Minutes::ZERO, windows: Windows::Anchored, edge: Edge::Part };
    let minute = Minutes::new(1);
    let brims = [scope.start() + minute - length, scope.end() - minute].into_iter().filter_map(|from| Span::of(from, length));
    let near = brims.filter(|window| timeline.blocks().iter().any(|block| block.overlaps(*window)));
    let at_brims = near.map(|window| Measured { window, found: timeline.rests_in(window, Edge::Part).into_iter().sum() });
    least(&Kind::TotalRest(total).measure(timeline, scope)).into_iter().chain(at_brims).min_by_key(|m| m.found)
}

/// The first window with the least found.
fn least(measured: &[Measured]) -> Option<Measured> {
    measured.iter().copied().min_by_key(|m| (m.found, m.window))
}
