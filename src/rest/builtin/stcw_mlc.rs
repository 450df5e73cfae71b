//! Hours of rest and hours of work of the STCW Code and the Maritime Labour Convention.

use crate::rest::RuleSet;
use crate::rest::builtin::{rest_at_least, rule, set, unbroken_rest, work_at_most};
use crate::rest::rule::{BestRests, Kind, RestInterval, Rule};
use crate::rest::{Edge, Windows};
use crate::time::Minutes;

const REST_SOURCE: &str = "STCW Code A-VIII/1 (2010) paragraphs 2 and 3; MLC 2006 Standard A2.3 paragraphs 5(b) and 6";
const WORK_SOURCE: &str = "MLC 2006 Standard A2.3 paragraphs 5(a) and 6";
const SPLIT_SOURCE: &str = "STCW Code A-VIII/1 paragraph 3; MLC 2006 Standard A2.3 paragraph 6; UK SI 2018/58 reg. 7(3)";

/// Rest: 10 h in any 24 h, 77 h in any 7 days, the ten hours in at most two periods, one of at least 6 h,
/// at most 14 h between rests.
pub(super) fn rest() -> RuleSet {
    let mut rules =
        vec![rest_at_least("24h", Minutes::DAY, 10, "STCW Code A-VIII/1 paragraph 2.1; MLC 2006 Standard A2.3 paragraph 5(b)(i)")];
    rules.extend(split());
    rules.push(rest_at_least("7d", Minutes::WEEK, 77, "STCW Code A-VIII/1 paragraph 2.2; MLC 2006 Standard A2.3 paragraph 5(b)(ii)"));
    set("stcw-mlc-rest", "STCW and MLC hours of rest", REST_SOURCE, rules)
}

/// Work: at most 14 h in any 24 h and 72 h in any 7 days, rest split as in the rest rules.
pub(super) fn work() -> RuleSet {
    let mut rules = limits_on_work();
    rules.extend(split());
    set("mlc-work", "MLC hours of work", WORK_SOURCE, rules)
}

/// Both at once, as German law asks for.
pub(super) fn both() -> RuleSet {
    let mut rules = rest().into_parts().rules;
    rules.extend(limits_on_work());
    set("both", "hours of rest and hours of work at once", "German Seearbeitsgesetz section 48(1); as the two sets it joins", rules)
}

/// The split of the least hours, the six hours and the interval, common to both regimes.
fn split() -> [Rule; 3] {
    let (windows, edge) = (Windows::Anchored, Edge::Part);
    let best = BestRests { window: Minutes::DAY, count: 2, at_least: Minutes::hours(10), windows, edge };
    let interval = RestInterval { at_most: Minutes::hours(14) };
    [
        rule("split", Kind::BestRests(best), SPLIT_SOURCE),
        unbroken_rest("6h", Minutes::DAY, 6, SPLIT_SOURCE),
        rule("14h", Kind::RestInterval(interval), SPLIT_SOURCE),
    ]
}

fn limits_on_work() -> Vec<Rule> {
    vec![
        work_at_most("work-24h", Minutes::DAY, 14, "MLC 2006 Standard A2.3 paragraph 5(a)(i)"),
        work_at_most("work-7d", Minutes::WEEK, 72, "MLC 2006 Standard A2.3 paragraph 5(a)(ii)"),
    ]
}
