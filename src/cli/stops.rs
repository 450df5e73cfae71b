//! `turnto stops`: how long it takes to close up from each half day on, and what may not be interrupted.

use crate::bound::chain;
use crate::calendar::Hours;
use crate::cli::args::Stops;
use crate::cli::console::{self, Console};
use crate::cli::decide::told_stands;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::interrupt::Interrupt;
use crate::cli::job::Job;
use crate::cli::solve::CLOSER;
use crate::cli::standing::{Stands, no_remainder, standing};
use crate::cli::trial::{Trial, figures, planned};
use crate::cli::watch::Lookout;
use crate::cli::words::wrapped;
use crate::clock::Day;
use crate::input;
use crate::model::Problem;
use crate::out::{self, JobFigures, StopRow, StopSheet, Stopped};
use crate::replan::{StopPoint, close_up, night, overnight, remainder, sole_holders};
use crate::time::{Minutes, Moment};

/// Plans the closing up from each half day on, and tables it.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Stops, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.steerable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    let wrong = |words: &str| {
        console::complain(&wrapped(words));
        Ok(Exit::Wrong)
    };
    let said = match asked.now.as_ref().map(|now| input::moment(now, &problem.clock)).transpose() {
        Ok(said) => said,
        Err(words) => return wrong(&words),
    };
    let Some(stands) = standing(&asked.folder, &job, problem)? else {
        return wrong(&format!("there is no plan in {} yet; `turnto plan` makes one", asked.folder.display()));
    };
    if stands.whole.parts.tasks.iter().all(|t| t.hands_back.is_empty()) {
        return wrong(
            "no task hands a machine back, so there is nothing to close up; say in tasks.toml which task takes which machine out \
             (`takes_out`) and which one hands it back (`hands_back`)",
        );
    }
    let now = said.unwrap_or(stands.standing.problem.start);
    let written = job.reading.log.entries.len();
    let rest = match remainder(&stands.whole, &stands.standing, now, written) {
        Ok(rest) => rest,
        Err(why) => return wrong(&no_remainder(problem, &why)),
    };
    let going_on = finish(&stands);
    let interrupt = Interrupt::listen();
    let mut rows = Vec::new();
    for from in moments(problem, said, now, going_on) {
        if interrupt.pressed() {
            console::complain("stopped; the times that are left were not planned");
            break;
        }
        console.note(&format!("closing up from {}", problem.clock.day_time(from)));
        let lookout = Lookout::new(console, &interrupt, asked.search.time_limit);
        rows.push(row(problem, &stands, from, written, &Trial { seed: asked.search.seed, patience: CLOSER, lookout: &lookout }));
    }
    let night = night(&stands.standing.problem, now);
    let tonight = overnight(&stands.standing.problem, &stands.standing.plan, night);
    let sole = sole_holders(&rest.problem);
    let sheet = StopSheet {
        whole: &stands.whole,
        standing: &stands.standing.problem,
        rest: &rest.problem,
        plan: &stands.name,
        said: said.map(|_| now),
        going_on,
        rows: &rows,
        night,
        tonight: &tonight,
        sole: &sole,
    };
    console::answer(&if asked.json { out::stops_json(&sheet) } else { out::stops_text(&sheet) }).map_err(|fault| vec![fault])?;
    let planned = rows.iter().all(|row| row.stopped.is_ok());
    Ok(if planned && !interrupt.pressed() { Exit::Done } else { Exit::Attention })
}

/// When the plan people were told is done.
fn finish(stands: &Stands) -> Moment {
    let standing = &stands.standing;
    standing.plan.spells.iter().map(|s| s.span().end()).max().unwrap_or(standing.problem.start)
}

/// The time that was given, and every ship's noon and midnight after it until the job is done.
fn moments(problem: &Problem, said: Option<Moment>, now: Moment, going_on: Moment) -> Vec<Moment> {
    let clock = &problem.clock;
    let days = (clock.day(now).number()..=clock.day(going_on).number()).map(Day::new);
    let halves = days.flat_map(|day| [clock.at(day, Minutes::ZERO), clock.at(day, Minutes::hours(12))]);
    let mut moments: Vec<Moment> = said.into_iter().chain(halves).filter(|at| *at >= now && *at < going_on).collect();
    moments.sort_unstable();
    moments.dedup();
    moments
}

/// The plan of closing up from one moment on.
fn row(problem: &Problem, stands: &Stands, from: Moment, written: usize, trial: &Trial<'_>) -> StopRow {
    let stopped = match close_up(&stands.whole, &stands.standing, from, written) {
        Err(why) => Err(no_remainder(problem, &why)),
        Ok(StopPoint::NothingOpen) => Ok(Stopped::NothingOpen),
        Ok(StopPoint::Open(closing)) => {
            let found = planned(&closing.problem, trial);
            // What people were told, without what is left out, is a plan of closing up too, if it is legal.
            let told = told_stands(&closing.problem).map(|told| figures(&told));
            let worth = |f: &JobFigures| (f.machinery, f.finish, f.reserve, f.night + f.overtime);
            let best = found.as_ref().ok().into_iter().chain(&told).min_by_key(|f| worth(f)).copied();
            best.map_or(found, Ok).map(|figures| Stopped::ClosedUp {
                figures,
                not_before: chain(&closing.problem, Hours::WithOvertime).map_or(from, |chain| chain.at),
                tasks: closing.problem.tasks.len(),
                left_out: closing.left_out,
            })
        }
    };
    StopRow { from, stopped }
}
