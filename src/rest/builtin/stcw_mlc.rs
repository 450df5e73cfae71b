//! Hours of rest and hours of work of the STCW Code and the Maritime Labour Convention.

use crate::rest::rule::{BestRests, Kind, LongestRest, MostWork, RestInterval, Rule, TotalRest};
use crate::rest::set::{DEFAULTS, rule};
use crate::rest::{Readings, RuleSet, RuleSetParts};
use crate::time::Minutes;

const REST_SOURCE: &str = "STCW Code A-VIII/1 (2010) paragraphs 2 and 3; MLC 2006 Standard A2.3 paragraphs 5(b) and 6";
const WORK_SOURCE: &str = "MLC 2006 Standard A2.3 paragraphs 5(a) and 6";
const SPLIT_SOURCE: &str = "STCW Code A-VIII/1 paragraph 3; MLC 2006 Standard A2.3 paragraph 6; UK SI 2018/58 reg. 7(3)";

/// Rest: 10 h in any 24 h, 77 h in any 7 days, the ten hours in at most two periods, one of at least 6 h,
/// at most 14 h between rests.
pub(super) fn rest() -> RuleSet {
    let mut rules = vec![total("24h", Minutes::DAY, 10, "STCW Code A-VIII/1 paragraph 2.1; MLC 2006 Standard A2.3 paragraph 5(b)(i)")];
    rules.extend(split());
    rules.push(total("7d", Minutes::WEEK, 77, "STCW Code A-VIII/1 paragraph 2.2; MLC 2006 Standard A2.3 paragraph 5(b)(ii)"));
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

fn split() -> [Rule; 3] {
    let (windows, edge, _) = DEFAULTS;
    let best = BestRests { window: Minutes::DAY, count: 2, at_least: Minutes::hours(10), windows, edge };
    let longest = LongestRest { window: Minutes::DAY, at_least: Minutes::hours(6), windows, edge };
    let interval = RestInterval { at_most: Minutes::hours(14) };
    [
        rule("split", Kind::BestRests(best), SPLIT_SOURCE),
        rule("6h", Kind::LongestRest(longest), SPLIT_SOURCE),
        rule("14h", Kind::RestInterval(interval), SPLIT_SOURCE),
    ]
}

fn limits_on_work() -> Vec<Rule> {
    let (windows, _, short_gap) = DEFAULTS;
    let most = |window, hours| Kind::MostWork(MostWork { window, at_most: Minutes::hours(hours), windows, short_gap });
    vec![
        rule("work-24h", most(Minutes::DAY, 14), "MLC 2006 Standard A2.3 paragraph 5(a)(i)"),
        rule("work-7d", most(Minutes::WEEK, 72), "MLC 2006 Standard A2.3 paragraph 5(a)(ii)"),
    ]
}

fn total(code: &str, window: Minutes, hours: i32, source: &str) -> Rule {
    let (windows, edge, _) = DEFAULTS;
    rule(code, Kind::TotalRest(TotalRest { window, at_least: Minutes::hours(hours), windows, edge }), source)
}

/// A built-in set with an hour as the least rest: "a continuous period of at least one hour" (Norwegian and
/// Danish authorities, Dutch seafarer rules; UK SI 2018/58 reg. 7(3)(a) for the exception).
fn set(code: &str, name: &str, source: &str, rules: Vec<Rule>) -> RuleSet {
    let (code, name, source) = (code.to_owned(), name.to_owned(), source.to_owned());
    RuleSet::built_in(RuleSetParts { code, name, source, min_rest: Minutes::hours(1), rules, readings: Readings::default() })
}
