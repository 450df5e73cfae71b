//! Rules to plan by: closed ones that are at least as strict as the set.

use crate::rest::line::{ClosedRules, NotClosed};
use crate::rest::rule::Kind;
use crate::rest::{Counted, Edge, RuleSet, Windows};

impl RuleSet {
    /// Closed rules that are broken wherever those of the set are, so that what keeps them keeps the set.
    ///
    /// Totals are taken at every moment, whatever windows the set has; splits, longest rests and counts at all starts
    /// and ends of work, where the set looks forward from some starts; rests over an edge with the part inside; and
    /// no exception is counted on. Hours are elapsed ones: where they are counted as the ship's clock shows them, that is the
    /// same only while the clock is not changed, which whoever plans has to ask.
    ///
    /// # Errors
    /// Every rule for which there is no such closed one.
    pub fn steering(&self) -> Result<ClosedRules, Vec<NotClosed>> {
        let mut parts = self.clone().into_parts();
        parts.readings.counted = Counted::Elapsed;
        for rule in &mut parts.rules {
            if let Kind::SplitExcepted(excepted) = rule.kind {
                rule.kind = Kind::BestRests(excepted.base);
            }
            if let Kind::WeekExcepted(excepted) = rule.kind {
                rule.kind = Kind::TotalRest(excepted.base);
            }
            match &mut rule.kind {
                Kind::TotalRest(total) => {
                    total.windows = every_moment(total.windows);
                    total.edge = Edge::Part;
                }
                Kind::MostWork(most) => most.windows = every_moment(most.windows),
                Kind::BestRests(best) => {
                    best.windows = all_starts(best.windows);
                    best.edge = Edge::Part;
                }
                Kind::LongestRest(longest) => {
                    longest.windows = all_starts(longest.windows);
                    longest.edge = Edge::Part;
                }
                Kind::RestCount(count) => count.windows = all_starts(count.windows),
                Kind::RestInterval(_)
                | Kind::RestPeriods(_)
                | Kind::UnbrokenWork(_)
                | Kind::NightWork(_)
                | Kind::SplitExcepted(_)
                | Kind::WeekExcepted(_) => {}
            }
        }
        ClosedRules::new(&Self::built_in(parts))
    }
}

/// Every moment is stricter than any choice of moments; calendar windows are closed as they are.
const fn every_moment(windows: Windows) -> Windows {
    match windows {
        Windows::Calendar => Windows::Calendar,
        _ => Windows::Anchored,
    }
}

/// Windows forward from some starts of work are among those from all of them.
const fn all_starts(windows: Windows) -> Windows {
    match windows {
        Windows::AfterRest(_) | Windows::FirstWorkOfDay => Windows::Anchored,
        other => other,
    }
}
