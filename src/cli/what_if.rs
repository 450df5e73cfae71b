//! `turnto what-if`: what one more of something would give, ranked by the labour model's prices and then planned.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use crate::bound::chain;
use crate::calendar::Hours;
use crate::cli::args::WhatIf;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::cli::interrupt::Interrupt;
use crate::cli::job::Job;
use crate::cli::latest::latest;
use crate::cli::solve::{CLOSER, SHORT};
use crate::cli::trial::{Trial, figures, planned};
use crate::cli::watch::Lookout;
use crate::id::{CompetenceId, PersonId, TaskId};
use crate::labour::{Premises, Priced, Reserve, prices, smallest_finish_unless};
use crate::model::Problem;
use crate::out::{self, Came, JobFigures, Tried};
use crate::time::{Minutes, Moment};
use crate::variant::{Variant, hangs_on, may_be_left_out};
use crate::verify::verify;

/// Ranks what could be had more of, plans the first few, prints what came of each.
///
/// # Errors
/// Files or streams cannot be read or written.
pub(super) fn run(asked: &WhatIf, console: &Console) -> Result<Exit, Vec<Fault>> {
    let job = Job::open(&asked.folder)?;
    let Some(problem) = job.steerable(&asked.folder, console) else { return Ok(Exit::Wrong) };
    let interrupt = Interrupt::listen();
    let lookout = Lookout::new(console, &interrupt, asked.time_limit);
    // What is left out is weighed against the whole job, so that one has to be planned well.
    let patience = if asked.leave_out { CLOSER } else { SHORT };
    let trial = Trial { seed: asked.seed, patience, lookout: &lookout };
    let base = planned(problem, &trial);
    let (ranked, mut notes) = match &base {
        _ if asked.leave_out => droppable(problem, base.as_ref().ok()),
        Ok(figures) => ranked(problem, figures, &lookout),
        // Without a plan to begin with there is nothing to be priced, and all are tried in their own order.
        Err(_) => (unpriced(problem, BTreeMap::new()), Vec::new()),
    };
    let came = |job| Came { uncovered: Minutes::ZERO, first_hole: None, changes: 0, nights: None, least_rest: None, job: Some(job) };
    let mut tried = vec![Tried { what: "as it is".to_owned(), came: Ok(came(base)) }];
    // What cannot be had is no use to anybody; what cannot be left out is said to be so.
    let possible = |variant: &Variant| asked.leave_out || variant.apply(problem).is_ok();
    for variant in ranked.into_iter().filter(possible).take(asked.first) {
        if lookout.cut().is_some() {
            notes.push("The run was stopped before all of them were planned.".to_owned());
            break;
        }
        let what = words(problem, variant);
        lookout.tell(&what);
        let came = variant.apply(problem).map(|changed| came(planned(&changed, &trial))).map_err(|refused| refused.to_string());
        tried.push(Tried { what, came });
    }
    notes.extend(job.log_left_out());
    notes.extend(newest(&job, problem, &asked.folder, &tried[0]));
    let order = if asked.leave_out {
        "The order is that of what the longest chain loses for each hour of labour left out. What is left out stays owing, and whether \
         it may be is for the engineer to say."
    } else {
        "The order is that of the labour model's prices, which only rank."
    };
    notes.push(format!(
        "Each line is a plan of its own, made by a short search and verified; what it says is the difference between two plans found, \
         not a proof. {order}"
    ));
    let text = if asked.json {
        out::tried_json(problem, "turnto-what-if/1", &tried)
    } else {
        let head = if asked.leave_out { "What leaving something out would give" } else { "What one more of something would give" };
        out::tried_text(problem, head, &tried, &notes)
    };
    console::answer(&text).map_err(|fault| vec![fault])?;
    let no_plan = matches!(tried[0].came.as_ref().map(|c| &c.job), Ok(Some(Err(_))));
    Ok(match (no_plan, lookout.cut()) {
        (true, _) => Exit::NoPlan,
        (false, Some(_)) => Exit::Attention,
        (false, None) => Exit::Done,
    })
}

/// What to say where the newest plan, searched for longer, is better than the one the others are compared with.
pub(super) fn newest(job: &Job, problem: &Problem, folder: &Path, base: &Tried) -> Option<String> {
    let found = latest(folder, job, problem).ok().flatten()?;
    let verified = verify(&found.problem, found.plan).ok()?;
    let (kept, first) = (figures(&verified), base.came.as_ref().ok()?.job.as_ref()?.as_ref().ok()?);
    let (better, still) = ahead(&kept, first, |at| problem.clock.day_time(at))?;
    Some(format!(
        "Plan {} in the folder came of a longer search and {better}. Only a line that {still} gains anything; what else is better than \
         line 1 a longer search gives as well.",
        found.name
    ))
}

/// In what the newest plan is ahead of line 1, shortfalls first, then dates, then the finish; and what a line must do to be
/// ahead of that plan.
fn ahead(newest: &JobFigures, first: &JobFigures, day: impl Fn(Moment) -> String) -> Option<(String, String)> {
    let worth = |figures: &JobFigures| (figures.machinery, figures.reserve, figures.late, figures.finish);
    if worth(newest) >= worth(first) {
        return None;
    }
    let ready = day(newest.finish);
    Some(if (newest.machinery, newest.reserve) == (0, 0) && (first.machinery, first.reserve) != (0, 0) {
        let still = if newest.late.is_zero() { format!("and is ready before {ready}") } else { "and is less late".to_owned() };
        ("lacks no machine and nobody to call, where line 1 does".to_owned(), format!("lacks none either {still}"))
    } else if (newest.machinery, newest.reserve) != (first.machinery, first.reserve) {
        ("lacks machines or people to call less than line 1".to_owned(), "lacks them less still".to_owned())
    } else if newest.late != first.late && newest.late.is_zero() {
        (format!("meets its dates, which line 1 misses by {}", first.late), format!("meets them too and is ready before {ready}"))
    } else if newest.late != first.late {
        (format!("is late by {}, line 1 by {}", newest.late, first.late), format!("is late by less than {}", newest.late))
    } else {
        (format!("is ready {ready}, line 1 {}", day(first.finish)), format!("is ready before {ready}"))
    })
}

/// Everything that could be had more of, dearest first, and what to say about the prices.
fn ranked(problem: &Problem, base: &JobFigures, lookout: &Lookout<'_>) -> (Vec<Variant>, Vec<String>) {
    let hours = if base.overtime.is_zero() { Hours::Ordinary } else { Hours::WithOvertime };
    let premises = Premises { hours, reserve: if base.reserve == 0 { Reserve::Kept } else { Reserve::Open } };
    // What is short shows at an end that is just too early.
    let smallest = smallest_finish_unless(problem, premises, Some(base.finish), &mut || lookout.cut().is_some());
    let early = smallest.ok().and_then(|s| s.refuted).unwrap_or(base.finish - problem.grid.slot());
    match prices(problem, premises, early).or_else(|_| prices(problem, premises, base.finish)) {
        Ok(list) => {
            let mut worth: BTreeMap<Variant, i64> = BTreeMap::new();
            let mut of_person: BTreeMap<PersonId, i64> = BTreeMap::new();
            for price in list {
                match price.of {
                    Priced::Person(person, _) => *of_person.entry(person).or_default() += price.worth,
                    Priced::Tool(tool, _) => *worth.entry(Variant::Tool(tool)).or_default() += price.worth,
                    Priced::Unbooked(_) => *worth.entry(Variant::LessUnbooked).or_default() += price.worth,
                    Priced::Evening(person) => *worth.entry(Variant::Evening(person)).or_default() += price.worth,
                }
            }
            for (person, sum) in &of_person {
                *worth.entry(Variant::Another(*person)).or_default() += sum;
            }
            for (variant, sum) in learners(problem, &of_person) {
                *worth.entry(variant).or_default() += sum;
            }
            (unpriced(problem, worth), Vec::new())
        }
        Err(why) => {
            (unpriced(problem, BTreeMap::new()), vec![format!("The labour model gave no prices ({why}), so the order says nothing.")])
        }
    }
}

/// For each competence that dear people bring to the job: the cheapest person without it who has hours on the job.
fn learners(problem: &Problem, of_person: &BTreeMap<PersonId, i64>) -> Vec<(Variant, i64)> {
    let worth = |p: PersonId| of_person.get(&p).copied().unwrap_or(0);
    let needed: Vec<CompetenceId> = problem.competences.ids().filter(|c| problem.tasks.iter().any(|t| t.needs.contains(c))).collect();
    let mut list = Vec::new();
    for competence in needed {
        // A competence that somebody cheap brings as well is not what is short.
        let Some(scarce) = problem.holders(competence).iter().map(|p| worth(*p)).min().filter(|w| *w > 0) else { continue };
        let others = problem.people.pairs().filter(|(_, p)| !p.holds(competence) && !p.stretches.is_empty()).map(|(id, _)| id);
        if let Some(person) = others.min_by_key(|p| (worth(*p), *p)) {
            list.push((Variant::Learns(person, competence), scarce - worth(person)));
        }
    }
    list.retain(|(_, gain)| *gain > 0);
    list
}

/// Those with a price, dearest first; then one of each kind of the others, so that nothing is left untried for want of a
/// price.
fn unpriced(problem: &Problem, worth: BTreeMap<Variant, i64>) -> Vec<Variant> {
    let mut list: Vec<(i64, Variant)> = worth.into_iter().map(|(variant, worth)| (-worth, variant)).collect();
    list.sort_unstable();
    let mut all: Vec<Variant> = list.into_iter().map(|(_, variant)| variant).collect();
    let busy = problem.people.ids().max_by_key(|p| {
        let needs = problem.tasks.iter().map(|t| t.needs.iter().filter(|c| problem.people[*p].holds(**c)).count()).sum::<usize>();
        (needs, std::cmp::Reverse(*p))
    });
    let rest = problem.tools.ids().map(Variant::Tool).chain(busy.map(Variant::Another)).chain([Variant::LessUnbooked]);
    for variant in rest.chain(busy.map(Variant::Evening)) {
        if !all.contains(&variant) {
            all.push(variant);
        }
    }
    all
}

/// What of the chain that holds the finish may be left out, with what hangs on it: what shortens the chain most for each
/// hour of labour first; and what to say where there is nothing.
fn droppable(problem: &Problem, base: Option<&JobFigures>) -> (Vec<Variant>, Vec<String>) {
    let hours = if base.is_some_and(|b| b.overtime.is_zero()) { Hours::Ordinary } else { Hours::WithOvertime };
    let Ok(whole) = chain(problem, hours) else { return (Vec::new(), vec!["No chain fits, so none can be shortened.".to_owned()]) };
    let mut seen: BTreeSet<Vec<TaskId>> = BTreeSet::new();
    let mut list: Vec<(i64, i64, Variant)> = Vec::new();
    for link in whole.links.iter().filter(|link| may_be_left_out(problem, link.task)) {
        let gone = hangs_on(problem, link.task);
        let slots: i64 =
            gone.iter().map(|t| &problem.tasks[*t]).map(|t| i64::from(t.length.count()) * i64::try_from(t.needs.len()).unwrap_or(0)).sum();
        let variant = Variant::LeaveOut(link.task);
        if !seen.insert(gone) {
            continue;
        }
        let Ok(changed) = variant.apply(problem) else { continue };
        let gain = chain(&changed, hours).map_or(0, |chain| i64::from((whole.at - chain.at).get()));
        list.push((-(gain * 1000 / slots.max(1)), slots, variant));
    }
    list.sort_unstable();
    let mut notes = Vec::new();
    if list.is_empty() {
        notes.push(
            "Nothing on the longest chain may be left out: no task of it says `close_up = \"leave out\"` in tasks.toml, or a milestone \
             waits for it, or it takes a machine out."
                .to_owned(),
        );
    }
    (list.into_iter().map(|(_, _, variant)| variant).collect(), notes)
}

/// What is tried, in words.
pub(super) fn words(problem: &Problem, variant: Variant) -> String {
    let person = |p: PersonId| problem.people[p].code.clone();
    match variant {
        Variant::Another(p) => format!("one more like {}, without watches", person(p)),
        Variant::Learns(p, c) => format!("{} can do {} as well", person(p), problem.competences[c].code),
        Variant::Tool(tool) => format!("one more {}", problem.tools[tool].code),
        Variant::Evening(p) => format!("one more evening of overtime for {}", person(p)),
        Variant::LessUnbooked => "one hour a day less left unbooked".to_owned(),
        Variant::Without(p) => format!("without {} on the watch", person(p)),
        Variant::Double(post, _) => format!("two on {}", problem.posts[post].code),
        Variant::Unattended(post, _) => format!("{} unattended", problem.posts[post].code),
        Variant::Manned(post, _) => format!("{} manned day and night", problem.posts[post].code),
        Variant::LeaveOut(task) => {
            let others: Vec<&str> =
                hangs_on(problem, task).into_iter().filter(|t| *t != task).map(|t| problem.tasks[t].code.as_str()).collect();
            let with = if others.is_empty() { String::new() } else { format!(", and what hangs on it: {}", others.join(", ")) };
            format!("without {} ({}){with}", problem.tasks[task].code, problem.tasks[task].text)
        }
        Variant::Drop(requirement) => crate::cli::refusal::words(problem, requirement),
    }
}

#[cfg(test)]
mod tests;
