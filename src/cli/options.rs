//! `turnto options`: small files laid over the job, each planned and verified, side by side.

use std::fs;
use std::path::{Path, PathBuf};

use crate::cli::args::{Effort, Options};
use crate::cli::console::{self, Console};
use crate::cli::decide::decide;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::files::{read_job, read_text};
use crate::cli::interrupt::Interrupt;
use crate::cli::job::Job;
use crate::cli::solve::{PATIENCE, TOLD};
use crate::cli::standing::{Stands, no_remainder, standing};
use crate::cli::watch::Lookout;
use crate::cli::words::wrapped;
use crate::input::{self, Folder, Overlaid};
use crate::model::Problem;
use crate::out::{self, OptionRow, OptionSheet};
use crate::replan::{Whole, remainder};
use crate::time::Moment;
use crate::ui::diagnostics::{self, Look};

/// An option as it was read.
struct Choice {
    name: String,
    laid: Result<Overlaid, Vec<String>>,
}

/// Plans every option and tables them.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Options, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.steerable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    let wrong = |words: &str| {
        console::complain(&wrapped(words));
        Ok(Exit::Wrong)
    };
    let now = match asked.now.as_ref().map(|now| input::moment(now, &problem.clock)).transpose() {
        Ok(now) => now,
        Err(words) => return wrong(&words),
    };
    let files = read_job(&asked.folder)?;
    let choices = choices(asked, &files.folder)?;
    let faults: Vec<String> = choices
        .iter()
        .filter_map(|c| Some((&c.name, c.laid.as_ref().err()?)))
        .flat_map(|(name, list)| list.iter().map(move |fault| format!("option {name}: {fault}")))
        .collect();
    if !faults.is_empty() {
        return wrong(&faults.join("\n"));
    }
    if choices.is_empty() {
        let words =
            format!("there is no option: put small TOML files into {}, or name one with --with", asked.folder.join("options").display());
        return wrong(&words);
    }
    let stands = match now {
        None => None,
        Some(_) => match standing(&asked.folder, &job, problem)? {
            None => return wrong(&format!("there is no plan in {} yet; `turnto plan` makes one", asked.folder.display())),
            found => found,
        },
    };
    let interrupt = Interrupt::listen();
    let mut rows = Vec::new();
    let as_it_is =
        Choice { name: "as it is".to_owned(), laid: Ok(Overlaid { title: String::new(), folder: files.folder.clone(), odd: Vec::new() }) };
    for choice in [as_it_is].into_iter().chain(choices) {
        if interrupt.pressed() {
            console::complain("stopped; the options that are left were not planned");
            break;
        }
        let Ok(laid) = choice.laid else { continue };
        console.note(&format!("planning: {}", choice.name));
        let lookout = Lookout::new(console, &interrupt, asked.search.time_limit);
        let result = planned(&laid, stands.as_ref().zip(now), asked.search.seed, asked.effort, &lookout);
        rows.push(OptionRow { name: choice.name, title: laid.title, result });
    }
    let sheet = OptionSheet { ship: problem.ship.clone(), from: now.map(|now| problem.clock.day_time(now)), rows: &rows };
    console::answer(&if asked.json { out::options_json(&sheet) } else { out::options_text(&sheet) }).map_err(|fault| vec![fault])?;
    let all_good = rows.iter().all(|row| row.result.is_ok());
    Ok(if all_good && !interrupt.pressed() { Exit::Done } else { Exit::Attention })
}

/// The options that were named, or those in the folder `options`; by name.
fn choices(asked: &Options, job: &Folder) -> Result<Vec<Choice>, Vec<Fault>> {
    let named = if asked.with.is_empty() { vec![asked.folder.join("options")] } else { asked.with.clone() };
    let mut paths: Vec<PathBuf> = Vec::new();
    for path in named {
        if path.is_dir() {
            let inside = within(&path).map_err(|fault| vec![fault])?;
            // A folder of a breakdown has its options in a folder of their own.
            let deeper = path.join("options");
            paths.extend(if deeper.is_dir() { within(&deeper).map_err(|fault| vec![fault])? } else { inside });
        } else if path.exists() || !asked.with.is_empty() {
            paths.push(path);
        }
    }
    let mut choices = Vec::new();
    for path in paths {
        let text = read_text(&path).map_err(|fault| vec![fault])?;
        let name = path.file_stem().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
        choices.push(Choice { name, laid: input::overlay(job, &text) });
    }
    Ok(choices)
}

/// TOML files in a folder, by name.
fn within(folder: &Path) -> Result<Vec<PathBuf>, Fault> {
    let refused = |error| Fault::system("read", folder, error);
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder).map_err(refused)? {
        let path = entry.map_err(refused)?.path();
        if path.extension().is_some_and(|e| e == "toml") {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths)
}

/// The option, planned and verified.
fn planned(
    laid: &Overlaid,
    from: Option<(&Stands, Moment)>,
    seed: u64,
    effort: Effort,
    lookout: &Lookout<'_>,
) -> Result<(Problem, crate::account::Account), String> {
    let reading = input::read(&laid.folder);
    let Some(problem) = reading.problem else {
        let odd: String = laid.odd.iter().map(|words| words.clone() + "\n").collect();
        let said = diagnostics::render(&reading.diagnostics, &reading.sources, Look::PLAIN);
        return Err(format!("the job with this option is wrong (lines are those of the files with it laid over them):\n{odd}{said}"));
    };
    let problem = match from {
        None => problem,
        Some((stands, now)) => {
            let written = reading.log.entries.len();
            let whole = Whole::new(problem.clone(), reading.log);
            let standing = stands
                .standing
                .laid_over(&stands.whole, &whole)
                .map_err(|code| format!("an option may add people, and {code} is not where he was"))?;
            remainder(&whole, &standing, now, written).map_err(|why| no_remainder(&problem, &why))?.problem
        }
    };
    let patience = if from.is_some() { TOLD } else { PATIENCE };
    let (verified, _) = decide(&problem, seed, effort.of(patience), lookout)?;
    let account = verified.account().clone();
    Ok((problem, account))
}
