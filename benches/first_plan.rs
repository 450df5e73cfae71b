//! Time to the first verified plan, on the demo folder and on generated jobs of growing size, and how many
//! teams are searched a second once the search is under way.
//!
//! ```text
//! cargo bench --bench first_plan -- --seeds 5
//! ```
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a benchmark prints its table")]
#![allow(clippy::disallowed_types, clippy::disallowed_methods, reason = "a benchmark reads the clock")]

mod generate;

use std::process::ExitCode;
use std::time::Instant;

use clap::Parser;
use turnto::engine::{self, Options, Outcome, Solution, Unwatched};
use turnto::model::Problem;
use turnto::time::Moment;
use turnto::verify::{Verified, verify};

use generate::{Size, job};

/// Time to the first verified plan.
#[derive(Parser, Debug)]
struct Args {
    /// Jobs of each size.
    #[arg(long, default_value_t = 5)]
    seeds: u64,
    /// The first seed.
    #[arg(long, default_value_t = 1)]
    from: u64,
    /// Runs of each job; the fastest counts.
    #[arg(long, default_value_t = 3)]
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
    println!("first plan: engine without further generations, then the verifier; medians over {} jobs a size", args.seeds);
    println!(
        "{:>6} {:>5} {:>4} {:>10} {:>10} {:>10} {:>10} {:>6} {:>10} {:>12}",
        "people", "tasks", "days", "plan ms", "verify ms", "sum ms", "worst ms", "late", "short", "teams/s"
    );
    for size in SIZES.iter().filter(|s| s.tasks <= args.most_tasks) {
        let mut runs = Vec::new();
        let mut rates = Vec::new();
        for seed in args.from..args.from + args.seeds {
            let problem = job(*size, seed);
            match first(&problem, args.repeats) {
                Ok(run) => runs.push(run),
                Err(error) => {
                    refused += 1;
                    eprintln!("REFUSED: {} tasks, {} people, {} days, seed {seed}: {error}", size.tasks, size.people, size.days);
                }
            }
            if args.generations > 0 {
                rates.extend(rate(&problem, args.generations));
            }
        }
        row(*size, &runs, &mut rates);
    }
    if refused == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn row(size: Size, runs: &[Run], rates: &mut [f64]) {
    let millis = |of: &dyn Fn(&Run) -> f64| median(&mut runs.iter().map(|r| 1e3 * of(r)).collect::<Vec<_>>());
    let worst = runs.iter().map(|r| 1e3 * (r.plan_seconds + r.verify_seconds)).fold(0.0, f64::max);
    println!(
        "{:>6} {:>5} {:>4} {:>10.1} {:>10.1} {:>10.1} {worst:>10.1} {:>6} {:>10} {:>12.0}",
        size.people,
        size.tasks,
        size.days,
        millis(&|r| r.plan_seconds),
        millis(&|r| r.verify_seconds),
        millis(&|r| r.plan_seconds + r.verify_seconds),
        runs.iter().filter(|r| r.late).count(),
        runs.iter().map(|r| r.shortfall).sum::<i64>(),
        median(rates),
    );
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

fn solve(problem: &Problem, patience: u64) -> Result<Solution, String> {
    let options = Options { seed: 0, patience, bound: None };
    match engine::solve(problem, &options, &mut Unwatched) {
        Outcome::Found(solution) => Ok(solution),
        Outcome::Stuck(task) => Err(format!("no place for task {}", problem.tasks[task].code)),
    }
}

fn checked(problem: &Problem, solution: Solution) -> Result<Verified, String> {
    verify(problem, solution.plan).map_err(|rejected| {
        let said: Vec<String> = rejected.breaches.iter().take(5).map(|b| b.describe(problem)).collect();
        format!("{} breaches: {}", rejected.breaches.len(), said.join("; "))
    })
}

/// The fastest of some runs to the first verified plan.
fn first(problem: &Problem, repeats: u32) -> Result<Run, String> {
    let mut best: Option<Run> = None;
    for _ in 0..repeats.max(1) {
        let began = Instant::now();
        let solution = solve(problem, 0)?;
        let plan_seconds = began.elapsed().as_secs_f64();
        let began = Instant::now();
        let verified = checked(problem, solution)?;
        let verify_seconds = began.elapsed().as_secs_f64();
        let account = verified.account();
        let shortfall = account.machinery_shortfall + account.reserve_shortfall;
        let run = Run { plan_seconds, verify_seconds, late: account.finish > problem.end, shortfall };
        let faster = |b: &Run| run.plan_seconds + run.verify_seconds < b.plan_seconds + b.verify_seconds;
        if best.as_ref().is_none_or(faster) {
            best = Some(run);
        }
    }
    best.ok_or_else(|| "no run".to_owned())
}

/// Team searches a second over so many generations.
fn rate(problem: &Problem, generations: u64) -> Option<f64> {
    struct Count(u64);
    impl engine::Watch for Count {
        fn improved(&mut self, _generation: u64, _finish: Moment) {}
        fn stop(&mut self) -> bool {
            let enough = self.0 == 0;
            self.0 = self.0.saturating_sub(1);
            enough
        }
    }
    let began = Instant::now();
    let options = Options { seed: 0, patience: generations, bound: None };
    let Outcome::Found(solution) = engine::solve(problem, &options, &mut Count(generations)) else { return None };
    let seconds = began.elapsed().as_secs_f64();
    #[allow(clippy::cast_precision_loss, reason = "a count of team searches is small enough")]
    let attempts = solution.attempts as f64;
    Some(attempts / seconds)
}
