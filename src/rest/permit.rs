//! Exceptions that a flag state and an agreement may allow.

use crate::rest::rule::{Kind, SplitExcepted, WeekExcepted};
use crate::rest::{ExceptionGap, RuleSet};
use crate::time::Minutes;

/// Who allows which exceptions (STCW Code A-VIII/1 paragraph 9; MLC 2006 Standard A2.3 paragraph 13).
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Permit {
    /// The flag state.
    pub flag: String,
    /// The collective agreement.
    pub agreement: String,
    /// Whether 70 h in 7 days are allowed for a while.
    pub seventy_hours: bool,
    /// Whether a third period is allowed on some days.
    pub three_periods: bool,
}

impl Permit {
    /// What is allowed and by whom, in plain words.
    #[must_use]
    pub fn text(&self) -> String {
        let what = match (self.seventy_hours, self.three_periods) {
            (true, true) => "70 h in 7 days and three periods",
            (true, false) => "70 h in 7 days",
            (false, true) => "three periods",
            (false, false) => "none",
        };
        format!("exceptions: {what}; flag: {}; agreement: {}; the planner counts on none", self.flag, self.agreement)
    }
}

impl RuleSet {
    /// The same set with the exceptions of `permit`: of splits of a day's least hours into two, and of weekly totals
    /// of rest of more than 70 h. What a set does not have is not excepted.
    #[must_use]
    pub fn with_exceptions(&self, permit: Permit, gap: ExceptionGap) -> Self {
        let exactly = self.readings.exactly;
        let (hour, floor) = (Minutes::hours(1), exactly.least(Minutes::hours(70)));
        let mut parts = self.clone().into_parts();
        for rule in &mut parts.rules {
            match rule.kind {
                Kind::BestRests(base) if permit.three_periods && base.window == Minutes::DAY && base.count == 2 => {
                    let longest = exactly.least(Minutes::hours(6));
                    rule.kind = Kind::SplitExcepted(SplitExcepted { base, longest, least_other: hour, most_days: 2 });
                }
                Kind::TotalRest(base) if permit.seventy_hours && base.window == Minutes::WEEK && base.at_least > floor => {
                    rule.kind = Kind::WeekExcepted(WeekExcepted { base, floor, most: Minutes::WEEK + Minutes::WEEK, gap });
                }
                _ => {}
            }
        }
        parts.permit = Some(permit);
        Self::built_in(parts)
    }
}
