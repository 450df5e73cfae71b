//! `turnto pin --cost`: what each pin costs, as the difference between plans with it and without it.

use crate::cli::args::Pin;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::files::read_job;
use crate::cli::interrupt::Interrupt;
use crate::cli::job::Job;
use crate::cli::pin::PINS;
use crate::cli::solve::CLOSER;
use crate::cli::trial::{Trial, planned};
use crate::cli::watch::Lookout;
use crate::cli::what_if::newest;
use crate::input::{self, each_pin, without_pins};
use crate::model::{Aim, Problem};
use crate::out::{self, Came, JobFigures, Tried};
use crate::time::Minutes;

/// Plans the job as it is, without each pin, and without all of them; prints what came of each. Writes nothing.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Pin, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.steerable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    let folder = read_job(&asked.folder)?.folder;
    let text = folder.files().iter().find(|f| f.path == PINS).map_or_else(String::new, |f| String::from_utf8_lossy(&f.bytes).into_owned());
    let mut ways: Vec<(String, String)> = Vec::new();
    for (task, words, left) in each_pin(&text) {
        if asked.task.as_ref().is_none_or(|only| *only == task) {
            ways.push((format!("without the pin: {words}"), left));
        }
    }
    if ways.is_empty() {
        let whose = asked.task.as_ref().map_or_else(|| "no pin".to_owned(), |task| format!("no pin of {task}"));
        console::complain(&format!("there is {whose} in {}", asked.folder.join(PINS).display()));
        return Ok(Exit::Wrong);
    }
    if ways.len() > 1 {
        let (whose, task) = asked.task.as_ref().map_or(("any pin".to_owned(), None), |t| (format!("any pin of {t}"), Some(t.as_str())));
        ways.push((format!("without {whose}"), without_pins(&text, task).0));
    }
    let interrupt = Interrupt::listen();
    let lookout = Lookout::new(console, &interrupt, None);
    let trial = Trial { seed: 0, patience: CLOSER, lookout: &lookout };
    let base = planned(problem, &trial);
    let mut tried = vec![row("as it is".to_owned(), Ok(base.clone()))];
    let mut notes = Vec::new();
    for (what, left) in ways {
        if lookout.cut().is_some() {
            notes.push("The run was stopped before all of them were planned.".to_owned());
            break;
        }
        lookout.tell(&what);
        let without = input::read(&folder.clone().with(PINS, left)).problem;
        let came = without.map(|without| best(&without, planned(&without, &trial), base.as_ref().ok()));
        tried.push(row(what, came.ok_or_else(|| "the job cannot be read without it".to_owned())));
    }
    notes.extend(job.log_left_out());
    notes.extend(newest(&job, problem, &asked.folder, &tried[0]));
    notes.push(
        "Each line is a plan of its own, made by a short search and verified; what a pin costs is the difference between two plans \
         found, not a proof. The plan with a pin is a plan without it as well, so no pin is said to be of use."
            .to_owned(),
    );
    console::answer(&out::tried_text(problem, "What each pin costs", &tried, &notes)).map_err(|fault| vec![fault])?;
    Ok(match (base.is_err(), lookout.cut()) {
        (true, _) => Exit::NoPlan,
        (false, Some(_)) => Exit::Attention,
        (false, None) => Exit::Done,
    })
}

fn row(what: String, came: Result<Result<JobFigures, String>, String>) -> Tried {
    let came =
        came.map(|job| Came { uncovered: Minutes::ZERO, first_hole: None, changes: 0, nights: None, least_rest: None, job: Some(job) });
    Tried { what, came }
}

/// The better of what was found without a pin and the plan with it, which keeps everything that is asked without it.
fn best(problem: &Problem, found: Result<JobFigures, String>, with: Option<&JobFigures>) -> Result<JobFigures, String> {
    match (found, with) {
        (Ok(found), Some(with)) if worth(problem, with) < worth(problem, &found) => Ok(*with),
        (Err(_), Some(with)) => Ok(*with),
        (found, _) => found,
    }
}

/// What a plan comes to in the order of the aims of the job; less is better.
fn worth(problem: &Problem, figures: &JobFigures) -> Vec<i64> {
    let minutes = |m: Minutes| i64::from(m.get());
    let aims = problem.aims.iter().flat_map(|aim| match aim {
        Aim::Shortfall => vec![figures.machinery, figures.reserve],
        Aim::Lateness => vec![minutes(figures.late)],
        Aim::NightAndOvertime => vec![minutes(figures.overtime + figures.night)],
        Aim::Finish => vec![i64::from(figures.finish.minutes())],
        Aim::Told | Aim::Fairness | Aim::Steady => Vec::new(),
    });
    aims.collect()
}
