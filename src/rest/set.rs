//! Sets of rest rules as data.

use std::ops::Deref;

use thiserror::Error;

use crate::rest::exactly::stricter;
use crate::rest::rule::{Kind, RestPeriods, Rule};
use crate::rest::{Divided, Permit, Readings, Windows};
use crate::time::Minutes;

/// A set of rest rules in parts, not yet checked.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RuleSetParts {
    /// Short code (`stcw-mlc-rest`).
    pub code: String,
    /// Name in plain words.
    pub name: String,
    /// Documents the set follows, or that it is from memory.
    pub source: String,
    /// Shortest gap between two pieces of work that is rest.
    pub min_rest: Minutes,
    /// The rules; a finding names one by its position here.
    pub rules: Vec<Rule>,
    /// The readings the rules were made with.
    pub readings: Readings,
    /// Whether each rule says itself where its windows lie, so that readings A1 to A4 and A7 do not touch it.
    pub own: bool,
    /// Exceptions that are in the rules, with who allows them.
    pub permit: Option<Permit>,
}

/// A set of rest rules that hangs together. Immutable; its [`RuleSetParts`] are read through it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RuleSet {
    parts: RuleSetParts,
}

impl Deref for RuleSet {
    type Target = RuleSetParts;
    fn deref(&self) -> &RuleSetParts {
        &self.parts
    }
}

/// What is wrong with a set of rest rules.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
pub enum RuleSetError {
    /// The set has no code.
    #[error("the rule set has no code")]
    NoCode,
    /// The least rest is not between a minute and a day.
    #[error("the least rest of `{set}` is {found}; it must be between 1 minute and 24 h")]
    MinRest {
        /// The set.
        set: String,
        /// What it says.
        found: Minutes,
    },
    /// Two rules have the same code, or one has none.
    #[error("a rule of `{set}` has the code `{rule}`, which is empty or used twice")]
    RuleCode {
        /// The set.
        set: String,
        /// The code.
        rule: String,
    },
    /// A rule's numbers make no sense.
    #[error("rule `{rule}` of `{set}`: {why}")]
    Rule {
        /// The set.
        set: String,
        /// The rule.
        rule: String,
        /// What is wrong and what is allowed.
        why: &'static str,
    },
}

impl RuleSet {
    /// Checks `parts`.
    ///
    /// # Errors
    /// Everything that is wrong, not only the first.
    pub fn new(parts: RuleSetParts) -> Result<Self, Vec<RuleSetError>> {
        let mut errors = Vec::new();
        let set = || parts.code.clone();
        if parts.code.is_empty() {
            errors.push(RuleSetError::NoCode);
        }
        if !(Minutes::new(1)..=Minutes::DAY).contains(&parts.min_rest) {
            errors.push(RuleSetError::MinRest { set: set(), found: parts.min_rest });
        }
        for (i, rule) in parts.rules.iter().enumerate() {
            if rule.code.is_empty() || parts.rules[..i].iter().any(|earlier| earlier.code == rule.code) {
                errors.push(RuleSetError::RuleCode { set: set(), rule: rule.code.clone() });
            }
            errors.extend(defect(&rule.kind).map(|why| RuleSetError::Rule { set: set(), rule: rule.code.clone(), why }));
        }
        if errors.is_empty() { Ok(Self { parts }) } else { Err(errors) }
    }

    /// A set known to hang together; a test makes every built-in one through [`RuleSet::new`] again.
    pub(super) const fn built_in(parts: RuleSetParts) -> Self {
        Self { parts }
    }

    /// The parts back, to be changed and checked again.
    #[must_use]
    pub fn into_parts(self) -> RuleSetParts {
        self.parts
    }

    /// The same set under other readings: totals of a day and of a week, splits of a day, and limits on
    /// work are read as `readings` say; with all rest divided, a rule is added for each split. A user's own rules
    /// keep their windows. Where exactly the limit fails, it is made a minute stricter, and stays so whatever is read later.
    #[must_use]
    pub fn read_as(&self, readings: Readings) -> Self {
        let mut parts = self.parts.clone();
        let exactly = parts.readings.exactly.max(readings.exactly);
        if parts.readings.exactly < exactly {
            parts.rules.iter_mut().for_each(|rule| stricter(&mut rule.kind));
        }
        parts.readings = Readings { exactly, ..readings };
        if parts.own {
            for rule in &mut parts.rules {
                if let Kind::MostWork(most) = &mut rule.kind {
                    most.short_gap = readings.short_gap;
                }
            }
            return Self { parts };
        }
        parts.rules.retain(|rule| !matches!(rule.kind, Kind::RestPeriods(_)));
        let mut added = Vec::new();
        for rule in &mut parts.rules {
            match &mut rule.kind {
                Kind::TotalRest(total) => {
                    total.windows = by_length(total.window, &readings, total.windows);
                    total.edge = readings.edge;
                }
                Kind::BestRests(best) if best.window == Minutes::DAY => {
                    best.windows = readings.split;
                    best.edge = readings.edge;
                    if readings.divided == Divided::AllRest {
                        let kind = Kind::RestPeriods(RestPeriods { window: best.window, count: best.count, windows: readings.split });
                        added.push(Rule { code: format!("{}-all", rule.code), kind, source: rule.source.clone() });
                    }
                }
                Kind::LongestRest(longest) if longest.window == Minutes::DAY => {
                    longest.windows = readings.split;
                    longest.edge = readings.edge;
                }
                Kind::MostWork(most) => {
                    most.windows = by_length(most.window, &readings, most.windows);
                    most.short_gap = readings.short_gap;
                }
                Kind::WeekExcepted(excepted) => {
                    let base = &mut excepted.base;
                    base.windows = by_length(base.window, &readings, base.windows);
                    base.edge = readings.edge;
                }
                Kind::SplitExcepted(excepted) => {
                    excepted.base.windows = readings.split;
                    excepted.base.edge = readings.edge;
                }
                Kind::BestRests(_)
                | Kind::LongestRest(_)
                | Kind::RestInterval(_)
                | Kind::RestPeriods(_)
                | Kind::RestCount(_)
                | Kind::UnbrokenWork(_)
                | Kind::NightWork(_) => {}
            }
        }
        parts.rules.extend(added);
        Self { parts }
    }
}

/// The reading for a window of this length: that of days, that of weeks, or what it was.
fn by_length(window: Minutes, readings: &Readings, as_is: Windows) -> Windows {
    match window {
        Minutes::DAY => readings.day,
        Minutes::WEEK => readings.week,
        _ => as_is,
    }
}

/// What is wrong with the numbers of a rule.
fn defect(kind: &Kind) -> Option<&'static str> {
    const YEAR: Minutes = Minutes::hours(366 * 24);
    let window = kind.window().unwrap_or(Minutes::DAY);
    let limit = kind.limit().required();
    if !(Minutes::hours(1)..=YEAR).contains(&window) {
        return Some("the window must be between 1 h and 366 days");
    }
    if kind.windows() == Some(Windows::Calendar) && window != Minutes::DAY && window.get() % Minutes::WEEK.get() != 0 {
        return Some("calendar windows are of 24 h or of whole weeks of 168 h");
    }
    if limit < Minutes::ZERO || (kind.window().is_some() && limit > window) {
        return Some("the limit must lie between nothing and the whole window");
    }
    match kind {
        Kind::BestRests(rule) if !(1..=BEST_MOST).contains(&rule.count) => Some("the number of rests must be 1 to 4"),
        Kind::RestPeriods(rule) if !(1..=BEST_MOST).contains(&rule.count) => Some("the number of periods must be 1 to 4"),
        Kind::RestCount(rule) if rule.unit <= Minutes::ZERO || rule.count < 1 => {
            Some("the rests to be counted must be longer than nothing")
        }
        Kind::RestInterval(rule) if rule.at_most <= Minutes::ZERO => Some("the interval must be longer than nothing"),
        Kind::UnbrokenWork(rule) if rule.at_most <= Minutes::ZERO || rule.least_break <= Minutes::ZERO => {
            Some("work and break must be longer than nothing")
        }
        Kind::NightWork(rule) if ![rule.from, rule.to].iter().all(|t| (Minutes::ZERO..=Minutes::DAY).contains(t)) => {
            Some("the night must begin and end between 00:00 and 24:00")
        }
        _ => None,
    }
}

/// The most rests that a rule may add up.
pub(super) const BEST_MOST: usize = 4;
