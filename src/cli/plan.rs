//! `turnto plan`: the main job.

use crate::cli::args::Plan;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::interrupt::Interrupt;
use crate::cli::job::Job;
use crate::cli::proof::{Depth, Proof, model_hours};
use crate::cli::refusal;
use crate::cli::solve::{Outcome, solve};
use crate::cli::trial::Trial;
use crate::cli::watch::Lookout;
use crate::cli::words::wrapped;
use crate::cli::write::Berth;
use crate::model::Problem;
use crate::out;
use crate::report::{Report, Solved, aim_values};
use crate::verify::{Verified, verify};

/// Plans, verifies, writes, prints.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Plan, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.reading.problem.as_ref().filter(|_| job.counts().0 == 0) else {
        console::complain(&job.rendered(console.notes_look()));
        console::complain(&job.summary(&asked.folder));
        return Ok(Exit::Wrong);
    };
    if job.counts().1 > 0 {
        console.note(&job.rendered(console.notes_look()));
    }
    let interrupt = Interrupt::listen();
    let berth = Berth::take(&asked.folder, &interrupt).map_err(|fault| vec![fault])?;
    let lookout = Lookout::new(console, &interrupt, asked.time_limit);
    let found = match solve(problem, asked.seed, &lookout) {
        Outcome::NoPlan(_) if interrupt.pressed() => {
            console::complain("stopped before there was a plan; nothing was written");
            return Ok(Exit::Interrupted);
        }
        Outcome::NoPlan(words) => {
            let more = refusal::paragraphs(problem, &Trial { seed: asked.seed, lookout: &lookout });
            console::complain(&wrapped(&refusal::headline(&words, !more.is_empty())));
            for paragraph in more {
                console::complain(&wrapped(&paragraph));
            }
            return Ok(Exit::NoPlan);
        }
        Outcome::Found(found) => *found,
    };
    let verified = trusted(problem, found.plan);
    lookout.tell(&format!("search ended, plan verified: finish {}", problem.clock.day_time(verified.account().finish)));
    // Who asks to stop does not want to wait for a linear programme.
    let depth = if lookout.cut().is_some() { Depth::Chain } else { Depth::Model };
    let proof = Proof::of(problem, &verified, depth, &mut || lookout.cut().is_some());
    lookout.tell(&format!("no plan like it is ready before {}", problem.clock.day_time(proof.bound)));
    let solved = Solved {
        plan_no: berth.number(),
        based_on: None,
        seed: asked.seed,
        input_sha256: job.sha256,
        bound: proof.bound,
        bound_with_overtime: Some(proof.bound_with_overtime),
        proof: proof.by.to_owned(),
        chain: proof.chain,
        aims: aim_values(problem, &verified, proof.bound),
        cut_by: found.cut_by,
        model: model_hours(problem, &verified, depth),
        slack: None,
        notes: proof.notes,
    };
    let report = Report::new(problem, &verified, &solved);
    let exit = if report.needs_attention() { Exit::Attention } else { Exit::Done };
    let (days, json) = (out::days_text(&report), out::plan_json(&report));
    let answer = if asked.json { json.clone() } else { days.clone() };
    let files = [
        ("plan.json", json),
        ("days.txt", days),
        ("people.csv", out::people_csv(&report)),
        ("tasks.csv", out::tasks_csv(&report)),
        ("watches.csv", out::watches_csv(&report)),
        ("rest.csv", out::rest_csv(&report)),
        ("totals.csv", out::totals_csv(&report)),
    ];
    let home = berth.fill(&files).map_err(|fault| vec![fault])?;
    console::answer(&answer).map_err(|fault| vec![fault])?;
    console.note(&format!("wrote {}", home.display()));
    Ok(exit)
}

/// The plan, verified.
///
/// # Panics
/// If the verifier rejects it: then the planner or the verifier is wrong, nothing may leave the house, and the
/// breaches are what is needed to find out which.
fn trusted(problem: &Problem, plan: crate::plan::Plan) -> Verified {
    verify(problem, plan).unwrap_or_else(|rejected| {
        let breaches: Vec<String> = rejected.breaches.iter().map(|breach| breach.describe(problem)).collect();
        panic!("the planner's plan was rejected by the verifier:\n{}", breaches.join("\n"))
    })
}
