//! `turnto replan`: plans what is left from a moment on, and says what changed.

use std::path::Path;

use crate::account::Account;
use crate::cli::args::Replan;
use crate::cli::console::{self, Console};
use crate::cli::decide::{decide, in_time, is_good, told_stands};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::interrupt::Interrupt;
use crate::cli::job::Job;
use crate::cli::papers::{About, papers};
use crate::cli::solve::TOLD;
use crate::cli::standing::{Stands, no_remainder, standing};
use crate::cli::watch::Lookout;
use crate::cli::words::{counted, wrapped};
use crate::cli::write::Berth;
use crate::id::PersonId;
use crate::input;
use crate::model::{Event, Problem, Stand, Turn};
use crate::out;
use crate::replan::{Remainder, State, Whole, changes, remainder};
use crate::time::{Minutes, Moment, Span};
use crate::verify::verify;

/// Plans the remainder, verifies, writes, says what changed.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Replan, console: &Console) -> Result<Exit, Vec<Fault>> {
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
    let mut rest = match remainder(&stands.whole, &stands.standing, now, job.reading.log.entries.len()) {
        Ok(rest) => rest,
        Err(ref why @ crate::replan::NoRemainder::Impossible { ref limits, .. }) => {
            let proved = if limits.is_empty() { ", proved" } else { "" };
            console::complain(&wrapped(&format!("No legal plan{proved}: {}.", no_remainder(problem, why))));
            for limit in limits {
                console::complain(&wrapped(limit));
            }
            return Ok(Exit::NoPlan);
        }
        Err(why) => return wrong(&no_remainder(problem, &why)),
    };
    let odd = taken_out(&stands).into_iter().chain(doubts(&stands.whole, &rest));
    rest.notes.extend(odd);
    if !rest.news
        && let Some(told) = told_stands(&rest.problem)
        && (is_good(&rest.problem, told.account()) || told_account(&stands.standing).is_some_and(|whole| was_good(told.account(), &whole)))
    {
        for words in &rest.notes {
            console.note(words);
        }
        return stands_as_it_is(asked, &stands, problem, now);
    }
    replan(asked, &job, &stands, rest, console)
}

/// Says so where the log has fewer entries than the plan that stands was made with.
fn taken_out(stands: &Stands) -> Option<String> {
    let (now, then) = (stands.whole.log.entries.len(), stands.standing.entries);
    (now < then).then(|| {
        format!(
            "Plan {} was made with {}, and the log has {now}: what was taken out counts as never said, also for what was done \
             since. Put it back and log what is so now, such as `fit`, `back` or `returned`, unless it never happened.",
            stands.name,
            counted(then, "log entry")
        )
    })
}

/// What is odd about the log at the moment, one sentence each: entries that have not happened by then, and tasks that are
/// done before what they come after.
fn doubts(whole: &Whole, rest: &Remainder) -> Vec<String> {
    let mut said = Vec::new();
    let ahead: Vec<_> = whole.log.entries.iter().take(rest.entries).filter(|entry| entry.at > rest.problem.start).collect();
    if let Some(first) = ahead.iter().min_by_key(|entry| entry.at) {
        let now = rest.problem.clock.day_time(rest.problem.start);
        let first = out::entry_line(whole, first).split_whitespace().collect::<Vec<_>>().join(" ");
        said.push(match ahead.len() {
            1 => format!("An entry of the log lies after {now} and is left out: {first}."),
            count => format!("{count} entries of the log lie after {now} and are left out, the first of them: {first}."),
        });
    }
    for (id, task) in whole.parts.tasks.pairs().filter(|(id, _)| matches!(rest.left[*id].state, State::Done(_))) {
        for after in task.after.iter().filter(|after| rest.left[after.task].is_open()) {
            let (code, before) = (&whole.parts.tasks[id].code, &whole.parts.tasks[after.task].code);
            said.push(format!("{code} counts as done and comes after {before}, which does not: see whether `done {before}` is missing."));
        }
    }
    said
}

/// Whether nothing is late in what is left of a plan that was good as a whole. What is left of a day is asked for unbooked
/// hours in proportion, and they may have been in the part that is over: where nothing has happened, nothing is missing.
fn was_good(left: &Account, whole: &Account) -> bool {
    whole.shortfalls.is_empty() && in_time(whole) && in_time(left)
}

/// Nothing has happened to the plan people have: it is not written once more.
fn stands_as_it_is(asked: &Replan, stands: &Stands, problem: &Problem, now: Moment) -> Result<Exit, Vec<Fault>> {
    let name = &stands.name;
    if asked.json {
        let file = asked.folder.join("plan").join(name).join("plan.json");
        let text = crate::cli::files::read_text(&file).map_err(|fault| vec![fault])?;
        console::answer(&text).map_err(|fault| vec![fault])?;
    } else {
        let words = format!(
            "Plan {name} stands unchanged at {}: nothing is logged that bears on it, it is legal, and no date can be met better.",
            problem.clock.day_time(now)
        );
        console::answer(&format!("{}\n", wrapped(&words))).map_err(|fault| vec![fault])?;
    }
    Ok(Exit::Done)
}

fn replan(asked: &Replan, job: &Job, stands: &Stands, mut rest: Remainder, console: &Console) -> Result<Exit, Vec<Fault>> {
    let interrupt = Interrupt::listen();
    let berth = Berth::take(&asked.folder, &interrupt).map_err(|fault| vec![fault])?;
    let lookout = Lookout::new(console, &interrupt, asked.search.time_limit);
    let (verified, cut_by) = match decide(&rest.problem, asked.search.seed, asked.effort.of(TOLD), &lookout) {
        Ok(decided) => decided,
        Err(_) if interrupt.pressed() => {
            console::complain("stopped before there was a plan; nothing was written");
            return Ok(Exit::Interrupted);
        }
        Err(words) => {
            for words in [&words].into_iter().chain(&rest.notes).chain(&relief(&asked.folder, &stands.whole, &rest)) {
                console::complain(&wrapped(words));
            }
            return Ok(Exit::NoPlan);
        }
    };
    lookout.tell(&format!("search ended, plan verified: finish {}", rest.problem.clock.day_time(verified.account().finish)));
    let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let about = About {
        number: berth.number(),
        based_on: stands.name.parse().ok(),
        log_entries: Some(number(rest.entries)),
        seed: asked.search.seed,
        sha256: job.sha256.clone(),
        cut_by,
        notes: std::mem::take(&mut rest.notes),
    };
    let notes = about.notes.clone();
    let papers = papers(&rest.problem, &verified, about, &lookout);
    let changed = changes(&stands.whole, &rest, verified.plan());
    let told = told_account(&stands.standing);
    let sheet = out::ChangeSheet {
        whole: &stands.whole,
        rest: &rest,
        account: verified.account(),
        told: told.as_ref().map(|account| (&stands.standing.problem, account)),
        changes: &changed,
        old: &stands.name,
        new: berth.number(),
        earliest: &papers.earliest,
        machines_short: papers.machines_short,
        notes: &notes,
    };
    let (screen, full) = (out::changes_screen(&sheet), out::changes_text(&sheet));
    let mut files = papers.files;
    files.push(("changes.txt", full));
    files.push(("changes.json", out::changes_json(&sheet)));
    let home = berth.fill(&files).map_err(|fault| vec![fault])?;
    let answered = console::answer(if asked.json { &papers.json } else { &screen });
    console.note(&format!("wrote {}: days.txt is the daily plan from now on, changes.txt all that changed", home.display()));
    answered.map_err(|fault| vec![fault])?;
    Ok(papers.exit)
}

/// Where there is no plan: how those who were called out are relieved of watches that are theirs alone, within a day after the
/// call, in which they may be short of rest.
fn relief(folder: &Path, whole: &Whole, rest: &Remainder) -> Vec<String> {
    let (problem, clock) = (&rest.problem, &rest.problem.clock);
    let calls = whole.log.entries.iter().take(rest.entries).filter_map(|entry| match &entry.event {
        Event::Call(person, to) => Some((*person, *to)),
        _ => None,
    });
    let last = |person: PersonId| calls.clone().filter(|(who, _)| *who == person).map(|(_, to)| to).max();
    let relieved = problem.people.ids().filter_map(|person| {
        let called = last(person)?;
        let near = Span::new(problem.start, called + Minutes::DAY)?;
        let own = |turn: &&Turn| matches!(turn.stand, Stand::Fixed(who) if who == person) && turn.span.overlaps(near);
        let first = problem.turns.iter().filter(own).min_by_key(|turn| turn.span.start())?;
        let (code, post) = (&problem.people[person].code, &problem.posts[first.post].code);
        let (at, until) = (clock.day_time(problem.start), clock.day_time(called + Minutes::hours(10)));
        Some(format!(
            "{code}, called out until {}, has the watch {post} at {}. If others are to stand it so that {code} can rest, log that: turnto log \
             {} --at \"{at}\" unfit {code} until=\"{until}\"",
            clock.day_time(called),
            clock.day_time(first.span.start()),
            folder.display()
        ))
    });
    relieved.collect()
}

/// What the plan people were told came to when it was made.
fn told_account(standing: &crate::replan::Standing) -> Option<Account> {
    verify(&standing.problem, standing.plan.clone()).ok().map(|verified| verified.account().clone())
}
