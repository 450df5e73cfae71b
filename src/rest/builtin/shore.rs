//! Working time of shore workers: a riding gang that is not under seafarers' rules.

use crate::rest::RuleSet;
use crate::rest::builtin::{rule, set, unbroken_rest, work_at_most};
use crate::rest::rule::{Between, Kind, UnbrokenWork};
use crate::time::Minutes;

/// European Union: 11 h of unbroken rest in 24 h, 24 h and these 11 h together in seven days, a break where
/// a day is longer than 6 h, 48 h a week on average over at most four months (17 weeks here).
///
/// Reading: days and weeks at every start and end of work, as for seafarers. The directive leaves the length
/// of the break to each state; 20 minutes is the United Kingdom's, from memory.
pub(super) fn european() -> RuleSet {
    const WEEKS: i32 = 17;
    let break_at_work = UnbrokenWork { at_most: Minutes::hours(6), least_break: Minutes::new(20), between: Between::Counts };
    let rules = vec![
        unbroken_rest("day", Minutes::DAY, 11, "Directive 2003/88/EC article 3"),
        unbroken_rest("week", Minutes::WEEK, 24 + 11, "Directive 2003/88/EC article 5"),
        rule("break", Kind::UnbrokenWork(break_at_work), "Directive 2003/88/EC article 4; length of the break from memory"),
        work_at_most("48h-average", Minutes::hours(WEEKS * 168), WEEKS * 48, "Directive 2003/88/EC articles 6 and 16(b)"),
    ];
    set("shore-eu", "shore workers, European Union", "Directive 2003/88/EC", rules)
}
