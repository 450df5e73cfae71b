//! Public scheduling instances through the ordinary problem, engine and verifier, beside a plain serial
//! generator with random priorities in the same run.
//!
//! ```text
//! TURNTO_DATASETS=folder cargo bench --bench public -- --sets j30,j60 --counts 1000,5000,50000
//! ```
//!
//! Every plan passes the library's verifier and a second reader of the raw file. Without the folder it says
//! so and does nothing.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a benchmark prints its table")]
#![allow(clippy::disallowed_types, clippy::disallowed_methods, reason = "a benchmark reads the clock and its surroundings")]

#[path = "public/check.rs"]
mod check;
#[allow(dead_code, reason = "each benchmark uses a part of it")]
mod common;
mod instances;
#[path = "public/plain.rs"]
mod plain;
#[path = "public/race.rs"]
mod race;
#[path = "public/table.rs"]
mod table;

use std::fs;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;

use instances::{FOLDER, read_set, sets};
use race::{Limits, race};
use table::{Row, print_row, print_title};

/// Public scheduling instances through the ordinary engine.
#[derive(Parser, Debug)]
struct Args {
    /// Sets to run, all if not given: jobshop, j30, j60, j120, set-1a ... set-3c.
    #[arg(long, value_delimiter = ',')]
    sets: Vec<String>,
    /// Only files whose name contains this.
    #[arg(long, default_value = "")]
    files: String,
    /// Only every n-th file of each set, from the first; 1 is all of them.
    #[arg(long, default_value_t = 1)]
    every: usize,
    /// Numbers of schedules after which results are read off, in rising order; each search ends at the last.
    #[arg(long, value_delimiter = ',', default_value = "1000,5000,50000")]
    counts: Vec<u64>,
    /// Seed of both methods.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Leave the plain generator out.
    #[arg(long)]
    no_plain: bool,
    /// One line an instance as well.
    #[arg(long)]
    each: bool,
    /// Writes a row an instance and count to this CSV file, for the comparison with a general solver.
    #[arg(long)]
    csv: Option<PathBuf>,
    /// Passed by `cargo bench`; without meaning.
    #[arg(long, hide = true)]
    bench: bool,
}

fn main() -> ExitCode {
    let args = Args::parse();
    let Some(folder) = std::env::var_os(FOLDER).map(PathBuf::from) else {
        eprintln!("SKIPPED: set {FOLDER} to the folder of public instances (psplib, mspsp, jobshop); nothing was run");
        return ExitCode::SUCCESS;
    };
    match run(&args, &folder) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("FAILED: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run(args: &Args, folder: &std::path::Path) -> Result<(), String> {
    if args.counts.is_empty() || !args.counts.is_sorted() || args.counts[0] == 0 {
        return Err("--counts must be positive and rise".to_owned());
    }
    let wanted: Vec<&str> = if args.sets.is_empty() { sets().collect() } else { args.sets.iter().map(String::as_str).collect() };
    let limits = Limits { counts: &args.counts, seed: args.seed, plain: !args.no_plain };
    let mut csv = String::from("set,file,method,schedules,makespan,best_known,proven,seconds,seconds_to_best\n");
    print_title();
    for set in wanted {
        let instances = read_set(folder, set, &args.files)?;
        let mut rows: Vec<Row> = Vec::new();
        for instance in instances.iter().step_by(args.every.max(1)) {
            let results = race(instance, &limits)?;
            for result in &results {
                if args.each {
                    println!("  {}", result.line(instance));
                }
                csv.push_str(&result.csv(instance));
            }
            Row::add(&mut rows, instance, &results);
        }
        for row in &rows {
            print_row(set, row);
        }
    }
    if let Some(path) = &args.csv {
        fs::write(path, csv).map_err(|e| format!("{}: {e}", path.display()))?;
    }
    Ok(())
}
