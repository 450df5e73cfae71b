//! `turnto plan`: the main job.

use crate::cli::args::Plan;
use crate::cli::console::{self, Console};
use crate::cli::decide::decide;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::interrupt::Interrupt;
use crate::cli::job::Job;
use crate::cli::papers::{About, papers};
use crate::cli::pin::in_the_way;
use crate::cli::refusal;
use crate::cli::solve::{PATIENCE, SHORT};
use crate::cli::trial::Trial;
use crate::cli::watch::Lookout;
use crate::cli::words::wrapped;
use crate::cli::write::Berth;
use crate::model::Pinned;

/// Plans, verifies, writes, prints.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Plan, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.steerable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    if job.counts().1 > 0 {
        console.note(&job.rendered(console.notes_look()));
    }
    let interrupt = Interrupt::listen();
    let berth = Berth::take(&asked.folder, &interrupt).map_err(|fault| vec![fault])?;
    let lookout = Lookout::new(console, &interrupt, asked.search.time_limit);
    let (verified, cut_by) = match decide(problem, asked.search.seed, asked.effort.of(PATIENCE), &lookout) {
        Err(_) if interrupt.pressed() => {
            console::complain("stopped before there was a plan; nothing was written");
            return Ok(Exit::Interrupted);
        }
        Err(words) => {
            let more = refusal::paragraphs(problem, &Trial { seed: asked.search.seed, patience: SHORT, lookout: &lookout });
            console::complain(&wrapped(&refusal::headline(&words, !more.is_empty())));
            for paragraph in more {
                console::complain(&wrapped(&paragraph));
            }
            if let Some(words) = in_the_way(problem) {
                console::complain(&wrapped(&words));
            }
            return Ok(Exit::NoPlan);
        }
        Ok(decided) => decided,
    };
    lookout.tell(&format!("search ended, plan verified: finish {}", problem.clock.day_time(verified.account().finish)));
    let about = About {
        number: berth.number(),
        based_on: None,
        log_entries: None,
        seed: asked.search.seed,
        sha256: job.sha256.clone(),
        cut_by,
        notes: log_left_out(&job).into_iter().collect(),
    };
    let papers = papers(problem, &verified, about, &lookout);
    let home = berth.fill(&papers.files).map_err(|fault| vec![fault])?;
    let answered = console::answer(if asked.json { &papers.json } else { &papers.days });
    console.note(&format!("wrote {}", home.display()));
    if problem.tasks.iter().any(|t| t.pinned != Pinned::default()) {
        console.note(&format!("pins.toml was kept; `turnto pin {} --cost` says what each pin costs", asked.folder.display()));
    }
    answered.map_err(|fault| vec![fault])?;
    Ok(papers.exit)
}

/// What to say where there is a log: the plan takes in none of it, and is the newest.
fn log_left_out(job: &Job) -> Option<String> {
    job.log_left_out().map(|words| format!("{words} This plan is the newest now and counts as what people were told."))
}
