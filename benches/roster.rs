//! Watch rosters of the usual systems and sizes: time, proof or gap, and the same programme written out for another
//! solver.
//!
//! ```text
//! cargo bench --bench roster -- --export FOLDER && python3 benches/compare_highs.py FOLDER
//! ```
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a benchmark prints its table")]
#![allow(clippy::disallowed_types, clippy::disallowed_methods, reason = "a benchmark reads the clock and writes files")]

#[allow(dead_code, reason = "each benchmark uses a part of it")]
mod common;
#[path = "roster/crews.rs"]
mod crews;
#[allow(dead_code, reason = "jobs built in code, of which the benchmark needs a part")]
#[path = "../tests/it/support/job.rs"]
mod job;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;
use turnto::lp::{Model, Relation};
use turnto::model::Problem;
use turnto::roster::{Options, Outcome, Proof, solve, written_out};

use common::Stopwatch;

/// Watch rosters.
#[derive(Parser, Debug)]
struct Args {
    /// Only those whose name begins so.
    #[arg(long, default_value = "")]
    only: String,
    /// Instead of the usual six, the second of them with other crews and for other spans of days.
    #[arg(long)]
    family: bool,
    /// Most work, as the roster's options count it.
    #[arg(long, default_value_t = Options::default().effort)]
    effort: u64,
    /// Writes each programme and what was found to this folder, for `compare_highs.py`.
    #[arg(long)]
    export: Option<PathBuf>,
    /// Passed by `cargo bench`; without meaning.
    #[arg(long, hide = true)]
    bench: bool,
}

fn main() -> ExitCode {
    let args = Args::parse();
    println!("{:34} {:>6} {:>5} {:>4} {:>6} {:>9} {:>8} {:>8}", "roster", "people", "posts", "days", "turns", "cost", "proof", "s");
    let usual = || crews::all().into_iter().map(|(name, problem)| (name.to_owned(), problem)).collect();
    let list: Vec<(String, Problem)> = if args.family { crews::family() } else { usual() };
    for (name, problem) in list.into_iter().filter(|(name, _)| name.starts_with(&args.only)) {
        let watch = Stopwatch::start();
        let outcome = solve(&problem, &Options { effort: args.effort, ..Options::default() });
        let seconds = watch.seconds();
        row(&name, &problem, &outcome, seconds);
        if let Some(folder) = &args.export
            && let Err(error) = export(folder, &name, &problem, &outcome, seconds)
        {
            eprintln!("cannot write to {}: {error}", folder.display());
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}

fn row(name: &str, problem: &Problem, outcome: &Outcome, seconds: f64) {
    let days = problem.days(problem.end).count();
    let turns = problem.turns.iter().filter(|t| t.span.start() < problem.end).count();
    let proof = match outcome.proof {
        Proof::NothingOpen => "-".to_owned(),
        Proof::Proven => "proven".to_owned(),
        Proof::Within { .. } => format!("{}.{} %", outcome.gap_thousandths() / 10, outcome.gap_thousandths() % 10),
    };
    let (people, posts, cost) = (problem.people.len(), problem.posts.len(), outcome.rosters[0].total / 1000);
    println!("{name:34} {people:>6} {posts:>5} {days:>4} {turns:>6} {cost:>9} {proof:>8} {seconds:>8.2}");
    if outcome.rosters[0].costs.uncovered.get() > 0 {
        println!("{:34} uncovered {}", "", outcome.rosters[0].costs.uncovered);
    }
}

/// The programmes of a roster, one file, each in columns and rows.
fn export(folder: &Path, name: &str, problem: &Problem, outcome: &Outcome, seconds: f64) -> std::io::Result<()> {
    fs::create_dir_all(folder)?;
    let parts: Vec<String> = written_out(problem).iter().map(part).collect();
    let bound = match outcome.proof {
        Proof::Within { bound } => bound,
        Proof::Proven | Proof::NothingOpen => outcome.rosters[0].total,
    };
    let text = format!(
        "{{\"name\": \"{name}\", \"total\": {}, \"bound\": {bound}, \"seconds\": {seconds:.3}, \"parts\": [{}]}}\n",
        outcome.rosters[0].total,
        parts.join(",\n")
    );
    // The usual ones by number, the others by all of their name.
    let file = if name.contains(" with ") { name.replace([' ', ','], "-") } else { name.split(' ').next().unwrap_or("roster").to_owned() };
    fs::write(folder.join(format!("{file}.json")), text)
}

fn part(model: &Model) -> String {
    let number = |n: Option<i64>| n.map_or_else(|| "null".to_owned(), |n| n.to_string());
    let columns: Vec<String> = (model.column_ids())
        .map(|c| {
            let (lower, upper) = model.bounds(c);
            format!("[{}, {}, {}, {}]", model.cost(c), number(lower), number(upper), u8::from(model.is_whole(c)))
        })
        .collect();
    let rows: Vec<String> = (model.row_ids())
        .map(|r| {
            let (terms, relation, right) = model.row_data(r);
            let sign = match relation {
                Relation::AtMost => "<=",
                Relation::AtLeast => ">=",
                Relation::Exactly => "=",
            };
            let terms: Vec<String> = terms.iter().map(|(c, n)| format!("[{}, {n}]", turnto::id::Id::index(*c))).collect();
            format!("[\"{sign}\", {right}, [{}]]", terms.join(", "))
        })
        .collect();
    format!("{{\"columns\": [{}], \"rows\": [{}]}}", columns.join(", "), rows.join(", "))
}
