//! `turnto without`: who alone holds what the coming days need, and what is left of the plan without each of them.

use crate::cli::args::Without;
use crate::cli::console::{self, Console};
use crate::cli::decide::decide;
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::interrupt::Interrupt;
use crate::cli::job::Job;
use crate::cli::solve::TOLD;
use crate::cli::standing::{no_remainder, standing};
use crate::cli::watch::Lookout;
use crate::cli::words::wrapped;
use crate::id::PersonId;
use crate::input;
use crate::model::{Entry, Event};
use crate::out::{self, OptionRow, OptionSheet};
use crate::replan::{Whole, remainder, sole_holders};
use crate::time::Minutes;

/// Plans what is left without each key person, and tables it.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Without, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.steerable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    let wrong = |words: &str| {
        console::complain(&wrapped(words));
        Ok(Exit::Wrong)
    };
    let now = match input::moment(&asked.now, &problem.clock) {
        Ok(now) => now,
        Err(words) => return wrong(&words),
    };
    let Some(stands) = standing(&asked.folder, &job, problem)? else {
        return wrong(&format!("there is no plan in {} yet; `turnto plan` makes one", asked.folder.display()));
    };
    let written = job.reading.log.entries.len();
    let rest = match remainder(&stands.whole, &stands.standing, now, written) {
        Ok(rest) => rest,
        Err(why) => return wrong(&no_remainder(problem, &why)),
    };
    let sole = sole_holders(&rest.problem);
    let people: Vec<PersonId> = match asked.person.as_ref() {
        None => {
            let mut people: Vec<PersonId> = sole.iter().map(|s| s.person).collect();
            people.sort_unstable();
            people.dedup();
            people
        }
        Some(code) => match problem.people.find(|p| p.code == *code) {
            Some(id) => vec![id],
            None => return wrong(&format!("there is nobody `{code}` in the crew")),
        },
    };
    let interrupt = Interrupt::listen();
    let mut rows = Vec::new();
    // For two days, and for good: the one says whether the job can wait, the other whether it needs somebody new.
    let for_two_days = now + Minutes::hours(48);
    let absences = people.into_iter().flat_map(|p| [Some((p, Some(for_two_days))), Some((p, None))]);
    for absence in [None].into_iter().chain(absences) {
        if interrupt.pressed() {
            console::complain("stopped; the others were not planned");
            break;
        }
        let name = match absence {
            None => "as it is".to_owned(),
            Some((person, Some(_))) => format!("no {} for 48 h", problem.people[person].code),
            Some((person, None)) => format!("no {} any more", problem.people[person].code),
        };
        console.note(&format!("planning: {name}"));
        let mut whole: Whole = stands.whole.clone();
        if let Some((person, until)) = absence {
            whole.log.entries.push(Entry { at: now, from: None, event: Event::Unfit(person, until), note: String::new() });
        }
        let lookout = Lookout::new(console, &interrupt, asked.search.time_limit);
        let result =
            remainder(&whole, &stands.standing, now, whole.log.entries.len()).map_err(|why| no_remainder(problem, &why)).and_then(|rest| {
                decide(&rest.problem, asked.search.seed, TOLD, &lookout).map(|(verified, _)| (rest.problem, verified.account().clone()))
            });
        rows.push(OptionRow { name, title: String::new(), result });
    }
    let mut text = out::sole_text(&rest.problem, &sole);
    let sheet = OptionSheet { ship: problem.ship.clone(), from: Some(problem.clock.day_time(now)), rows: &rows };
    text.push_str(&out::options_text(&sheet));
    console::answer(&text).map_err(|fault| vec![fault])?;
    Ok(if rows.iter().all(|r| r.result.is_ok()) && !interrupt.pressed() { Exit::Done } else { Exit::Attention })
}
