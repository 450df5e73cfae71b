//! How long the labour model takes to say how early a job can end, and what it says beside the longest chain, on the
//! demo folder's size and generated jobs up to 60 people for 60 days: its size is chosen by counts, so it always ends.
//!
//! ```text
//! cargo bench --bench bounds
//! ```
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a benchmark prints its table")]
#![allow(clippy::disallowed_types, clippy::disallowed_methods, reason = "a benchmark reads the clock")]

#[allow(dead_code, reason = "each benchmark uses a part of it")]
mod common;
mod generate;

use std::process::ExitCode;

use clap::Parser;
use turnto::bound::{ProvenBy, chain, earliest_by_chain, earliest_by_labour};
use turnto::calendar::Hours;
use turnto::id::{Id, TaskId};
use turnto::labour::{Premises, Reserve, smallest_finish};
use turnto::model::{Milestone, Problem};
use turnto::time::Moment;

use common::Stopwatch;
use generate::{Size, job};

/// The labour model's bound by size.
#[derive(Parser, Debug)]
struct Args {
    /// Seed of the generator.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Only the sizes with at most so many tasks.
    #[arg(long, default_value_t = 600)]
    most_tasks: usize,
    /// Passed by `cargo bench`; without meaning.
    #[arg(long, hide = true)]
    bench: bool,
}

const SIZES: [Size; 8] = [
    Size { people: 5, tasks: 15, days: 6 },
    Size { people: 8, tasks: 30, days: 8 },
    Size { people: 10, tasks: 60, days: 9 },
    Size { people: 16, tasks: 120, days: 14 },
    Size { people: 20, tasks: 180, days: 18 },
    Size { people: 25, tasks: 240, days: 21 },
    Size { people: 40, tasks: 400, days: 40 },
    Size { people: 60, tasks: 600, days: 60 },
];

fn main() -> ExitCode {
    let args = Args::parse();
    println!("{:>6} {:>5} {:>4} {:>9} {:>9} {:>7} {:>8}  cut", "people", "tasks", "days", "chain h", "model h", "models", "s");
    println!("and five dates, one for each fifth of the tasks, as early as their chains: how many the labour model refutes, s");
    for size in SIZES.iter().filter(|s| s.tasks <= args.most_tasks) {
        let problem = job(Size { people: size.people, tasks: size.tasks, days: size.days }, args.seed);
        if let Err(error) = row(size, &problem) {
            eprintln!("FAILED: {error}");
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}

/// The job with a date for each fifth of its tasks, at which its chain ends; how many of them the labour model refutes,
/// and the seconds that takes.
fn dates(problem: &Problem) -> Result<(usize, f64), String> {
    let hours = Hours::WithOvertime;
    let mut parts = problem.clone().into_parts();
    let tasks: Vec<TaskId> = parts.tasks.ids().collect();
    let fifth = |tasks: &[TaskId]| Milestone {
        code: format!("M{}", tasks[0].index()),
        text: String::new(),
        tasks: tasks.to_vec(),
        due: parts.start,
        weight: 1,
    };
    parts.milestones = tasks.chunks(tasks.len().div_ceil(5)).map(fifth).collect();
    let problem = Problem::new(parts).map_err(|defects| format!("{defects:?}"))?;
    let premises = Premises { hours, reserve: Reserve::Kept };
    let began = Stopwatch::start();
    let chains = earliest_by_chain(&problem, hours).map_err(|i| format!("task {} does not fit", problem.tasks[i.task].code))?;
    let dates = chains.pairs().map(|(id, chain)| earliest_by_labour(&problem, id, premises, *chain, None, &mut || false));
    let refuted = dates.filter(|date| date.by != ProvenBy::Chain).count();
    Ok((refuted, began.seconds()))
}

fn row(size: &Size, problem: &Problem) -> Result<(), String> {
    let hours = |at: Moment| format!("{:.1}", (at - problem.start).as_hours());
    let began = Stopwatch::start();
    let chain = chain(problem, Hours::WithOvertime).map_err(|i| format!("task {} does not fit", problem.tasks[i.task].code))?;
    let premises = Premises { hours: Hours::WithOvertime, reserve: Reserve::Kept };
    let smallest = smallest_finish(problem, premises, None).map_err(|t| format!("task {} does not fit", problem.tasks[t].code))?;
    println!(
        "{:>6} {:>5} {:>4} {:>9} {:>9} {:>7} {:>8.2}  {}",
        size.people,
        size.tasks,
        size.days,
        hours(chain.at),
        smallest.at.map_or_else(|| "none".to_owned(), hours),
        smallest.models,
        began.seconds(),
        smallest.cut.map_or_else(String::new, |why| why.to_string()),
    );
    let (refuted, seconds) = dates(problem)?;
    println!("{refuted:>48} {seconds:>8.2}");
    Ok(())
}
