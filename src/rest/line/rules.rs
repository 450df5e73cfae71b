//! Rules made ready for the incremental checker, and the proof by type that they are closed.

use thiserror::Error;

use crate::clock::ShipClock;
use crate::rest::rule::{BestRests, Between, Kind, LongestRest, MostWork, RestCount, TotalRest};
use crate::rest::set::BEST_MOST;
use crate::rest::{Counted, Edge, RuleSet, ShortGap, Windows, windows};
use crate::time::{Minutes, Span};

/// A set of rules whose readings are all **closed**: more work never cures a finding.
///
/// Only then is a plan that is legal so far legal for good as far as it goes, so only such sets can steer
/// the planner; others are checked on whole timelines by [`crate::rest::findings`].
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ClosedRules {
    set: RuleSet,
    pub(super) groups: Vec<Group>,
    pub(super) sums: Vec<Sum>,
    pub(super) runs: Vec<Run>,
    /// Whether a rule looks at pieces of work.
    pub(super) uses_pieces: bool,
    /// Over what gaps between two of them a sum goes on.
    pub(super) goes_on: Minutes,
}

/// A rule that cannot steer the planner, and why.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
#[error("rule `{rule}` of `{set}` cannot steer the planner: {why}")]
pub struct NotClosed {
    /// Code of the set.
    pub set: String,
    /// Code of the rule.
    pub rule: String,
    /// Why.
    pub why: &'static str,
}

/// Conditions on the rests of anchored windows of one length, tested in one walk.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Group {
    pub(super) window: Minutes,
    /// How many longest rests the conditions need.
    pub(super) depth: usize,
    /// Length of a rest that counts once, where rests are counted; otherwise a whole window.
    pub(super) unit: Minutes,
    /// All conditions.
    pub(super) full: Vec<Condition>,
    /// Those that do not follow from another one in the same window.
    pub(super) quick: Vec<Condition>,
    /// The largest that one of them asks for: with less rest in all, one of them is broken.
    pub(super) most: Minutes,
}

/// One condition on the rests of a window.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Condition {
    pub(super) rule: usize,
    pub(super) measure: Measure,
    pub(super) at_least: Minutes,
}

/// What a condition measures.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Measure {
    /// All rest.
    Total,
    /// The longest so many rests.
    Best(usize),
    /// Rests of the group's unit.
    Count,
}

/// A most of time outside rest, or of work, in a window.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Sum {
    pub(super) rule: usize,
    pub(super) windows: SumWindows,
    pub(super) of: Of,
    /// Shorter gaps between pieces of work are added too.
    pub(super) gap: Option<Minutes>,
    pub(super) limit: SumLimit,
}

/// Where the windows of a sum lie.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum SumWindows {
    /// Of this length, at starts and ends.
    Anchored(Minutes),
    /// Laid out by the ship's clock, with the rule's own numbers.
    Laid,
}

/// What is added up.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Of {
    /// Blocks.
    Blocks,
    /// Pieces of work.
    Work,
}

/// What the sum is compared with.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum SumLimit {
    /// The rest of the window is at least this.
    Rest(Minutes),
    /// The sum is at most this.
    Most(Minutes),
}

impl SumLimit {
    /// The most the sum may be in a window of `length`.
    pub(super) fn most(self, length: Minutes) -> Minutes {
        match self {
            Self::Rest(least) => length - least,
            Self::Most(most) => most,
        }
    }

    /// What a finding shows as found.
    pub(super) fn found(self, length: Minutes, sum: Minutes) -> Minutes {
        match self {
            Self::Rest(_) => length - sum,
            Self::Most(_) => sum,
        }
    }

    /// What a finding shows as required.
    pub(super) const fn required(self) -> Minutes {
        match self {
            Self::Rest(limit) | Self::Most(limit) => limit,
        }
    }
}

/// A most of work without a gap of some length.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Run {
    pub(super) rule: usize,
    /// Gaps of work shorter than this do not end a run; `None`: the gaps between blocks do.
    pub(super) gap: Option<Minutes>,
    pub(super) at_most: Minutes,
    /// Whether only work counts, and not the gaps in a run.
    pub(super) work_only: bool,
}

impl ClosedRules {
    /// Makes `set` ready, if all its readings are closed and may be tested piece by piece.
    ///
    /// # Errors
    /// Every rule that is not.
    pub fn new(set: &RuleSet) -> Result<Self, Vec<NotClosed>> {
        let mut closed =
            Self { set: set.clone(), groups: Vec::new(), sums: Vec::new(), runs: Vec::new(), uses_pieces: false, goes_on: Minutes::ZERO };
        let mut errors = Vec::new();
        if set.readings.counted == Counted::Shown {
            let why = "hours are counted as the ship's clock shows them";
            errors.extend(set.rules.iter().map(|rule| NotClosed { set: set.code.clone(), rule: rule.code.clone(), why }));
            return Err(errors);
        }
        for (number, rule) in set.rules.iter().enumerate() {
            if let Err(why) = closed.add(number, &rule.kind) {
                errors.push(NotClosed { set: set.code.clone(), rule: rule.code.clone(), why });
            }
        }
        if !errors.is_empty() {
            return Err(errors);
        }
        closed.totals_into_groups();
        for group in &mut closed.groups {
            group.quick = quick(&group.full);
            group.most = group.full.iter().map(|c| c.at_least).max().unwrap_or(Minutes::ZERO);
        }
        closed.goes_on = closed.sums.iter().filter_map(|sum| sum.gap).max().unwrap_or(Minutes::ZERO);
        let sums = closed.sums.iter().any(|sum| sum.of == Of::Work);
        closed.uses_pieces = sums || closed.runs.iter().any(|run| run.gap.is_some());
        Ok(closed)
    }

    /// The set.
    #[must_use]
    pub const fn set(&self) -> &RuleSet {
        &self.set
    }

    /// For each sum, its windows around `scope` where the clock lays them out; in time order.
    pub(super) fn laid(&self, clock: &ShipClock, scope: Span) -> Vec<Vec<Span>> {
        let windows = |sum: &Sum| match (sum.windows, &self.set.rules[sum.rule].kind) {
            (SumWindows::Anchored(_), _) => Vec::new(),
            (SumWindows::Laid, Kind::NightWork(night)) => night.nights(clock, scope),
            (SumWindows::Laid, kind) => windows::calendar(kind.window().unwrap_or(Minutes::DAY), clock, scope),
        };
        self.sums.iter().map(windows).collect()
    }

    fn add(&mut self, rule: usize, kind: &Kind) -> Result<(), &'static str> {
        match *kind {
            Kind::TotalRest(TotalRest { window, at_least, windows, edge: Edge::Part }) => {
                let windows = sum_windows(windows, window)?;
                self.sums.push(Sum { rule, windows, of: Of::Blocks, gap: None, limit: SumLimit::Rest(at_least) });
            }
            Kind::MostWork(MostWork { window, at_most, windows, short_gap }) => {
                let gap = match short_gap {
                    ShortGap::Neither => None,
                    ShortGap::Work => Some(self.set.min_rest),
                };
                let windows = sum_windows(windows, window)?;
                self.sums.push(Sum { rule, windows, of: Of::Work, gap, limit: SumLimit::Most(at_most) });
            }
            Kind::NightWork(night) => {
                self.sums.push(Sum { rule, windows: SumWindows::Laid, of: Of::Work, gap: None, limit: SumLimit::Most(night.at_most) });
            }
            Kind::BestRests(BestRests { window, count, at_least, windows: Windows::Anchored, edge: Edge::Part }) => {
                self.condition(window, window, Condition { rule, measure: Measure::Best(count), at_least });
            }
            Kind::LongestRest(LongestRest { window, at_least, windows: Windows::Anchored, edge: Edge::Part }) => {
                self.condition(window, window, Condition { rule, measure: Measure::Best(1), at_least });
            }
            Kind::RestCount(count @ RestCount { window, unit, windows: Windows::Anchored, .. }) => {
                self.condition(window, unit, Condition { rule, measure: Measure::Count, at_least: count.required() });
            }
            Kind::RestInterval(interval) => self.runs.push(Run { rule, gap: None, at_most: interval.at_most, work_only: false }),
            Kind::UnbrokenWork(work) => {
                let work_only = work.between == Between::Not;
                self.runs.push(Run { rule, gap: Some(work.least_break), at_most: work.at_most, work_only });
            }
            Kind::SplitExcepted(_) | Kind::WeekExcepted(_) => return Err("an exception is not counted on"),
            Kind::RestPeriods(_) => return Err("more work can cure a finding by removing a short rest"),
            Kind::TotalRest(_) => return Err("rests over the edge are counted whole"),
            Kind::BestRests(_) | Kind::LongestRest(_) | Kind::RestCount(_) => {
                return Err("it is not read at starts and ends of work with the part inside");
            }
        }
        Ok(())
    }

    fn condition(&mut self, window: Minutes, unit: Minutes, condition: Condition) {
        let depth = match condition.measure {
            Measure::Best(count) => count.min(BEST_MOST),
            Measure::Total | Measure::Count => 1,
        };
        let group = if let Some(known) = self.groups.iter().position(|g| g.window == window && g.unit == unit) {
            &mut self.groups[known]
        } else {
            self.groups.push(Group { window, depth: 1, unit, full: Vec::new(), quick: Vec::new(), most: Minutes::ZERO });
            let last = self.groups.len() - 1;
            &mut self.groups[last]
        };
        group.depth = group.depth.max(depth);
        group.full.push(condition);
    }

    /// Totals of a window that is walked rest by rest anyway are tested in the same walk.
    fn totals_into_groups(&mut self) {
        let groups = &mut self.groups;
        self.sums.retain(|sum| {
            let SumLimit::Rest(at_least) = sum.limit else { return true };
            let same = |group: &&mut Group| sum.windows == SumWindows::Anchored(group.window);
            let Some(group) = groups.iter_mut().find(same) else { return true };
            group.full.push(Condition { rule: sum.rule, measure: Measure::Total, at_least });
            false
        });
    }
}

/// Where the windows of a sum lie, if that reading is closed.
fn sum_windows(windows: Windows, window: Minutes) -> Result<SumWindows, &'static str> {
    match windows {
        // For sums, every minute and the anchors are the same rule, but the windows of findings differ.
        Windows::Anchored => Ok(SumWindows::Anchored(window)),
        Windows::Calendar => Ok(SumWindows::Laid),
        Windows::EveryMinute => Err("it is tested at every minute; the same rule read at starts and ends of work can be used"),
        Windows::AfterRest(_) | Windows::FirstWorkOfDay | Windows::BackFromWorkStart => {
            Err("more work can move its windows and so cure a finding")
        }
    }
}

/// The conditions that do not follow from another one in the same window: the total is at least the sum of
/// the longest rests.
fn quick(full: &[Condition]) -> Vec<Condition> {
    let follows = |c: &Condition| {
        let by = |other: &Condition| matches!(other.measure, Measure::Best(_)) && other.at_least >= c.at_least;
        c.measure == Measure::Total && full.iter().any(by)
    };
    full.iter().copied().filter(|condition| !follows(condition)).collect()
}
