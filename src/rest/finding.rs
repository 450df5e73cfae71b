//! One breach of one rule by one person in one window.

use crate::time::{Minutes, Span};

/// One breach of one rule in one window, with the numbers.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Finding {
    /// Position of the rule in its [`super::RuleSet`].
    pub rule: usize,
    /// The window in which it is broken.
    pub window: Span,
    /// What was found there.
    pub found: Minutes,
    /// What the rule asks for.
    pub required: Minutes,
}

impl Finding {
    /// By how much the rule is missed; positive, whether the rule asks for a least or a most.
    #[must_use]
    pub fn shortfall(&self) -> Minutes {
        Minutes::new((self.required - self.found).get().abs())
    }

    /// Whether `other` is of the same rule in the same window and at least as bad: a finding that the
    /// record alone already has in this way does not count against a plan.
    #[must_use]
    pub fn no_worse_than(&self, other: &Self) -> bool {
        self.rule == other.rule && self.window == other.window && self.shortfall() <= other.shortfall()
    }
}
