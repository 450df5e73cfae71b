//! Starts that are decided, held against the calendars: at some times no team can begin, whatever else is planned.

use crate::calendar::{Fit, Hours, People, State};
use crate::diag::{Code, Diagnostic, Place};
use crate::id::{CompetenceId, PersonId, TaskId};
use crate::model::{Event, Log, Problem};
use crate::time::Span;

/// How many people are named.
const MOST_NAMED: usize = 6;

/// Reports each of `starts` at which the task cannot begin, with the nearest times at which it could. Of what the log speaks
/// something else may be left than the job says, and where it moves a duty or changes a mode, others are free than the job says:
/// then nothing is said.
pub(super) fn that_cannot_be(problem: &Problem, starts: &[(TaskId, Place)], log: &Log) -> Vec<Diagnostic> {
    let otherwise = |task: TaskId| {
        log.entries.iter().any(|entry| match &entry.event {
            Event::Started(t, _) | Event::Stopped(t) | Event::Done(t) | Event::ToGo(t, _) | Event::Dropped(t) | Event::Found(t, _) => {
                *t == task
            }
            Event::Moved(..) | Event::Mode(..) => true,
            Event::Out(..)
            | Event::Back(_)
            | Event::Unfit(..)
            | Event::Limited(..)
            | Event::Fit(_)
            | Event::Gone(..)
            | Event::Returned(_)
            | Event::Call(..)
            | Event::Due(..)
            | Event::Note => false,
        })
    };
    let open: Vec<(TaskId, Place)> = starts.iter().copied().filter(|(task, _)| !otherwise(*task)).collect();
    if open.is_empty() {
        return Vec::new();
    }
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, Hours::WithOvertime);
    open.into_iter().filter_map(|(task, place)| amiss(problem, &fit, task, place)).collect()
}

/// What is the matter with the start of one task, if anything.
fn amiss(problem: &Problem, fit: &Fit<'_>, task: TaskId, place: Place) -> Option<Diagnostic> {
    let (own, range) = (&problem.tasks[task], fit.people().range());
    let at = range.from(own.pinned.start?);
    if fit.begins(task, at) {
        return None;
    }
    let say = |slot: usize| problem.clock.day_time(range.moment(slot));
    let (why, who) = reason(problem, fit, task, at);
    let message = format!("{} cannot start {}: {why}", own.code, say(at));
    let mut diagnostic = Diagnostic::new(Code::PinnedImpossible, message).at(place, "no plan can keep this start");
    if !who.is_empty() {
        diagnostic = diagnostic.help(format!("then {who}"));
    }
    let before = (0..at.min(range.len())).rev().find(|slot| fit.begins(task, *slot));
    let after = (at + 1..range.len()).find(|slot| fit.begins(task, *slot));
    let times: Vec<String> = before.into_iter().chain(after).map(say).collect();
    let bound = if own.pinned.team.is_empty() { "" } else { " with who is put on it" };
    Some(diagnostic.help(match times.as_slice() {
        [] => format!("it cannot start at any time{bound}; take the pin out"),
        times => format!(
            "the nearest {} at which it could start{bound}: {}",
            if times.len() == 1 { "time" } else { "times" },
            times.join(" and ")
        ),
    }))
}

/// Why a task cannot begin with slot `at`, and what keeps people from it then.
fn reason(problem: &Problem, fit: &Fit<'_>, task: TaskId, at: usize) -> (String, String) {
    let (own, range) = (&problem.tasks[task], fit.people().range());
    let slot = Span::of(range.moment(at), range.slot());
    let meets = |span: Span| slot.is_some_and(|slot| slot.overlaps(span));
    if let Some(ban) = problem.bans.iter().find(|ban| meets(ban.span) && ban.tags.iter().any(|tag| own.tags.contains(tag))) {
        return (format!("such work is banned then{}", ban.because()), String::new());
    }
    if let Some((tool, _)) = own.tools.iter().find(|(tool, _)| problem.tools[*tool].away.iter().any(|away| meets(*away))) {
        return (format!("{} is away then", problem.tools[*tool].code), String::new());
    }
    if let Some(post) = own.attended_by.filter(|post| !problem.posts[*post].manned.iter().any(|span| meets(*span))) {
        return (format!("nobody is at {}, who attends it, then", problem.posts[post].code), String::new());
    }
    let works = |person: PersonId| fit.people().state(person, at).works(fit.hours(), own.emergency);
    let mut competences: Vec<CompetenceId> = own.needs.clone();
    competences.sort_unstable();
    competences.dedup();
    for competence in competences {
        let places: Vec<usize> = (0..own.needs.len()).filter(|need| own.needs[*need] == competence).collect();
        let may = |person: &PersonId| places.iter().any(|need| own.lets(*need, *person));
        let (there, not): (Vec<PersonId>, Vec<PersonId>) =
            problem.holders(competence).iter().copied().filter(may).partition(|person| works(*person));
        if there.len() < places.len() {
            let code = &problem.competences[competence].code;
            let why = match there.len() {
                0 => format!("nobody who may do it as {code} can be at work then"),
                some => format!("it needs {} {code}, and of those who may do it {some} can be at work then", places.len()),
            };
            return (why, names(problem, fit, &not, at));
        }
    }
    ("no team of those who may do it can be at work then for as long as it has to go on".to_owned(), String::new())
}

/// What each of some people does in slot `at`.
fn names(problem: &Problem, fit: &Fit<'_>, people: &[PersonId], at: usize) -> String {
    let mut said: Vec<String> = people
        .iter()
        .take(MOST_NAMED)
        .map(|person| {
            let does = match fit.people().state(*person, at) {
                State::Away => "is away",
                State::Taken => "is on watch or duty",
                State::Break => "has a break",
                State::Off | State::Ordinary | State::Overtime => "is off",
            };
            format!("{} {does}", problem.people[*person].code)
        })
        .collect();
    if people.len() > MOST_NAMED {
        said.push(format!("{} more are not free", people.len() - MOST_NAMED));
    }
    said.join(", ")
}
