//! Time to the first verified plan, on the demo folder and on generated jobs of growing size, and how many
//! teams are searched a second once the search is under way.
//!
//! ```text
//! cargo bench --bench first_plan -- --seeds 5
//! ```
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a benchmark prints its table")]
#![allow(clippy::disallowed_types, clippy::disallowed_methods, reason = "a benchmark reads the clock")]

#[allow(dead_code, reason = "each benchmark uses a part of it")]
mod common;
mod generate;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;
use turnto::engine::Unwatched;
use turnto::input::{Folder, read};
use turnto::model::Problem;

use common::{Notes, Stopwatch, checked, plan};
use generate::{Size, job};

/// Time to the first verified plan.
#[derive(Parser, Debug)]
struct Args {
    /// A job folder that comes first in the table.
    #[arg(long, default_value = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-crew"))]
    folder: PathBuf,
    /// Jobs of each size.
    #[arg(long, default_value_t = 5)]
    seeds: u64,
    /// The first seed.
    #[arg(long, default_value_t = 1)]
    from: u64,
    /// Runs of each job, of which the mean counts.
    #[arg(long, default_value_t = 5)]
    repeats: u32,
    /// Generations for the speed of team searches; 0 leaves that out.
    #[arg(long, default_value_t = 200)]
    generations: u64,
    /// Only the sizes with at most so many tasks.
    #[arg(long, default_value_t = 240)]
    most_tasks: usize,
    /// Passed by `cargo bench`; without meaning.
    #[arg(long, hide = true)]
    bench: bool,
}

const SIZES: [Size; 7] = [
    Size { people: 5, tasks: 15, days: 6 },
    Size { people: 8, tasks: 30, days: 8 },
    Size { people: 10, tasks: 60, days: 9 },
    Size { people: 13, tasks: 90, days: 12 },
    Size { people: 16, tasks: 120, days: 14 },
    Size { people: 20, tasks: 180, days: 18 },
    Size { people: 25, tasks: 240, days: 21 },
];

/// What one job came to.
struct Run {
    plan_seconds: f64,
    verify_seconds: f64,
    /// Whether it ends after the first planning end.
    late: bool,
    shortfall: i64,
}

fn main() -> ExitCode {
    let args = Args::parse();
    let mut refused = 0;
    println!("First plan (engine without further generations) and its verification; medians over the jobs of a size.");
    println!("Team searches: over {} generations, with the reserve and without it.", args.generations);
    println!(
        "{:<6} {:>6} {:>5} {:>4} {:>4} {:>9} {:>9} {:>9} {:>9} {:>5} {:>6} {:>10} {:>10}",
        "", "people", "tasks", "days", "jobs", "plan ms", "verify ms", "sum ms", "worst ms", "late", "short", "teams/s", "no reserve"
    );
    match folder(&args.folder) {
        Ok(problem) => refused += row("folder", &args, &[("the folder".to_owned(), problem)]),
        Err(error) => {
            refused += 1;
            eprintln!("REFUSED: {error}");
        }
    }
    for size in SIZES.iter().filter(|s| s.tasks <= args.most_tasks) {
        let jobs: Vec<(String, Problem)> =
            (args.from..args.from + args.seeds).map(|seed| (format!("{size:?}, seed {seed}"), job(*size, seed))).collect();
        refused += row("seeds", &args, &jobs);
    }
    if refused == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// The job in a folder.
fn folder(path: &Path) -> Result<Problem, String> {
    let told = |e: std::io::Error| format!("{}: {e}", path.display());
    let mut files = Folder::new();
    for entry in fs::read_dir(path).map_err(told)? {
        let entry = entry.map_err(told)?;
        if entry.file_type().map_err(told)?.is_file() {
            files.add(entry.file_name().to_string_lossy(), fs::read(entry.path()).map_err(told)?);
        }
    }
    let reading = read(&files);
    reading.problem.ok_or_else(|| format!("{}: {} things are wrong with the job folder", path.display(), reading.diagnostics.len()))
}

/// Runs jobs of one size and prints their row; how many had no plan, or one that was refused.
fn row(label: &str, args: &Args, jobs: &[(String, Problem)]) -> usize {
    let (mut runs, mut with, mut without) = (Vec::new(), Vec::new(), Vec::new());
    for (name, problem) in jobs {
        match first(problem, args.repeats) {
            Ok(run) => runs.push(run),
            Err(error) => eprintln!("REFUSED: {name}: {error}"),
        }
        if args.generations > 0 {
            with.extend(rate(problem, args.generations));
            without.extend(without_reserve(problem).and_then(|problem| rate(&problem, args.generations)));
        }
    }
    let millis = |of: &dyn Fn(&Run) -> f64| median(&mut runs.iter().map(|r| 1e3 * of(r)).collect::<Vec<_>>());
    let worst = runs.iter().map(|r| 1e3 * (r.plan_seconds + r.verify_seconds)).fold(0.0, f64::max);
    let (people, tasks, days) = jobs.first().map_or((0, 0, 0), |(_, p)| (p.people.len(), p.tasks.len(), p.days(p.end).count()));
    println!(
        "{label:<6} {people:>6} {tasks:>5} {days:>4} {:>4} {:>9.1} {:>9.1} {:>9.1} {worst:>9.1} {:>5} {:>6} {:>10.0} {:>10.0}",
        jobs.len(),
        millis(&|r| r.plan_seconds),
        millis(&|r| r.verify_seconds),
        millis(&|r| r.plan_seconds + r.verify_seconds),
        runs.iter().filter(|r| r.late).count(),
        runs.iter().map(|r| r.shortfall).sum::<i64>(),
        median(&mut with),
        median(&mut without),
    );
    jobs.len() - runs.len()
}

/// The same job with no mode asking for a reserve.
fn without_reserve(problem: &Problem) -> Option<Problem> {
    let mut parts = problem.clone().into_parts();
    for mode in &mut parts.modes {
        mode.reserve = None;
    }
    Problem::new(parts).ok()
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

/// The first verified plan; times are means over some runs, since the system counts them in ticks.
fn first(problem: &Problem, repeats: u32) -> Result<Run, String> {
    let repeats = repeats.max(1);
    let (mut plan_seconds, mut verify_seconds) = (0.0, 0.0);
    let mut last = None;
    for _ in 0..repeats {
        let began = Stopwatch::start();
        let (solution, _) = plan(problem, 0, 0, &mut Unwatched)?;
        plan_seconds += began.seconds() / f64::from(repeats);
        let began = Stopwatch::start();
        last = Some(checked(problem, solution)?);
        verify_seconds += began.seconds() / f64::from(repeats);
    }
    let verified = last.ok_or("no run")?;
    let account = verified.account();
    let shortfall = account.machinery_shortfall + account.reserve_shortfall;
    Ok(Run { plan_seconds, verify_seconds, late: account.finish > problem.end, shortfall })
}

/// Team searches a second over so many generations.
fn rate(problem: &Problem, generations: u64) -> Option<f64> {
    let began = Stopwatch::start();
    let mut notes = Notes::new(&began, generations, &[]);
    let (solution, _) = plan(problem, 0, generations, &mut notes).ok()?;
    let seconds = began.seconds();
    #[allow(clippy::cast_precision_loss, reason = "a count of team searches is small enough")]
    let attempts = solution.attempts as f64;
    Some(attempts / seconds)
}
