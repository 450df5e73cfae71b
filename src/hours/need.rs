//! Who is called for what, when several competences are needed at once.

use crate::hours::call::Callee;
use crate::id::{CompetenceId, PersonId};
use crate::model::Problem;
use crate::time::Minutes;

/// A team that fills all places by different people.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Filled {
    /// Each place with who fills it, in the order asked.
    pub team: Vec<(CompetenceId, PersonId)>,
    /// The harm to all of them together.
    pub harm: Minutes,
}

/// More places than this are not filled: nobody calls so many for one breakdown.
const MOST_PLACES: usize = 12;

/// The team with the least harm in sum that fills `places` out of those who can be called for all of the time
/// asked; of equal ones the one whose members come first in `callees`. `None` where there is none.
#[must_use]
pub fn fill(problem: &Problem, places: &[CompetenceId], callees: &[Callee], asked: Minutes) -> Option<Filled> {
    if places.is_empty() || places.len() > MOST_PLACES {
        return None;
    }
    let all = 1_usize << places.len();
    // For each set of filled places the best team so far.
    let mut best: Vec<Option<Filled>> = vec![None; all];
    best[0] = Some(Filled { team: Vec::new(), harm: Minutes::ZERO });
    for callee in callees.iter().filter(|callee| callee.longest >= asked) {
        for filled in (0..all).rev() {
            let Some(team) = best[filled].clone() else { continue };
            for (place, competence) in places.iter().enumerate() {
                if filled & (1 << place) != 0 || !problem.people[callee.person].holds(*competence) {
                    continue;
                }
                let harm = team.harm + callee.harm.total();
                let slot = &mut best[filled | (1 << place)];
                if slot.as_ref().is_none_or(|old| harm < old.harm) {
                    let mut members = team.team.clone();
                    members.push((*competence, callee.person));
                    *slot = Some(Filled { team: members, harm });
                }
            }
        }
    }
    let mut filled = best.pop().flatten()?;
    filled.team.sort_by_key(|(competence, _)| places.iter().position(|p| p == competence));
    Some(filled)
}
