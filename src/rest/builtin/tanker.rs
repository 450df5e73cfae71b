//! Work on tankers in United States waters.

use crate::rest::RuleSet;
use crate::rest::builtin::{set, stcw_mlc, work_at_most};
use crate::time::Minutes;

/// At most 15 h of work in any 24 h and 36 h in any 72 h, administrative work included; the rest rules
/// stay.
///
/// Not tested: that emergencies and drills are excepted; they count as work here.
pub(super) fn american() -> RuleSet {
    let law = "46 USC 8104(n)";
    let mut rules = stcw_mlc::rest().into_parts().rules;
    rules.push(work_at_most("tanker-24h", Minutes::DAY, 15, law));
    rules.push(work_at_most("tanker-72h", Minutes::hours(72), 36, law));
    set("us-tanker", "tankers in United States waters", "46 USC 8104(n); STCW Code A-VIII/1 (46 CFR 15.1111, from memory)", rules)
}
