//! Sets of rest rules as data.

use crate::time::Minutes;

/// A set of rest rules with its readings.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RuleSet {
    /// Short code (`stcw-mlc-rest`).
    pub code: String,
    /// Shortest gap between two pieces of work that is rest.
    pub min_rest: Minutes,
}
