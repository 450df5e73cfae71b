//! One breach of one rule by one person in one window.

use crate::time::{Minutes, Span};

/// One breach of one rule in one window, with the numbers.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
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
