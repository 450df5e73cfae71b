//! Everything that is written about a verified plan.

use crate::bound::EarliestDates;
use crate::cli::exit::Exit;
use crate::cli::proof::{Depth, Proof, model_hours};
use crate::cli::watch::Lookout;
use crate::engine;
use crate::id::{IdVec, TaskId};
use crate::model::Problem;
use crate::out;
use crate::plan::Plan;
use crate::report::{CutBy, Report, Solved, aim_values};
use crate::time::Minutes;
use crate::verify::{Verified, verify};

/// What the papers say about a plan that the plan does not say itself.
pub(super) struct About {
    /// Its number.
    pub(super) number: u32,
    /// The plan it was made from.
    pub(super) based_on: Option<u32>,
    /// How many entries of the log it takes in.
    pub(super) log_entries: Option<u32>,
    /// Seed of the search.
    pub(super) seed: u64,
    /// Fingerprint of the job folder.
    pub(super) sha256: String,
    /// What ended the search.
    pub(super) cut_by: CutBy,
    /// To be read beside it, one sentence each.
    pub(super) notes: Vec<String>,
}

/// The papers of a plan.
pub(super) struct Papers {
    /// The daily plan.
    pub(super) days: String,
    /// `plan.json`.
    pub(super) json: String,
    /// Every file of the plan's folder.
    pub(super) files: Vec<(&'static str, String)>,
    /// What is proven about when each milestone can be met.
    pub(super) earliest: EarliestDates,
    /// What machines fall short by in every plan.
    pub(super) machines_short: i64,
    /// How a command ends that made this plan.
    pub(super) exit: Exit,
}

/// Proves what can be proven about a plan and writes its papers.
pub(super) fn papers(problem: &Problem, verified: &Verified, about: About, lookout: &Lookout<'_>) -> Papers {
    // Who asks to stop does not want to wait for a linear programme.
    let depth = if lookout.cut().is_some() { Depth::Chain } else { Depth::Model };
    let proof = Proof::of(problem, verified, depth, &mut || lookout.cut().is_some());
    lookout.tell(&format!("no plan like it is ready before {}", problem.clock.day_time(proof.bound)));
    let solved = Solved {
        plan_no: about.number,
        based_on: about.based_on,
        log_entries: about.log_entries,
        seed: about.seed,
        input_sha256: about.sha256,
        bound: proof.bound,
        bound_with_overtime: Some(proof.bound_with_overtime),
        proof: proof.by.to_string(),
        aims: aim_values(problem, verified, &proof.proven()),
        earliest: proof.earliest,
        machines_short: proof.machines_short,
        chain: proof.chain,
        cut_by: about.cut_by,
        model: model_hours(problem, verified, depth),
        slack: slack(problem, verified, lookout),
        notes: about.notes.into_iter().chain(proof.notes).collect(),
    };
    let report = Report::new(problem, verified, &solved);
    let exit = if report.needs_attention() { Exit::Attention } else { Exit::Done };
    let (days, json) = (out::days_text(&report), out::plan_json(&report));
    let files = vec![
        ("plan.json", json.clone()),
        ("days.txt", days.clone()),
        ("people.csv", out::people_csv(&report)),
        ("tasks.csv", out::tasks_csv(&report)),
        ("watches.csv", out::watches_csv(&report)),
        ("rest.csv", out::rest_csv(&report)),
        ("totals.csv", out::totals_csv(&report)),
    ];
    Papers { days, json, files, earliest: solved.earliest, machines_short: solved.machines_short, exit }
}

/// How much later each task could end, found by planning again; not asked where the run was cut short.
///
/// The plans that show it are made by the engine like every other and thrown away unverified, since sixty verifications
/// would take longer than the rest of the papers; the tests verify them.
fn slack(problem: &Problem, verified: &Verified, lookout: &Lookout<'_>) -> Option<IdVec<TaskId, Minutes>> {
    let found = engine::slack(problem, verified.plan(), &mut || lookout.cut().is_some())?;
    Some(found.iter().map(|later| later.as_ref().map_or(Minutes::ZERO, |later| later.by)).collect())
}

/// The plan, verified.
///
/// # Panics
/// If the verifier rejects it: then the planner or the verifier is wrong, nothing may leave the house, and the
/// breaches are what is needed to find out which.
pub(super) fn trusted(problem: &Problem, plan: Plan) -> Verified {
    verify(problem, plan).unwrap_or_else(|rejected| {
        let breaches: Vec<String> = rejected.breaches.iter().map(|breach| breach.describe(problem)).collect();
        panic!("the planner's plan was rejected by the verifier:\n{}", breaches.join("\n"))
    })
}
