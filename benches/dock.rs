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

#[allow(dead_code, reason = "each benchmark uses a part of it")]
mod common;
#[path = "dock/export.rs"]
mod export;
mod generate;
#[path = "dock/variant.rs"]
mod variant;

use std::fs;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, ValueEnum};
use turnto::model::Problem;
use turnto::time::Moment;

use common::{Notes, Stopwatch, checked, plan};
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
    /// Seed of the search.
    #[arg(long, default_value_t = 1)]
    search: u64,
    /// Only the jobs with every rule, or only those without some.
    #[arg(long, value_enum)]
    rules: Option<Variant>,
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
        "{:>4} {:<5} {:>9} {:>9} {:>9} {:>8} {:>8} {:>11} {:>9} {:>9}",
        "seed", "rules", "first h", "finish h", "chain h", "s", "to best", "generations", "machinery", "reserve"
    );
    for seed in args.from..args.from + args.seeds {
        let size = Size { people: args.people, tasks: args.tasks, days: args.days };
        for variant in Variant::value_variants().iter().copied().filter(|v| args.rules.is_none_or(|rules| rules == *v)) {
            let problem = variant.of(job(size, seed))?;
            one(args, seed, variant, &problem)?;
        }
    }
    Ok(())
}

fn one(args: &Args, seed: u64, variant: Variant, problem: &Problem) -> Result<(), String> {
    let told = |error: String| format!("seed {seed}, {}: {error}", variant.name());
    let began = Stopwatch::start();
    let mut notes = Notes::new(&began, u64::MAX, &[]);
    let (solution, bound) = plan(problem, args.search, args.patience, &mut notes).map_err(told)?;
    let seconds = began.seconds();
    let generations = solution.generations;
    let verified = checked(problem, solution).map_err(told)?;
    let account = verified.account();
    let hours = |at: Moment| (at - problem.start).as_hours();
    let first = notes.gains.first().map_or(account.finish, |gain| gain.finish);
    let to_best = notes.gains.iter().find(|gain| gain.finish <= account.finish).map_or(seconds, |gain| gain.seconds);
    println!(
        "{seed:>4} {:<5} {:>9.1} {:>9.1} {:>9.1} {seconds:>8.2} {to_best:>8.2} {generations:>11} {:>9} {:>9}",
        variant.name(),
        hours(first),
        hours(account.finish),
        hours(bound),
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
