//! `turnto watches`: the watch roster, and what a choice about it costs the job.

use std::path::Path;

use crate::cli::args::Watches;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::interrupt::Interrupt;
use crate::cli::job::Job;
use crate::cli::solve::{SHORT, with_roster};
use crate::cli::trial::{Trial, planned};
use crate::cli::watch::Lookout;
use crate::cli::words::wrapped;
use crate::cli::write::write_set;
use crate::id::{PersonId, PostId};
use crate::input;
use crate::model::{Problem, Stand};
use crate::out::{self, Came, RosterView, Tried};
use crate::roster::{self, Options, Outcome, PersonRow};
use crate::time::{Minutes, Moment, Span};
use crate::variant::Variant;

/// Rosters, tries what was asked for beside it, prints or writes.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &Watches, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.steerable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    let variants = match variants(problem, asked) {
        Ok(variants) => variants,
        Err(words) => {
            console::complain(&words.join("\n"));
            return Ok(Exit::Wrong);
        }
    };
    let Some(time) = Span::new(problem.start, problem.end).filter(|_| !problem.turns.is_empty()) else {
        console::complain("there is no watch in this job: watches.toml names none");
        return Ok(Exit::Wrong);
    };
    if let Some(words) = job.log_left_out() {
        console.note(&wrapped(&words));
    }
    let interrupt = Interrupt::listen();
    let lookout = Lookout::new(console, &interrupt, None);
    let outcome = roster::solve(problem, &Options::default());
    lookout.tell("watches rostered");
    let people = roster::people(problem, &outcome.rosters[0].stands, time);
    let trial = Trial { seed: asked.seed, patience: SHORT, lookout: &lookout };
    let mut tried = Vec::new();
    if asked.job || !variants.is_empty() {
        tried.push(Tried { what: "as it is".to_owned(), came: Ok(came(problem, &outcome, time, None, asked.job.then_some(&trial))) });
        if asked.job {
            others(problem, &outcome, time, &people, &trial, &mut tried);
        }
        for (what, variant) in variants {
            let came = match variant.apply(problem) {
                Ok(changed) => {
                    let outcome = roster::solve(&changed, &Options { few: 1, ..Options::default() });
                    Ok(came(&changed, &outcome, time, Some(&people), asked.job.then_some(&trial)))
                }
                Err(refused) => Err(refused.to_string()),
            };
            tried.push(Tried { what, came });
        }
    }
    let explained = roster::explain(problem, &outcome.rosters[0].stands, time);
    let view = RosterView { problem, outcome: &outcome, time, explained: &explained, people: &people, tried: &tried };
    if let Some(folder) = &asked.write {
        write(folder, &view, console)?;
    } else {
        let text = if asked.json {
            out::roster_json(&view)
        } else if asked.csv {
            out::roster_csv(&view)
        } else if asked.sheet {
            out::roster_sheet(&view)
        } else {
            out::roster_text(&view)
        };
        console::answer(&text).map_err(|fault| vec![fault])?;
    }
    let short = !outcome.holes.is_empty() || interrupt.pressed();
    Ok(if short { Exit::Attention } else { Exit::Done })
}

/// The other rosters of the few, each with a plan of its own.
fn others(problem: &Problem, outcome: &Outcome, time: Span, people: &[PersonRow], trial: &Trial<'_>, tried: &mut Vec<Tried>) {
    for other in outcome.rosters.iter().skip(1) {
        let alone = Outcome { rosters: vec![other.clone()], ..outcome.clone() };
        let mut differs = Vec::new();
        for (id, turn) in problem.turns.pairs().filter(|(_, t)| time.contains(t.span.start())) {
            if let (Some(now), true) = (other.stands[id], outcome.rosters[0].stands[id] != other.stands[id]) {
                let post = &problem.posts[turn.post].code;
                let text = format!("{} on {post} {}", problem.people[now].code, problem.clock.day_time(turn.span.start()));
                differs.push(text);
            }
        }
        let more = differs.len().saturating_sub(4);
        differs.truncate(4);
        let more = if more > 0 { format!(" and {more} more turns") } else { String::new() };
        let what = format!("the next best roster: {}{more}", differs.join(", "));
        tried.push(Tried { what, came: Ok(came(problem, &alone, time, Some(people), Some(trial))) });
    }
}

/// What a roster comes to, and the whole plan with it where that is asked for.
fn came(problem: &Problem, outcome: &Outcome, time: Span, before: Option<&[PersonRow]>, trial: Option<&Trial<'_>>) -> Came {
    let best = &outcome.rosters[0];
    let rows = roster::people(problem, &best.stands, time);
    let inside = |turn: crate::id::TurnId| time.contains(problem.turns[turn].span.start());
    let holes: Vec<_> = outcome.holes.iter().filter(|h| inside(h.turn) && best.stands[h.turn].is_none()).collect();
    let code = |person: PersonId| problem.people[person].code.clone();
    let night = |rows: &[PersonRow], person: PersonId| rows.iter().find(|r| r.person == person).map_or(Minutes::ZERO, |r| r.night);
    let up = before.and_then(|before| {
        rows.iter().map(|r| (r.night - night(before, r.person), r.person)).max_by_key(|(more, p)| (*more, std::cmp::Reverse(*p)))
    });
    let least = rows.iter().min_by_key(|r| (r.rest.least_7d, r.person)).map(|r| (code(r.person), r.rest.least_7d));
    Came {
        uncovered: holes.iter().map(|h| problem.turns[h.turn].span.length()).sum(),
        first_hole: holes.iter().map(|h| problem.turns[h.turn].span.start()).min(),
        changes: best.costs.changes,
        nights: up.filter(|(more, _)| *more > Minutes::ZERO).map(|(more, person)| (code(person), more)),
        least_rest: least,
        job: trial.map(|trial| {
            if holes.is_empty() {
                let fixed = with_roster(problem, best);
                fixed.map_err(|d| d.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")).and_then(|fixed| planned(&fixed, trial))
            } else {
                Err("not planned, since turns are stood by nobody".to_owned())
            }
        }),
    }
}

/// Writes table, document, text and sheet into a folder; overwrites nothing.
fn write(folder: &Path, view: &RosterView<'_>, console: &Console) -> Result<(), Vec<Fault>> {
    let files = [
        ("watches.csv", out::roster_csv(view)),
        ("watches.json", out::roster_json(view)),
        ("watches.txt", out::roster_text(view)),
        ("watches-sheet.txt", out::roster_sheet(view)),
    ];
    write_set(folder, &files.map(|(name, text)| (name.to_owned(), text)))?;
    console.note(&format!("wrote watches.csv, watches.json, watches.txt and watches-sheet.txt into {}", folder.display()));
    Ok(())
}

/// What is asked for, each in the words it was asked in.
fn variants(problem: &Problem, asked: &Watches) -> Result<Vec<(String, Variant)>, Vec<String>> {
    let mut wrong = Vec::new();
    let mut list = Vec::new();
    let mut take = |what: String, made: Result<Variant, String>| match made {
        Ok(variant) => list.push((what, variant)),
        Err(words) => wrong.push(words),
    };
    for code in &asked.without {
        take(format!("without {code} on the watch"), person(problem, code).map(Variant::Without));
    }
    for phrase in &asked.double {
        let made = split(phrase).and_then(|(post, from, to)| {
            let post = self::post(problem, post)?;
            let from = moment(problem, from, Edge::Start)?;
            let to = to.map_or(Ok(problem.end), |to| moment(problem, to, Edge::End))?;
            let span = Span::new(from, to).ok_or_else(|| format!("`{phrase}` ends before it begins"))?;
            Ok(Variant::Double(post, span))
        });
        take(format!("two on {phrase}"), made);
    }
    for (phrases, word, make) in [
        (&asked.unattended, "unattended", Variant::Unattended as fn(PostId, Moment) -> Variant),
        (&asked.manned, "manned", Variant::Manned),
    ] {
        for phrase in phrases {
            let made = split(phrase).and_then(|(post, from, to)| match to {
                Some(_) => Err(format!("`{phrase}`: it holds to the end of the job; leave out `to`")),
                None => Ok(make(self::post(problem, post)?, moment(problem, from, Edge::Start)?)),
            });
            take(format!("{word}: {phrase}"), made);
        }
    }
    if wrong.is_empty() { Ok(list) } else { Err(wrong) }
}

/// `OOW from day 6 to day 7`, `OOW from day 3 20:00`.
fn split(phrase: &str) -> Result<(&str, &str, Option<&str>), String> {
    let (post, rest) = phrase.split_once(" from ").ok_or_else(|| format!("`{phrase}`: write it like \"OOW from day 6 to day 7\""))?;
    let (from, to) = rest.split_once(" to ").map_or((rest, None), |(from, to)| (from, Some(to)));
    Ok((post.trim(), from.trim(), to.map(str::trim)))
}

/// Which end of a day that is named without a time.
#[derive(Clone, Copy)]
enum Edge {
    Start,
    End,
}

fn moment(problem: &Problem, text: &str, edge: Edge) -> Result<Moment, String> {
    let clock = &problem.clock;
    let day = match edge {
        Edge::Start => format!("{text} 00:00"),
        Edge::End => format!("{text} 24:00"),
    };
    let at = input::moment(text, clock).or_else(|first| input::moment(&day, clock).map_err(|_| first))?;
    if at < problem.layout_end && at >= clock.day_span(clock.day(problem.start)).start() {
        Ok(at.max(problem.start))
    } else {
        let (from, to) = (clock.day_time(problem.start), clock.day_time(problem.layout_end));
        Err(format!("`{text}` is outside the job, which is laid out from {from} to {to}"))
    }
}

fn person(problem: &Problem, code: &str) -> Result<PersonId, String> {
    problem.people.find(|p| p.code == code).ok_or_else(|| {
        let on: Vec<&str> = (problem.people.pairs())
            .filter(|(id, _)| {
                problem.turns.iter().any(|t| match &t.stand {
                    Stand::Fixed(person) => person == id,
                    Stand::Open(people) => people.contains(id),
                })
            })
            .map(|(_, p)| p.code.as_str())
            .collect();
        format!("there is no person `{code}`; on watch are {}", on.join(", "))
    })
}

fn post(problem: &Problem, code: &str) -> Result<PostId, String> {
    let codes = || problem.posts.iter().map(|p| p.code.as_str()).collect::<Vec<_>>().join(", ");
    problem.posts.find(|p| p.code == code).ok_or_else(|| format!("there is no post `{code}`; there are {}", codes()))
}
