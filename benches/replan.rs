//! Replanning after each event of `examples/breakdowns`: time to the first legal answer and to the final one.
//!
//! The first answer counts from the log being read to a plan that is verified: remainder, first plan, verifier.
//!
//! ```text
//! cargo bench --bench replan
//! ```
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a benchmark prints its table")]
#![allow(clippy::disallowed_types, clippy::disallowed_methods, reason = "a benchmark reads the clock")]

#[allow(dead_code, reason = "each benchmark uses a part of it")]
mod common;

use std::fs;
use std::path::Path;
use std::process::ExitCode;

use clap::Parser;
use turnto::clock::Day;
use turnto::engine::Unwatched;
use turnto::input::{Folder, read};
use turnto::plan::Plan;
use turnto::replan::{Standing, Whole, changes, remainder};
use turnto::time::{Minutes, Moment};

use common::{Notes, Stopwatch, checked, plan};

/// Replanning after an event.
#[derive(Parser, Debug)]
struct Args {
    /// Generations without gain after which a stage of the search ends.
    #[arg(long, default_value_t = 500)]
    patience: u64,
    /// Seed.
    #[arg(long, default_value_t = 0)]
    seed: u64,
    /// Only events whose folder begins so.
    #[arg(long, default_value = "")]
    only: String,
    /// Passed by `cargo bench`; without meaning.
    #[arg(long, hide = true)]
    bench: bool,
}

/// Folder of the event, and when it is replanned: day, hour, minute.
const EVENTS: [(&str, (i32, i32, i32)); 6] = [
    ("e1-boiler-call", (3, 3, 40)),
    ("e3-g4-head", (4, 14, 20)),
    ("e5-ankle", (6, 9, 0)),
    ("e6-anchor", (7, 23, 0)),
    ("e7-early-berth", (8, 11, 0)),
    ("e8-g3-auto-start", (8, 23, 0)),
];

fn main() -> ExitCode {
    let args = Args::parse();
    match run(&args) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn run(args: &Args) -> Result<(), String> {
    let top = Path::new(env!("CARGO_MANIFEST_DIR"));
    let job = folder(&top.join("demo-crew"))?;
    let base = read(&job).problem.ok_or("the demonstration job is not sound")?;
    eprintln!("planning the job itself");
    let (told, _) = plan(&base, args.seed, args.patience, &mut Unwatched)?;
    println!("{:18} {:>9} {:>12} {:>9} {:>12} {:>9} {:>7}", "event", "first s", "finish", "final s", "finish", "changed h", "people");
    for (name, (day, hour, minute)) in EVENTS.into_iter().filter(|(name, _)| name.starts_with(&args.only)) {
        let log = fs::read(top.join("examples/breakdowns").join(name).join("log.toml")).map_err(|e| e.to_string())?;
        let row = event(args, &job.clone().with("log.toml", log), told.plan.clone(), |whole| {
            whole.parts.clock.at(Day::new(day), Minutes::new(hour * 60 + minute))
        });
        println!("{name:18} {}", row.unwrap_or_else(|why| why));
    }
    Ok(())
}

fn event(args: &Args, job: &Folder, told: Plan, now: impl Fn(&Whole) -> Moment) -> Result<String, String> {
    let first = Stopwatch::start();
    let reading = read(job);
    let problem = reading.problem.ok_or("the log is not sound")?;
    let whole = Whole::new(problem.clone(), reading.log);
    let standing = Standing::first(problem, told);
    let rest = remainder(&whole, &standing, now(&whole), whole.log.entries.len()).map_err(|why| format!("{why:?}"))?;
    let (solution, _) = plan(&rest.problem, args.seed, 0, &mut Unwatched)?;
    let legal = checked(&rest.problem, solution)?;
    let seconds = first.seconds();
    let last = Stopwatch::start();
    let mut notes = Notes::new(&last, u64::MAX, &[]);
    let (solution, _) = plan(&rest.problem, args.seed, args.patience, &mut notes)?;
    let best = checked(&rest.problem, solution)?;
    let changed = changes(&whole, &rest, best.plan());
    let at = |moment| rest.problem.clock.day_time(moment);
    Ok(format!(
        "{seconds:9.2} {:>12} {:9.2} {:>12} {:9.1} {:7}",
        at(legal.account().finish),
        last.seconds(),
        at(best.account().finish),
        best.account().told_changed.as_hours(),
        changed.people.len(),
    ))
}

fn folder(root: &Path) -> Result<Folder, String> {
    let mut folder = Folder::new();
    for entry in fs::read_dir(root).map_err(|e| e.to_string())? {
        let path = entry.map_err(|e| e.to_string())?.path();
        if path.is_file() {
            let name = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
            folder.add(name, fs::read(&path).map_err(|e| e.to_string())?);
        }
    }
    Ok(folder)
}
