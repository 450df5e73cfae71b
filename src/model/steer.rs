//! Whether a job can be planned under its rest rules.

use std::collections::BTreeSet;

use crate::clock::ShipClock;
use crate::id::{DutyId, IdVec, PersonId, RuleSetId};
use crate::model::{Duty, Person, Problem};
use crate::rest::{Counted, Drills, RuleSet};

/// Why a job cannot be planned under the rules and readings of its people, though records can be checked by them; nothing
/// where it can.
#[must_use]
pub fn cannot_steer(
    people: &IdVec<PersonId, Person>,
    sets: &IdVec<RuleSetId, RuleSet>,
    duties: &IdVec<DutyId, Duty>,
    clock: &ShipClock,
) -> Vec<String> {
    let used: BTreeSet<RuleSetId> = people.iter().map(|person| person.rest).collect();
    let mut reasons: Vec<String> = Vec::new();
    // Those that are named for everybody are made ready with the others, needed for somebody or not.
    reasons.extend(sets.iter().flat_map(|set| set.steering().err().unwrap_or_default()).map(|error| error.to_string()));
    for id in used {
        let set = &sets[id];
        if set.readings.counted == Counted::Shown && !clock.changes().is_empty() {
            reasons.push(format!(
                "`{}` counts hours as the ship's clock shows them (A14), and the clock is changed during the job: planning counts \
                 elapsed time",
                set.code
            ));
        }
        let drilled = |duty: &&Duty| duty.drill && duty.who.iter().any(|person| people[*person].rest == id);
        if let (Drills::Exempt, Some(drill)) = (set.readings.drills, duties.iter().find(drilled)) {
            reasons.push(format!(
                "`{}` exempts drills from the limits and owes equal rest for them (A8): planning would count drill `{}` as work and \
                 lay out no rest in return",
                set.code, drill.code
            ));
        }
    }
    reasons
}

impl Problem {
    /// Why it cannot be planned under its rest rules; nothing where it can.
    #[must_use]
    pub fn cannot_steer(&self) -> Vec<String> {
        cannot_steer(&self.people, &self.rule_sets, &self.duties, &self.clock)
    }
}
