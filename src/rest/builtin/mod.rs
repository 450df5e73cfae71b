//! The built-in sets of rest rules, by code.

mod stcw_mlc;

use crate::rest::RuleSet;

/// A built-in set: its code and how it is made.
struct BuiltIn {
    code: &'static str,
    make: fn() -> RuleSet,
}

/// All built-in sets, the default first.
const ALL: [BuiltIn; 3] = [
    BuiltIn { code: "stcw-mlc-rest", make: stcw_mlc::rest },
    BuiltIn { code: "mlc-work", make: stcw_mlc::work },
    BuiltIn { code: "both", make: stcw_mlc::both },
];

impl RuleSet {
    /// The default set: hours of rest of the STCW Code and the Maritime Labour Convention.
    #[must_use]
    pub fn stcw_mlc_rest() -> Self {
        stcw_mlc::rest()
    }

    /// The built-in set of that code.
    #[must_use]
    pub fn by_code(code: &str) -> Option<Self> {
        ALL.iter().find(|set| set.code == code).map(|set| (set.make)())
    }

    /// The codes of the built-in sets, the default first.
    pub fn codes() -> impl ExactSizeIterator<Item = &'static str> {
        ALL.iter().map(|set| set.code)
    }
}
