//! The best proven bound: the larger of the longest chain and what the labour model refutes.

use crate::bound::chain::{Impossible, Link, chain};
use crate::labour::{LabourPlan, Premises, Reserve, Skipped, smallest_finish};
use crate::model::Problem;
use crate::time::Moment;

/// What proves a bound.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Proof {
    /// The longest chain of tasks and waits through the calendars.
    Chain,
    /// The labour model: every end up to `refuted` leaves work that nobody has time for, certified in whole
    /// numbers.
    Labour {
        /// The last end that is refuted.
        refuted: Moment,
    },
}

/// A proven lower bound on the finish.
#[derive(Clone, PartialEq, Debug)]
pub struct Bound {
    /// No legal plan that keeps the premises ends earlier.
    pub at: Moment,
    /// What proves it.
    pub proof: Proof,
    /// What it takes for granted. The reserve is open here if no plan at all can keep it.
    pub premises: Premises,
    /// The longest chain: what holds the finish as far as order and calendars go.
    pub chain: Vec<Link>,
    /// Where the chain ends.
    pub chain_at: Moment,
    /// Who works when if the job ends at `at`, where the labour model was solved for that.
    pub plan: Option<LabourPlan>,
    /// Why the labour model was not asked to its end, if it was not: then a better bound may exist.
    pub cut: Option<Skipped>,
}

/// The best bound for plans that keep `premises`. `known` is a finish that is known to be possible, if one is:
/// the bound is not looked for beyond it.
///
/// # Errors
/// Proof that there is no legal plan at all.
pub fn prove(problem: &Problem, premises: Premises, known: Option<Moment>) -> Result<Bound, Box<Impossible>> {
    let longest = chain(problem, premises.hours)?;
    let tried = [premises, Premises { reserve: Reserve::Open, ..premises }];
    for premises in tried {
        let Ok(smallest) = smallest_finish(problem, premises, known) else { continue };
        let Some(at) = smallest.at else { continue };
        let proof = match smallest.refuted {
            Some(refuted) => Proof::Labour { refuted },
            None => Proof::Chain,
        };
        // A known finish may lie before the chain only if it was no finish of a legal plan.
        let at = at.max(longest.at);
        let (chain, chain_at) = (longest.links, longest.at);
        return Ok(Bound { at, proof, premises, chain, chain_at, plan: smallest.plan, cut: smallest.cut });
    }
    // Even without reserve every end up to the latest is refuted: there is no legal plan before that, and the
    // bound is the end of the range.
    let at = problem.latest_end;
    let open = Premises { reserve: Reserve::Open, ..premises };
    let proof = Proof::Labour { refuted: at };
    Ok(Bound { at, proof, premises: open, chain: longest.links, chain_at: longest.at, plan: None, cut: None })
}
