//! Generated dock-size jobs through the engine and the verifier, and written out for the comparison with a
//! general solver.
//!
//! ```text
//! cargo bench --bench dock -- --seeds 3 --patience 2000 --export FOLDER
//! ```
//!
//! Each job is planned twice, for the finish and without overtime: `full` with every rule, `bare` without what
//! a general solver's model here leaves out (rest rules, reserve, daily caps, open covers, movable duties), so
//! that both solve the same thing.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a benchmark prints its table")]
#![allow(clippy::disallowed_types, clippy::disallowed_methods, reason = "a benchmark reads the clock and writes files")]

#[path = "dock/export.rs"]
mod export;
mod generate;
#[path = "dock/variant.rs"]
mod variant;

use std::fs;
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Instant;

use clap::Parser;
use turnto::engine::{self, Options, Outcome};
use turnto::model::Problem;
use turnto::time::Moment;
use turnto::verify::verify;

use generate::{Size, job};
use variant::Variant;

/// Generated dock-size jobs.
#[derive(Parser, Debug)]
struct Args {
    #[arg(long, default_value_t = 25)]
    people: usize,
    #[arg(long, default_value_t = 240)]
    tasks: usize,
    #[arg(long, default_value_t = 21)]
    days: i32,
    /// Jobs, from this seed on.
    #[arg(long, default_value_t = 1)]
    from: u64,
    /// How many jobs.
    #[arg(long, default_value_t = 3)]
    seeds: u64,
    /// Generations without gain after which a stage of the search ends.
    #[arg(long, default_value_t = 2000)]
    patience: u64,
    /// Writes each job with the finish found to this folder, for `compare_cpsat.py dock`.
    #[arg(long)]
    export: Option<PathBuf>,
    /// Passed by `cargo bench`; without meaning.
    #[arg(long, hide = true)]
    bench: bool,
}

/// Ends of the search, as told.
#[derive(Default)]
struct Notes {
    gains: Vec<(Moment, f64)>,
    began: Option<Instant>,
}

impl engine::Watch for Notes {
    fn improved(&mut self, _generation: u64, finish: Moment) {
        let seconds = self.began.map_or(0.0, |b| b.elapsed().as_secs_f64());
        self.gains.push((finish, seconds));
    }
    fn stop(&mut self) -> bool {
        false
    }
}

fn main() -> ExitCode {
    let args = Args::parse();
    match run(&args) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("FAILED: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run(args: &Args) -> Result<(), String> {
    if let Some(folder) = &args.export {
        fs::create_dir_all(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    }
    println!(
        "{:>4} {:<5} {:>9} {:>9} {:>8} {:>8} {:>11} {:>9} {:>9}",
        "seed", "rules", "first h", "finish h", "s", "to best", "generations", "machinery", "reserve"
    );
    for seed in args.from..args.from + args.seeds {
        let size = Size { people: args.people, tasks: args.tasks, days: args.days };
        for variant in [Variant::Full, Variant::Bare] {
            let problem = variant.of(job(size, seed))?;
            one(args, seed, variant, &problem)?;
        }
    }
    Ok(())
}

fn one(args: &Args, seed: u64, variant: Variant, problem: &Problem) -> Result<(), String> {
    let began = Instant::now();
    let mut notes = Notes { began: Some(began), ..Notes::default() };
    let options = Options { seed: 1, patience: args.patience, bound: None };
    let solution = match engine::solve(problem, &options, &mut notes) {
        Outcome::Found(solution) => solution,
        Outcome::Stuck(task) => return Err(format!("seed {seed}: no place for {}", problem.tasks[task].code)),
    };
    let seconds = began.elapsed().as_secs_f64();
    let generations = solution.generations;
    let verified = verify(problem, solution.plan).map_err(|rejected| {
        let said: Vec<String> = rejected.breaches.iter().take(5).map(|b| b.describe(problem)).collect();
        format!("seed {seed}, {}: {} breaches: {}", variant.name(), rejected.breaches.len(), said.join("; "))
    })?;
    let account = verified.account();
    let hours = |at: Moment| (at - problem.start).as_hours();
    let first = notes.gains.first().map_or(account.finish, |g| g.0);
    let to_best = notes.gains.iter().find(|g| g.0 <= account.finish).map_or(seconds, |g| g.1);
    println!(
        "{seed:>4} {:<5} {:>9.1} {:>9.1} {seconds:>8.2} {to_best:>8.2} {generations:>11} {:>9} {:>9}",
        variant.name(),
        hours(first),
        hours(account.finish),
        account.machinery_shortfall,
        account.reserve_shortfall
    );
    if let Some(folder) = &args.export {
        let path = folder.join(format!("dock-{}-{}-{seed}-{}.json", problem.people.len(), problem.tasks.len(), variant.name()));
        let text = export::job(problem, verified.plan(), account.finish, seconds);
        fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display()))?;
    }
    Ok(())
}
