//! The built-in sets of rest rules, by code.

mod elsewhere;
mod offshore;
mod shore;
mod stcw_mlc;
mod tanker;
mod young;

use crate::rest::rule::{Kind, LongestRest, MostWork, Rule, TotalRest};
use crate::rest::{Edge, Readings, RuleSet, RuleSetParts, ShortGap, Windows};
use crate::time::Minutes;

/// A built-in set: its code and how it is made.
struct BuiltIn {
    code: &'static str,
    make: fn() -> RuleSet,
}

/// All built-in sets, the default first.
const ALL: [BuiltIn; 13] = [
    BuiltIn { code: "stcw-mlc-rest", make: stcw_mlc::rest },
    BuiltIn { code: "mlc-work", make: stcw_mlc::work },
    BuiltIn { code: "both", make: stcw_mlc::both },
    BuiltIn { code: "ibf", make: elsewhere::ibf },
    BuiltIn { code: "under-18", make: young::mlc },
    BuiltIn { code: "under-18-de-sea", make: young::german_at_sea },
    BuiltIn { code: "under-18-de-port", make: young::german_in_port },
    BuiltIn { code: "under-18-dk", make: young::danish },
    BuiltIn { code: "us-tanker", make: tanker::american },
    BuiltIn { code: "canada-domestic", make: elsewhere::canadian },
    BuiltIn { code: "shore-eu", make: shore::european },
    BuiltIn { code: "offshore-de", make: offshore::german },
    BuiltIn { code: "offshore-no", make: offshore::norwegian },
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

/// A set with an hour as the least rest: "a continuous period of at least one hour" (Norwegian and Danish
/// authorities, Dutch seafarer rules; UK SI 2018/58 reg. 7(3)(a) for the exception).
fn set(code: &str, name: &str, source: &str, rules: Vec<Rule>) -> RuleSet {
    let (code, name, source) = (code.to_owned(), name.to_owned(), source.to_owned());
    RuleSet::built_in(RuleSetParts {
        code,
        name,
        source,
        min_rest: Minutes::hours(1),
        rules,
        readings: Readings::default(),
        own: false,
        permit: None,
    })
}

fn rule(code: &str, kind: Kind, source: &str) -> Rule {
    Rule { code: code.to_owned(), kind, source: source.to_owned() }
}

/// At least so many hours of rest in every window, default readings.
fn rest_at_least(code: &str, window: Minutes, hours: i32, source: &str) -> Rule {
    let (windows, edge) = (Windows::Anchored, Edge::Part);
    rule(code, Kind::TotalRest(TotalRest { window, at_least: Minutes::hours(hours), windows, edge }), source)
}

/// A rest of so many hours in every window, default readings.
fn unbroken_rest(code: &str, window: Minutes, hours: i32, source: &str) -> Rule {
    let (windows, edge) = (Windows::Anchored, Edge::Part);
    rule(code, Kind::LongestRest(LongestRest { window, at_least: Minutes::hours(hours), windows, edge }), source)
}

/// At most so many hours of work in every window, default readings.
fn work_at_most(code: &str, window: Minutes, hours: i32, source: &str) -> Rule {
    let (windows, short_gap) = (Windows::Anchored, ShortGap::Neither);
    rule(code, Kind::MostWork(MostWork { window, at_most: Minutes::hours(hours), windows, short_gap }), source)
}
