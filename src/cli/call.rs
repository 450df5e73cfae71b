//! `turnto call`: who can be called.

use crate::cli::args::Call;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::job::Job;
use crate::cli::latest::latest;
use crate::hours::{call, fill, night};
use crate::id::CompetenceId;
use crate::input;
use crate::model::Problem;
use crate::out;
use crate::time::Minutes;
use crate::verify::Asked;

/// Answers for the newest plan.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Call, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.usable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    let wrong = |words: &str| {
        console::complain(words);
        Ok(Exit::Wrong)
    };
    let at = match input::moment(&asked.at, &problem.clock) {
        Ok(at) => at,
        Err(words) => return wrong(&words),
    };
    let places = match places(problem, asked.need.as_deref()) {
        Ok(places) => places,
        Err(words) => return wrong(&words),
    };
    let Some(found) = latest(&asked.folder, &job, problem)? else {
        return wrong(&format!("there is no plan in {} yet; `turnto plan` makes one", asked.folder.display()));
    };
    // A plan made while the job ran answers what was left then.
    let problem = &found.problem;
    let hours = match Asked::new(problem, &found.plan) {
        Ok(hours) => hours,
        Err(breaches) => {
            let lines: Vec<String> = breaches.iter().map(|breach| breach.describe(problem)).collect();
            return wrong(&lines.join("\n"));
        }
    };
    if !hours.time().contains(at) {
        let (from, to) = (problem.clock.day_time(hours.time().start()), problem.clock.day_time(hours.time().end()));
        return wrong(&format!("{} is outside plan {}, which runs from {from} to {to}", problem.clock.day_time(at), found.name));
    }
    let length = Minutes::new(asked.hours);
    let callees = call(problem, &hours, at, length);
    let team = fill(problem, &places, &callees, length);
    let dark = if asked.night { night(problem, &hours, at, length, &places) } else { Vec::new() };
    let sheet =
        out::CallSheet { problem, plan: &found.name, at, length, places: &places, callees: &callees, team: team.as_ref(), night: &dark };
    let text = if asked.json { out::call_json(&sheet) } else { out::call_text(&sheet) };
    console::answer(&text).map_err(|fault| vec![fault])?;
    Ok(found.said_behind(if sheet.short() { Exit::Attention } else { Exit::Done }))
}

/// What is needed: `LIFT+GEN`, `LIFT, 2 GEN`.
fn places(problem: &Problem, need: Option<&str>) -> Result<Vec<CompetenceId>, String> {
    let mut places = Vec::new();
    for part in need.unwrap_or("").split(['+', ',']).map(str::trim).filter(|part| !part.is_empty()) {
        let (number, code) = match part.split_once(' ') {
            Some((number, code)) if number.bytes().all(|b| b.is_ascii_digit()) => (number.parse().unwrap_or(0), code.trim()),
            Some(_) | None => (1, part),
        };
        let known = problem.competences.pairs().find(|(_, named)| named.code == code).map(|(id, _)| id);
        let Some(known) = known else {
            let codes: Vec<&str> = problem.competences.iter().map(|named| named.code.as_str()).collect();
            return Err(format!("nobody has heard of the competence `{code}`; there are {}", codes.join(", ")));
        };
        places.extend(std::iter::repeat_n(known, number));
        if number == 0 || places.len() > 12 {
            return Err("ask for at least one person of each and at most 12 in all, like LIFT + 2 GEN".to_owned());
        }
    }
    Ok(places)
}
