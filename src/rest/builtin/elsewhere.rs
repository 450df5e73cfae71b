//! Other rules for seafarers.

use crate::rest::RuleSet;
use crate::rest::builtin::{rest_at_least, rule, set, stcw_mlc, unbroken_rest};
use crate::rest::rule::{Kind, RestInterval};
use crate::rest::{Readings, RuleSetParts, Windows};
use crate::time::Minutes;

/// The default numbers with 24 hours counted from the start of work after six hours off.
///
/// Not closed, so it cannot steer the planner: plan with the default set, which is stricter.
pub(super) fn ibf() -> RuleSet {
    let readings = Readings { day: Windows::AfterRest(Minutes::hours(6)), ..Readings::default() };
    let parts = stcw_mlc::rest().read_as(readings).into_parts();
    RuleSet::built_in(RuleSetParts {
        code: "ibf".to_owned(),
        name: "framework agreement of seafarers' unions and employers".to_owned(),
        source: "IBF Framework TCC articles 6.1 and 8.2 (read in part, the six hours from memory)".to_owned(),
        ..parts
    })
}

/// Canada, domestic voyages: 6 h of unbroken rest in 24 h, 16 h of rest in 48 h, at most 18 h between two
/// rests.
///
/// Not tested: that at least 6 h lie between two rests.
pub(super) fn canadian() -> RuleSet {
    let law = "Marine Personnel Regulations SOR/2007-115 section 320 (text of 2014)";
    let rules = vec![
        unbroken_rest("6h", Minutes::DAY, 6, law),
        rest_at_least("48h", Minutes::hours(48), 16, law),
        rule("18h", Kind::RestInterval(RestInterval { at_most: Minutes::hours(18) }), law),
    ];
    set("canada-domestic", "Canada, domestic voyages", law, rules)
}
