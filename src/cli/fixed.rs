//! Watches and duties that break rest rules as a plan places them, whatever tasks it has.

use crate::model::Problem;
use crate::plan::Plan;
use crate::verify::{Breach, verify};

/// Number of the hard rule of rest.
const REST: u8 = 3;

/// Why `plan` cannot be legal though its tasks are not to blame: without any task or time on hand its watches and duties,
/// and what lies between two of them in one working stretch, break a rest rule. `None` where that is not so.
pub(super) fn breaks_rest(problem: &Problem, plan: &Plan) -> Option<String> {
    let bare = Plan { spells: Vec::new(), on_hand: Vec::new(), ..plan.clone() };
    let first = of_rest(problem, bare).into_iter().next()?;
    // More work may cure what is read in some other way; then nothing is wrong.
    if of_rest(problem, plan.clone()).is_empty() {
        return None;
    }
    Some(format!(
        "No legal plan: none found, which does not prove that there is none. The watches and duties break a rest rule by themselves, \
         as the nearest plan places them: {}. Give a watch or a duty to somebody else, move a duty, or take somebody's ordinary hours \
         off between two duties.",
        first.describe(problem)
    ))
}

/// Breaches of rest rules.
fn of_rest(problem: &Problem, plan: Plan) -> Vec<Breach> {
    let breaches = verify(problem, plan).err().map_or_else(Vec::new, |rejected| rejected.breaches);
    breaches.into_iter().filter(|breach| breach.rule() == REST).collect()
}
