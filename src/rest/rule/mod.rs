//! The kinds of rule, one a file, and what they have in common: each measures windows of a timeline and
//! compares what it finds with a limit.

mod best_rests;
mod longest_rest;
mod most_work;
mod night_work;
mod rest_count;
mod rest_interval;
mod rest_periods;
mod split_excepted;
mod total_rest;
mod unbroken_work;
mod week_excepted;

pub use best_rests::BestRests;
pub use longest_rest::LongestRest;
pub use most_work::MostWork;
pub use night_work::NightWork;
pub use rest_count::RestCount;
pub use rest_interval::RestInterval;
pub use rest_periods::RestPeriods;
pub use split_excepted::SplitExcepted;
pub use total_rest::TotalRest;
pub use unbroken_work::{Between, UnbrokenWork};
pub use week_excepted::WeekExcepted;

use crate::rest::{Timeline, Windows};
use crate::time::{Minutes, Span};

/// One rule of a set.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Rule {
    /// Short code, unique in the set (`24h`).
    pub code: String,
    /// What it asks for.
    pub kind: Kind,
    /// Document and clause, or that it is from memory.
    pub source: String,
}

/// What a rule asks for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Kind {
    /// A least total of rest in a window.
    TotalRest(TotalRest),
    /// A least sum of the longest rests of a window.
    BestRests(BestRests),
    /// A least longest rest of a window.
    LongestRest(LongestRest),
    /// A most between the end of one rest and the start of the next.
    RestInterval(RestInterval),
    /// A most of work in a window.
    MostWork(MostWork),
    /// All rest of a window in a few periods.
    RestPeriods(RestPeriods),
    /// A number of rests of a least length in a window.
    RestCount(RestCount),
    /// A most of work without a short break.
    UnbrokenWork(UnbrokenWork),
    /// A most of work in the hours of the night.
    NightWork(NightWork),
    /// A least sum of the longest rests, with the exception of one more.
    SplitExcepted(SplitExcepted),
    /// A least total of rest, with the exception of a lower one for a while.
    WeekExcepted(WeekExcepted),
}

/// What a rule finds in one window.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Measured {
    /// The window.
    pub window: Span,
    /// What it holds.
    pub found: Minutes,
}

/// What a rule compares with.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Limit {
    /// Nothing less passes.
    AtLeast(Minutes),
    /// Nothing more passes.
    AtMost(Minutes),
}

impl Limit {
    /// The figure alone.
    #[must_use]
    pub const fn required(self) -> Minutes {
        match self {
            Self::AtLeast(limit) | Self::AtMost(limit) => limit,
        }
    }

    /// Whether `found` passes; exactly the limit does (reading A16).
    #[must_use]
    pub fn passes(self, found: Minutes) -> bool {
        match self {
            Self::AtLeast(limit) => found >= limit,
            Self::AtMost(limit) => found <= limit,
        }
    }

    /// How much is left before `found` no longer passes; negative by how much it fails.
    #[must_use]
    pub fn margin(self, found: Minutes) -> Minutes {
        match self {
            Self::AtLeast(limit) => found - limit,
            Self::AtMost(limit) => limit - found,
        }
    }
}

impl Kind {
    /// What the rule finds in each of its windows that share time with `scope`; sorted by window.
    #[must_use]
    pub fn measure(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        match self {
            Self::TotalRest(rule) => rule.measure(timeline, scope),
            Self::BestRests(rule) => rule.measure(timeline, scope),
            Self::LongestRest(rule) => rule.measure(timeline, scope),
            Self::RestInterval(_) => RestInterval::measure(timeline, scope),
            Self::MostWork(rule) => rule.measure(timeline, scope),
            Self::RestPeriods(rule) => rule.measure(timeline, scope),
            Self::RestCount(rule) => rule.measure(timeline, scope),
            Self::UnbrokenWork(rule) => rule.measure(timeline, scope),
            Self::NightWork(rule) => rule.measure(timeline, scope),
            Self::SplitExcepted(rule) => rule.measure(timeline, scope),
            Self::WeekExcepted(rule) => rule.measure(timeline, scope),
        }
    }

    /// What the rule compares with.
    #[must_use]
    pub const fn limit(&self) -> Limit {
        match self {
            Self::TotalRest(rule) => Limit::AtLeast(rule.at_least),
            Self::BestRests(rule) => Limit::AtLeast(rule.at_least),
            Self::LongestRest(rule) => Limit::AtLeast(rule.at_least),
            Self::RestInterval(rule) => Limit::AtMost(rule.at_most),
            Self::MostWork(rule) => Limit::AtMost(rule.at_most),
            Self::RestPeriods(_) => Limit::AtMost(Minutes::ZERO),
            Self::RestCount(rule) => Limit::AtLeast(rule.required()),
            Self::UnbrokenWork(rule) => Limit::AtMost(rule.at_most),
            Self::NightWork(rule) => Limit::AtMost(rule.at_most),
            Self::SplitExcepted(rule) => Limit::AtLeast(rule.base.at_least),
            Self::WeekExcepted(rule) => Limit::AtLeast(rule.base.at_least),
        }
    }

    /// The length of its windows, where that is fixed.
    #[must_use]
    pub const fn window(&self) -> Option<Minutes> {
        match self {
            Self::TotalRest(rule) => Some(rule.window),
            Self::BestRests(rule) => Some(rule.window),
            Self::LongestRest(rule) => Some(rule.window),
            Self::MostWork(rule) => Some(rule.window),
            Self::RestPeriods(rule) => Some(rule.window),
            Self::RestCount(rule) => Some(rule.window),
            Self::SplitExcepted(rule) => Some(rule.base.window),
            Self::WeekExcepted(rule) => Some(rule.base.window),
            Self::RestInterval(_) | Self::UnbrokenWork(_) | Self::NightWork(_) => None,
        }
    }

    /// Where its windows lie, where that is a matter of reading.
    #[must_use]
    pub const fn windows(&self) -> Option<Windows> {
        match self {
            Self::TotalRest(rule) => Some(rule.windows),
            Self::BestRests(rule) => Some(rule.windows),
            Self::LongestRest(rule) => Some(rule.windows),
            Self::MostWork(rule) => Some(rule.windows),
            Self::RestPeriods(rule) => Some(rule.windows),
            Self::RestCount(rule) => Some(rule.windows),
            Self::SplitExcepted(rule) => Some(rule.base.windows),
            Self::WeekExcepted(rule) => Some(rule.base.windows),
            Self::RestInterval(_) | Self::UnbrokenWork(_) | Self::NightWork(_) => None,
        }
    }

    /// The windows that would break the rule and pass by an exception alone, with what is found there; sorted.
    #[must_use]
    pub fn excepted(&self, timeline: &Timeline, scope: Span) -> Vec<Measured> {
        match self {
            Self::SplitExcepted(rule) => rule.excepted(timeline, scope),
            Self::WeekExcepted(rule) => rule.excepted(timeline, scope),
            _ => Vec::new(),
        }
    }

    /// What it asks for, as a sentence part: `at least 10 h of rest in any 24 h`; where its windows do not lie
    /// everywhere, with where they do.
    #[must_use]
    pub fn text(&self) -> String {
        let asks = match self {
            Self::TotalRest(rule) => rule.text(),
            Self::BestRests(rule) => rule.text(),
            Self::LongestRest(rule) => rule.text(),
            Self::RestInterval(rule) => rule.text(),
            Self::MostWork(rule) => rule.text(),
            Self::RestPeriods(rule) => rule.text(),
            Self::RestCount(rule) => rule.text(),
            Self::UnbrokenWork(rule) => rule.text(),
            Self::NightWork(rule) => rule.text(),
            Self::SplitExcepted(rule) => rule.text(),
            Self::WeekExcepted(rule) => rule.text(),
        };
        match self.windows() {
            None | Some(Windows::Anchored | Windows::EveryMinute) => asks,
            Some(windows) => format!("{asks}, {}", windows.text()),
        }
    }
}

/// All time in which windows could bear on those of `scope`: it and everything that is recorded.
fn whole(timeline: &Timeline, scope: Span) -> Span {
    timeline.blocks().iter().copied().fold(scope, Span::hull)
}
