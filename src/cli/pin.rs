//! `turnto pin` and `turnto unpin`: what the officer in charge decides himself, kept in `pins.toml`.

use crate::cli::args::{Pin, Unpin};
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::files::read_job;
use crate::cli::job::Job;
use crate::cli::pin_cost;
use crate::cli::standing::standing;
use crate::cli::words::counted;
use crate::cli::write::{append, replace};
use crate::engine::{self, Options, Solution, Unwatched};
use crate::id::TaskId;
use crate::input::{self, PinText, decided, without_pins};
use crate::model::{Pinned, Problem};
use crate::plan::Spell;
use crate::replan::Standing;

/// Name of the file in a job folder.
pub(super) const PINS: &str = "pins.toml";

/// Appends a pin, or the pins that hold a day's list.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn pin(asked: &Pin, console: &Console) -> Result<Exit, Vec<Fault>> {
    if asked.cost {
        return pin_cost::run(asked, console);
    }
    let mut new = match (&asked.task, &asked.hold) {
        (Some(task), None) => {
            let pin = PinText {
                task,
                by: &asked.by,
                fills: asked.fills.as_deref(),
                not: &asked.not,
                at: asked.at.as_deref(),
                why: asked.why.as_deref(),
            };
            if pin.by.is_empty() && pin.not.is_empty() && pin.at.is_none() {
                console::complain("say what is decided: --by, --not or --at");
                return Ok(Exit::Wrong);
            }
            vec![pin.text()]
        }
        (None, Some(day)) => {
            let job = Job::open(&asked.folder)?;
            let Some(problem) = job.usable(&asked.folder, console) else { return Ok(Exit::Wrong) };
            let Some(told) = standing(&asked.folder, &job, problem)? else {
                console::complain("there is no plan yet whose list could be held; run `turnto plan` first");
                return Ok(Exit::Wrong);
            };
            let texts = held(&told.standing, *day);
            if texts.is_empty() {
                console::complain(&format!("no task begins on day {day} of plan {}", told.name));
                return Ok(Exit::Wrong);
            }
            texts
        }
        _ => {
            console::complain("name a task, or a day with --hold");
            return Ok(Exit::Wrong);
        }
    };
    let files = read_job(&asked.folder)?;
    let old = files.folder.files().iter().find(|f| f.path == PINS).map_or_else(Vec::new, |f| f.bytes.clone());
    // A decision stands once, however often it is made.
    let there = String::from_utf8_lossy(&old);
    new.retain(|pin| !decided(&there, pin));
    if new.is_empty() {
        console.note(&format!("that is decided in {} already; nothing was written", asked.folder.join(PINS).display()));
        return Ok(Exit::Done);
    }
    let gap = if old.is_empty() || old.ends_with(b"\n\n") { "" } else { "\n" };
    let text: Vec<u8> = [old.as_slice(), gap.as_bytes(), new.join("\n").as_bytes()].concat();
    // What is to be written is read first, with everything that is there, as it will be read ever after.
    let job = Job { reading: input::read(&files.folder.with(PINS, text.clone())), sha256: files.sha256 };
    if job.usable(&asked.folder, console).is_none() {
        console::complain("nothing was written");
        return Ok(Exit::Wrong);
    }
    let path = asked.folder.join(PINS);
    append(&path, &old, &text).map_err(|fault| vec![fault])?;
    console.note(&format!("{} added to {}; plan again to follow", counted(new.len(), "pin"), path.display()));
    Ok(Exit::Done)
}

/// Takes pins out.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn unpin(asked: &Unpin, console: &Console) -> Result<Exit, Vec<Fault>> {
    if asked.task.is_none() && !asked.all {
        console::complain("name a task, or say --all");
        return Ok(Exit::Wrong);
    }
    let files = read_job(&asked.folder)?;
    let old = files.folder.files().iter().find(|f| f.path == PINS).map_or_else(Vec::new, |f| f.bytes.clone());
    let Ok(text) = std::str::from_utf8(&old) else {
        console::complain("pins.toml is not text in UTF-8; save it again as such");
        return Ok(Exit::Wrong);
    };
    let (left, gone) = without_pins(text, asked.task.as_deref());
    if gone == 0 {
        let what = asked.task.as_deref().map_or_else(|| "no pin".to_owned(), |task| format!("no pin of {task}"));
        console::complain(&format!("there is {what} in {}", asked.folder.join(PINS).display()));
        return Ok(Exit::Wrong);
    }
    let path = asked.folder.join(PINS);
    replace(&path, &old, left.as_bytes()).map_err(|fault| vec![fault])?;
    console.note(&format!("{} taken out of {}; plan again to follow", counted(gone, "pin"), path.display()));
    Ok(Exit::Done)
}

/// One pin for each task that begins on ship's day `day` (from 1) of a plan: its start, and its team where that
/// stays the same. What was begun before the plan was made anew goes on, and begins no more.
fn held(told: &Standing, day: i32) -> Vec<String> {
    let (problem, plan) = (&told.problem, &told.plan);
    let begun = |id: TaskId| told.past.spells.iter().any(|spell| spell.task == told.tasks[id]);
    let mut pins = Vec::new();
    for (id, task) in problem.tasks.pairs().filter(|(id, _)| !begun(*id)) {
        let spells: Vec<&Spell> = plan.spells.iter().filter(|s| s.task == id).collect();
        let Some(start) = spells.iter().map(|s| s.span().start()).min() else { continue };
        if problem.clock.day(start).number() != day {
            continue;
        }
        let steady = spells.windows(2).all(|w| w[0].team == w[1].team);
        let team = spells.first().filter(|_| steady).map_or(&[][..], |s| &s.team);
        let by: Vec<String> = team.iter().map(|p| problem.people[*p].code.clone()).collect();
        let at = problem.clock.day_time(start);
        let why = format!("holds the list of day {day}");
        pins.push(PinText { task: &task.code, by: &by, at: Some(&at), why: Some(&why), ..PinText::default() }.text());
    }
    pins
}

/// Whose pins stand in the way where there is no plan: tasks each of which, without what is decided about it, leaves
/// a plan; in words, if there are pins at all.
pub(super) fn in_the_way(problem: &Problem) -> Option<String> {
    let pinned: Vec<TaskId> = problem.tasks.pairs().filter(|(_, t)| t.pinned != Pinned::default()).map(|(id, _)| id).collect();
    if pinned.is_empty() {
        return None;
    }
    let free = |tasks: &[TaskId]| {
        let mut parts = problem.clone().into_parts();
        for task in tasks {
            parts.tasks[*task].pinned = Pinned::default();
        }
        let problem = Problem::new(parts).ok()?;
        let options = Options { seed: 0, patience: 0, bound: None, threads: 1, end: None };
        match engine::solve(&problem, &options, &mut Unwatched) {
            engine::Outcome::Found(solution) => Some((solution, problem)),
            engine::Outcome::Stuck(_) | engine::Outcome::NoRoster(_) => None,
        }
    };
    let ends = |(solution, problem): (Solution, Problem)| {
        let finish = solution.plan.spells.iter().map(|s| s.span().end()).max().unwrap_or(problem.start);
        problem.clock.day_time(finish)
    };
    let ways: Vec<String> = pinned
        .iter()
        .filter_map(|task| Some(format!("without what is decided about {} one ends {}", problem.tasks[*task].code, ends(free(&[*task])?))))
        .collect();
    let words = if !ways.is_empty() {
        format!("pins.toml stands in the way: {}, at the first try.", ways.join("; "))
    } else if let Some(found) = free(&pinned) {
        format!("pins.toml stands in the way: no single pin, but without all of them a plan ends {}, at the first try.", ends(found))
    } else {
        "pins.toml is not what stands in the way: without it none was found either.".to_owned()
    };
    Some(words)
}
