//! Working time offshore.

use crate::rest::RuleSet;
use crate::rest::builtin::{set, stcw_mlc, unbroken_rest, work_at_most};
use crate::time::Minutes;

/// Germany: at most 12 h of work a day and 84 h a week; the seafarers' rest rules stay.
pub(super) fn german() -> RuleSet {
    let law = "German Offshore-Arbeitszeitverordnung section 12";
    let mut rules = stcw_mlc::rest().into_parts().rules;
    rules.push(work_at_most("work-24h", Minutes::DAY, 12, law));
    rules.push(work_at_most("work-7d", Minutes::WEEK, 84, law));
    set("offshore-de", "offshore, Germany", law, rules)
}

/// Norway: 11 h of unbroken rest in 24 h.
///
/// Not offered: the eight hours that are allowed with compensation. Not tested: time off between trips.
pub(super) fn norwegian() -> RuleSet {
    let law = "Norwegian Framework Regulations section 39";
    set("offshore-no", "offshore, Norway", law, vec![unbroken_rest("day", Minutes::DAY, 11, law)])
}
