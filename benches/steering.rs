//! Whether the labour model's advice steers the search to better plans: generated jobs, each planned once with it and
//! once without, by the same seed and with the same patience.
//!
//! ```text
//! cargo bench --bench steering -- --jobs 100
//! ```
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a benchmark prints its table")]
#![allow(clippy::disallowed_types, clippy::disallowed_methods, reason = "a benchmark reads the clock")]

#[allow(dead_code, reason = "each benchmark uses a part of it")]
mod common;
mod generate;

use std::cmp::Ordering;
use std::process::ExitCode;

use clap::Parser;
use turnto::account::Account;
use turnto::calendar::Hours;
use turnto::engine::{Guide, Watch};
use turnto::labour::{self, Premises, Reserve};
use turnto::model::Problem;
use turnto::time::Moment;

use common::{Notes, Stopwatch, bound, checked, plan};
use generate::{Size, job};

/// Generated jobs with and without the labour model's advice.
#[derive(Parser, Debug)]
struct Args {
    #[arg(long, default_value_t = 10)]
    people: usize,
    #[arg(long, default_value_t = 40)]
    tasks: usize,
    #[arg(long, default_value_t = 8)]
    days: i32,
    /// The first seed of the generator.
    #[arg(long, default_value_t = 1)]
    from: u64,
    /// How many jobs.
    #[arg(long, default_value_t = 10)]
    jobs: u64,
    /// Generations without gain after which a stage of the search ends.
    #[arg(long, default_value_t = 60)]
    patience: u64,
    /// Seed of the search.
    #[arg(long, default_value_t = 0)]
    seed: u64,
    /// A row for every job as well.
    #[arg(long)]
    rows: bool,
    /// Passed by `cargo bench`; without meaning.
    #[arg(long, hide = true)]
    bench: bool,
}

/// A search that is noted, and given the labour model's advice where it is to have it.
struct Steered<'a> {
    notes: Notes<'a>,
    problem: &'a Problem,
    /// The finish the advice is asked for; without it there is none.
    aim: Option<Moment>,
    /// Whether the labour model had an answer.
    advised: bool,
}

impl Watch for Steered<'_> {
    fn improved(&mut self, generation: u64, finish: Moment) {
        self.notes.improved(generation, finish);
    }

    fn stop(&mut self) -> bool {
        false
    }

    fn advise(&mut self) -> Option<Guide> {
        let premises = Premises { hours: Hours::WithOvertime, reserve: Reserve::Kept };
        let answer = labour::solve(self.problem, premises, self.aim?).ok()?;
        self.advised = true;
        Some(Guide { order: answer.half, teams: answer.teams })
    }
}

/// What one search came to.
#[derive(Clone, Copy, Debug)]
struct Run {
    /// Hours from the start of the job.
    finish: f64,
    first: f64,
    shortfall: i64,
    /// Minutes late, weighed.
    late: i64,
    overtime: f64,
    last_gain: u64,
    seconds: f64,
    advised: bool,
}

impl Run {
    /// By the aims as far as the table has them: shortfall, lateness, finish.
    fn against(&self, other: &Self) -> Ordering {
        let aims = (self.shortfall, self.late).cmp(&(other.shortfall, other.late));
        aims.then(self.finish.total_cmp(&other.finish))
    }
}

fn main() -> ExitCode {
    let args = Args::parse();
    let mut pairs = Vec::new();
    let mut left_out = 0;
    for seed in args.from..args.from + args.jobs {
        let problem = job(Size { people: args.people, tasks: args.tasks, days: args.days }, seed);
        match run(&args, &problem, true).and_then(|with| Ok((with, run(&args, &problem, false)?))) {
            Ok((with, without)) => {
                if args.rows {
                    let moved = with.finish - without.finish;
                    println!("seed {seed:>4}: {:>7.1} h with, {:>7.1} h without, {moved:+.1} h", with.finish, without.finish);
                }
                pairs.push((with, without));
            }
            Err(error) if error.starts_with("the verifier") => {
                eprintln!("REFUSED: seed {seed}: {error}");
                return ExitCode::FAILURE;
            }
            Err(error) => {
                left_out += 1;
                eprintln!("no plan: seed {seed}: {error}");
            }
        }
    }
    table(&args, &pairs, left_out);
    ExitCode::SUCCESS
}

/// Plans a job, with advice or without.
fn run(args: &Args, problem: &Problem, steered: bool) -> Result<Run, String> {
    let aim = bound(problem)?;
    let began = Stopwatch::start();
    let notes = Notes::new(&began, u64::MAX, &[]);
    let mut watch = Steered { notes, problem, aim: steered.then_some(aim), advised: false };
    let (solution, _) = plan(problem, args.seed, args.patience, &mut watch)?;
    let seconds = began.seconds();
    let verified = checked(problem, solution)?;
    let account = verified.account();
    let hours = |at: Moment| (at - problem.start).as_hours();
    let gains = &watch.notes.gains;
    Ok(Run {
        finish: hours(account.finish),
        first: gains.first().map_or(0.0, |gain| hours(gain.finish)),
        shortfall: account.machinery_shortfall + account.reserve_shortfall,
        late: late(problem, account),
        overtime: account.people.iter().map(|p| p.overtime.as_hours()).sum(),
        last_gain: gains.last().map_or(0, |gain| gain.made),
        seconds,
        advised: watch.advised,
    })
}

/// Minutes late at the milestones, weighed.
fn late(problem: &Problem, account: &Account) -> i64 {
    let pairs = problem.milestones.iter().zip(&account.milestones);
    pairs.map(|(aimed, came)| i64::from(came.late.get()) * i64::from(aimed.weight)).sum()
}

#[allow(clippy::cast_precision_loss, reason = "counts of a benchmark are small enough")]
fn table(args: &Args, pairs: &[(Run, Run)], left_out: usize) {
    let count = pairs.len().max(1) as f64;
    let mean = |of: &dyn Fn(&(Run, Run)) -> f64| pairs.iter().map(of).sum::<f64>() / count;
    println!(
        "{} jobs of {} people, {} tasks, {} days; patience {}, seed {}; {left_out} more without a plan; advice given for {}.",
        pairs.len(),
        args.people,
        args.tasks,
        args.days,
        args.patience,
        args.seed,
        pairs.iter().filter(|(with, _)| with.advised).count(),
    );
    println!("{:<10} {:>9} {:>9} {:>11} {:>10} {:>7}", "", "first h", "finish h", "overtime h", "last gain", "s");
    for (name, of) in [("steered", 0), ("by itself", 1)] {
        let one = |pair: &(Run, Run)| if of == 0 { pair.0 } else { pair.1 };
        println!(
            "{name:<10} {:>9.2} {:>9.2} {:>11.2} {:>10.0} {:>7.2}",
            mean(&|p| one(p).first),
            mean(&|p| one(p).finish),
            mean(&|p| one(p).overtime),
            mean(&|p| one(p).last_gain as f64),
            mean(&|p| one(p).seconds),
        );
    }
    println!("mean difference in finish, steered less by itself: {:+.2} h", mean(&|(with, without)| with.finish - without.finish));
    how_many("by finish alone", pairs.iter().map(|(with, without)| with.finish.total_cmp(&without.finish)));
    how_many("by shortfall, lateness, finish", pairs.iter().map(|(with, without)| with.against(without)));
}

/// How often the steered search came to something better.
fn how_many(name: &str, orders: impl Iterator<Item = Ordering>) {
    let orders: Vec<Ordering> = orders.collect();
    let count = |what| orders.iter().filter(|order| **order == what).count();
    let (better, worse, same) = (count(Ordering::Less), count(Ordering::Greater), count(Ordering::Equal));
    println!("{name}: {better} better steered, {worse} worse, {same} the same");
}
