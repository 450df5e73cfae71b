//! `turnto rest`: hours of rest in the record, in the newest plan, or in both.

use crate::cli::args::{Rest, WhichHours};
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::job::Job;
use crate::cli::latest::{Latest, latest};
use crate::cli::{record, sets, stream};
use crate::hours::{Of, PlanLooked, View, check};
use crate::model::Problem;
use crate::out;
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
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.usable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    if let Some(person) = &asked.record {
        return record::run(asked, person, problem, console);
    }
    let of = match asked.of {
        Some(WhichHours::Records) => Some(Of::Records),
        Some(WhichHours::Plan) => Some(Of::Plan),
        Some(WhichHours::Both) => Some(Of::Both),
        None => None,
    };
    let found = if of == Some(Of::Records) { None } else { latest(&asked.folder, problem)? };
    if found.is_none() && matches!(of, Some(Of::Plan | Of::Both)) {
        console::complain(&format!("there is no plan in {} yet; `turnto plan` makes one", asked.folder.display()));
        return Ok(Exit::Wrong);
    }
    let of = of.unwrap_or(if found.is_some() { Of::Both } else { Of::Records });
    let hours = match &found {
        Some(found) => match Asked::new(problem, &found.plan) {
            Ok(hours) => Some(hours),
            Err(breaches) => {
                for breach in &breaches {
                    console::complain(&breach.describe(problem));
                }
                return Ok(Exit::Wrong);
            }
        },
        None => None,
    };
    let people = check(problem, of, hours.as_ref());
    let plan = found.as_ref().zip(hours.as_ref()).map(|(found, asked)| PlanLooked {
        name: &found.name,
        asked,
        breaches: other_breaches(problem, found),
    });
    let view = View { problem, of, plan, people: &people };
    let text = if asked.json {
        out::check_json(&view)
    } else if asked.csv {
        out::check_csv(&view)
    } else {
        out::check_text(&view)
    };
    console::answer(&text).map_err(|fault| vec![fault])?;
    Ok(if view.needs_attention() { Exit::Attention } else { Exit::Done })
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
