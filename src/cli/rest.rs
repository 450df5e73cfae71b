//! `turnto rest`: hours of rest in the record, in the newest plan, or in both.

use crate::cli::args::{Rest, WhichHours};
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::job::Job;
use crate::cli::latest::{Latest, latest};
use crate::cli::standing::told;
use crate::cli::{arrange, record, sets, stream};
use crate::hours::{Of, PlanLooked, View, check, compare, departing};
use crate::input::moment;
use crate::model::Problem;
use crate::out;
use crate::plan::Plan;
use crate::replan::{Standing, Whole};
use crate::verify::{Asked, verify};

/// Checks hours, or prints the record of months.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Rest, console: &Console) -> Result<Exit, Vec<Fault>> {
    if asked.stdin {
        let Some(own) = sets::own(&asked.folder, console).map_err(|fault| vec![fault])? else { return Ok(Exit::Wrong) };
        let Some(set) = sets::find(&asked.rules, &own) else { return Ok(Exit::Wrong) };
        return stream::run(asked, &set, console);
    }
    let job = Job::open_record(&asked.folder)?;
    let Some(problem) = job.usable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    if let Some(person) = &asked.record {
        return record::run(asked, person, problem, console);
    }
    if let Some(place) = asked.arrangements {
        let found = latest(&asked.folder, &job, problem)?;
        let problem = found.as_ref().map_or(problem, |found| &found.problem);
        let hours = found.as_ref().and_then(|found| hours_of(problem, &found.plan));
        if found.is_some() && hours.is_none() {
            return Ok(Exit::Wrong);
        }
        let plan = found.as_ref().map(|found| found.name.as_str());
        return arrange::run(asked, place, problem, plan, hours.as_ref(), console);
    }
    if asked.write.is_some() {
        console::complain("--write goes with --record or --arrangements");
        return Ok(Exit::Wrong);
    }
    if asked.compare {
        return compared(asked, &job, problem);
    }
    let at = match asked.departure.as_ref().map(|text| moment(text, &problem.clock)).transpose() {
        Ok(at) => at,
        Err(why) => {
            console::complain(&why);
            return Ok(Exit::Wrong);
        }
    };
    let of = match asked.of {
        Some(WhichHours::Records) => Some(Of::Records),
        Some(WhichHours::Plan) => Some(Of::Plan),
        Some(WhichHours::Both) => Some(Of::Both),
        None => None,
    };
    let found = if of == Some(Of::Records) { None } else { latest(&asked.folder, &job, problem)? };
    // A plan made while the job ran answers what was left then.
    let problem = found.as_ref().map_or(problem, |found| &found.problem);
    if found.is_none() && matches!(of, Some(Of::Plan | Of::Both)) {
        no_plan(asked);
        return Ok(Exit::Wrong);
    }
    let of = of.unwrap_or(if found.is_some() { Of::Both } else { Of::Records });
    let hours = match &found {
        Some(found) => match hours_of(problem, &found.plan) {
            Some(hours) => Some(hours),
            None => return Ok(Exit::Wrong),
        },
        None => None,
    };
    let people = check(problem, of, hours.as_ref());
    let plan = found.as_ref().zip(hours.as_ref()).map(|(found, asked)| PlanLooked {
        name: &found.name,
        asked,
        breaches: other_breaches(problem, found),
    });
    let departing = at.map(|at| departing(problem, hours.as_ref(), at));
    let view = View { problem, of, plan, people: &people, departing: departing.as_ref() };
    let text = if asked.json {
        out::check_json(&view)
    } else if asked.csv {
        out::check_csv(&view)
    } else {
        out::check_text(&view)
    };
    console::answer(&text).map_err(|fault| vec![fault])?;
    let exit = if view.needs_attention() { Exit::Attention } else { Exit::Done };
    Ok(found.as_ref().map_or(exit, |found| found.said_behind(exit)))
}

/// Sets the record against the newest plan and, before it begins, against those it was made from.
fn compared(asked: &Rest, job: &Job, problem: &Problem) -> Result<Exit, Vec<Fault>> {
    let Some(found) = latest(&asked.folder, job, problem)? else {
        no_plan(asked);
        return Ok(Exit::Wrong);
    };
    let whole = Whole::new(problem.clone(), job.reading.log.clone());
    let (plans, told): (Vec<String>, Vec<Standing>) = told(&asked.folder, &found.name, &whole, problem)?.into_iter().unzip();
    let Some(hours) = told.iter().map(|one| hours_of(&one.problem, &one.plan)).collect::<Option<Vec<_>>>() else {
        return Ok(Exit::Wrong);
    };
    let comparison = compare(problem, &hours);
    let compared = out::Compared { problem, plans: &plans, comparison: &comparison };
    let text = if asked.json {
        out::compare_json(&compared)
    } else if asked.csv {
        out::compare_csv(&compared)
    } else {
        out::compare_text(&compared)
    };
    console::answer(&text).map_err(|fault| vec![fault])?;
    let agree = comparison.time.is_some() && comparison.days.is_empty();
    Ok(found.said_behind(if agree { Exit::Done } else { Exit::Attention }))
}

fn no_plan(asked: &Rest) {
    console::complain(&format!("there is no plan in {} yet; `turnto plan` makes one", asked.folder.display()));
}

/// The hours of a plan; `None` where it cannot be read as an answer to the job folder, which is said.
fn hours_of<'a>(problem: &'a Problem, plan: &'a Plan) -> Option<Asked<'a>> {
    Asked::new(problem, plan)
        .inspect_err(|breaches| {
            for breach in breaches {
                console::complain(&breach.describe(problem));
            }
        })
        .ok()
}

/// How many hard rules other than those of rest a plan breaks.
fn other_breaches(problem: &Problem, found: &Latest) -> usize {
    match verify(problem, found.plan.clone()) {
        Ok(_) => 0,
        Err(rejected) => rejected.breaches.iter().filter(|breach| breach.rule() != REST).count(),
    }
}

/// Number of the hard rule of rest.
const REST: u8 = 3;
