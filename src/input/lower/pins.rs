//! `pins.toml`: what the officer in charge has decided himself about tasks.

use std::collections::BTreeMap;

use crate::diag::{Code, Diagnostic, Place};
use crate::id::{IdVec, PersonId, TaskId};
use crate::input::index::Index;
use crate::input::raw::pins::Pin;
use crate::input::sink::Sink;
use crate::input::team::fillable_by;
use crate::input::text::Text;
use crate::input::times::Times;
use crate::model::{Person, Task};
use crate::time::Moment;

/// What pins are understood with.
pub(in crate::input) struct PinContext<'a> {
    /// All codes.
    pub index: &'a Index,
    /// The crew.
    pub people: &'a IdVec<PersonId, Person>,
    /// Whose hours could not be read.
    pub unread: &'a [PersonId],
    /// Times of the job.
    pub times: &'a Times,
    /// Where errors go.
    pub sink: &'a Sink,
}

/// Puts decisions on the tasks they are about; gives the starts that were decided, each with its place.
pub(in crate::input) fn pins(raw: &[Pin], tasks: &mut IdVec<TaskId, Task>, context: &PinContext<'_>) -> Vec<(TaskId, Place)> {
    let mut starts: Vec<(TaskId, Place)> = Vec::new();
    // Those put on a task without a word of which place, who take what is left by all other decisions.
    let mut anywhere: BTreeMap<TaskId, Vec<Wish<'_>>> = BTreeMap::new();
    for pin in raw {
        let Some(task) = pin.task.as_ref().and_then(|t| context.index.tasks.find(t, context.sink)) else { continue };
        if tasks.get(task).is_none() {
            continue;
        }
        let row = &mut tasks[task];
        start(pin, row, context);
        starts.extend(pin.at.as_ref().filter(|_| row.pinned.start.is_some()).map(|at| (task, at.place)));
        for person in &pin.not {
            let Some(id) = context.index.people.find(person, context.sink) else { continue };
            row.pinned.off.extend((0..row.needs.len()).map(|need| (need, id)));
            row.pinned.off.sort_unstable();
            row.pinned.off.dedup();
            still_a_team(person, row, context);
        }
        for person in &pin.by {
            let Some(id) = context.index.people.find(person, context.sink) else { continue };
            let wish = Wish { person, id, pin };
            if pin.fills.is_none() {
                anywhere.entry(task).or_default().push(wish);
            } else if put(&wish, row, context) {
                still_a_team(person, row, context);
            }
        }
    }
    for (task, wishes) in anywhere {
        put_anywhere(&wishes, &mut tasks[task], context);
    }
    against_the_order(&starts, tasks, context);
    starts
}

/// Says so where a start lies before what it comes after can be done, that having a start of its own.
fn against_the_order(starts: &[(TaskId, Place)], tasks: &IdVec<TaskId, Task>, context: &PinContext<'_>) {
    if starts.len() < 2 {
        return;
    }
    // When a task can begin at the earliest after one with a start of its own, and which that is. Where tasks wait for one
    // another in a circle, which is said elsewhere, it is enough that this comes to an end.
    let mut earliest: IdVec<TaskId, Option<(Moment, TaskId)>> = IdVec::filled(None, tasks.len());
    for _ in tasks.ids() {
        let before = earliest.clone();
        for (id, task) in tasks.pairs() {
            let done = |before: TaskId| {
                let task = tasks.get(before)?;
                let (from, first) = task.pinned.start.map(|at| (at, before)).or(earliest[before])?;
                Some((from + context.times.grid.length(task.length), first))
            };
            let ends = task.after.iter().filter_map(|after| done(after.task).map(|(end, first)| (end + after.lag, first)));
            earliest[id] = ends.max();
        }
        if before == earliest {
            break;
        }
    }
    for (id, place) in starts {
        let Some((from, first)) = earliest[*id].filter(|(from, _)| tasks[*id].pinned.start.is_some_and(|at| at < *from)) else { continue };
        let message = format!("{} is to start before {} and what lies between can be done", tasks[*id].code, tasks[first].code);
        let said = format!("not before {}", context.times.say(from));
        let diagnostic = Diagnostic::new(Code::PinnedTwice, message).at(*place, said);
        let other = starts.iter().find(|(task, _)| *task == first);
        let diagnostic = other.map_or(diagnostic.clone(), |(_, place)| diagnostic.also(*place, "with this start"));
        context.sink.put(diagnostic.help("take one of the two pins out, or move it"));
    }
}

fn start(pin: &Pin, task: &mut Task, context: &PinContext<'_>) {
    let Some(at) = &pin.at else { return };
    let Some(moment) = context.times.moment_in_job(at, "the start", context.sink) else { return };
    let say = |code, message: String, help: &str| context.sink.say(code, message, at.place, "", help);
    if !context.times.grid.aligned(moment) {
        let slot = context.times.grid.slot();
        say(Code::OffSlot, format!("{} cannot start off the slots of {slot}", task.code), "write a time on a slot");
    } else if task.pinned.start.is_some_and(|before| before != moment) {
        let message = format!("{} is to start at two different times", task.code);
        say(Code::PinnedTwice, message, "take one of the two pins out");
    } else if task.not_before.is_some_and(|from| moment < from) {
        let message = format!("{} is to start before its own `not_before`", task.code);
        say(Code::PinnedImpossible, message, "correct `at`, or `not_before` of the task");
    } else if task.not_after.is_some_and(|to| moment + context.times.grid.length(task.length) > to) {
        let message = format!("{} is to start too late to be done by its own `not_after`", task.code);
        say(Code::PinnedImpossible, message, "correct `at`, or `not_after` of the task");
    } else {
        task.pinned.start = Some(moment);
    }
}

/// Somebody to be put on a task.
struct Wish<'a> {
    person: &'a Text,
    id: PersonId,
    pin: &'a Pin,
}

/// Puts people on the first positions that can be theirs and leave a team; where there are none, one after the other.
fn put_anywhere(wishes: &[Wish<'_>], task: &mut Task, context: &PinContext<'_>) {
    let mut who: Vec<PersonId> = Vec::new();
    for id in wishes.iter().map(|wish| wish.id).filter(|id| task.pinned.team.iter().all(|(_, p)| p != id)) {
        if !who.contains(&id) {
            who.push(id);
        }
    }
    let seated = who.iter().all(|id| !idle(*id, task, context)).then(|| seats(&who, task.clone(), context)).flatten();
    if let Some(team) = seated {
        task.pinned.team = team;
        task.pinned.anywhere = who;
        task.pinned.anywhere.sort_unstable();
        return;
    }
    // What leaves no team by itself was said where it stands.
    let said = !is_a_team(task, context);
    for wish in wishes {
        if put(wish, task, context) && !said {
            still_a_team(wish.person, task, context);
        }
    }
}

/// The team decided for `task` with `who` on it as well, so that the places left can be filled; the first such in order of
/// places.
fn seats(who: &[PersonId], mut task: Task, context: &PinContext<'_>) -> Option<Vec<(usize, PersonId)>> {
    let Some((id, rest)) = who.split_first() else {
        task.pinned.team.sort_unstable();
        return is_a_team(&task, context).then_some(task.pinned.team);
    };
    let holds = |need: usize| context.people.get(*id).is_some_and(|p| p.holds(task.needs[need]));
    (0..task.needs.len()).filter(|need| holds(*need) && task.lets(*need, *id)).find_map(|need| {
        let mut with = task.clone();
        with.pinned.team.push((need, *id));
        seats(rest, with, context)
    })
}

/// Whether somebody has no hours for a task.
fn idle(id: PersonId, task: &Task, context: &PinContext<'_>) -> bool {
    let no_hours = context.people.get(id).is_some_and(|p| p.stretches.is_empty()) && !context.unread.contains(&id);
    no_hours && !task.emergency && context.times.known
}

/// Puts a person on the first position that can be his, those put on the task before moving up where they must;
/// whether somebody was put there anew.
fn put(wish: &Wish<'_>, task: &mut Task, context: &PinContext<'_>) -> bool {
    let Wish { person, id, pin } = *wish;
    if task.pinned.team.iter().any(|(_, p)| *p == id) {
        return false;
    }
    if idle(id, task, context) && !unsure(person, task, context) {
        let message = format!("{} has no hours for {}", person.as_str(), task.code);
        let help = "put somebody else on it, or give the person hours in crew.toml";
        context.sink.say(Code::PinnedImpossible, message, person.place(), "stands watches or duties alone", help);
        return false;
    }
    let wanted = match &pin.fills {
        Some(text) => match context.index.competences.find(text, context.sink) {
            Some(competence) => Some(competence),
            None => return false,
        },
        None => None,
    };
    let holds = |need: usize, who: PersonId| context.people.get(who).is_some_and(|p| p.holds(task.needs[need]));
    let off = &task.pinned.off;
    let may = |need: usize| wanted.is_none_or(|w| task.needs[need] == w) && holds(need, id) && !off.contains(&(need, id));
    let free = |need: &usize| task.pinned.team.iter().all(|(n, _)| n != need);
    let taken = |need: usize| task.pinned.team.iter().position(|(n, _)| *n == need);
    let open = (0..task.needs.len()).find(|need| may(*need) && free(need));
    // One who was put there without a word of which place makes room where he fits another.
    let swap = || {
        (0..task.needs.len()).filter(|need| may(*need)).find_map(|need| {
            let at = taken(need)?;
            let other = (0..task.needs.len()).find(|n| free(n) && holds(*n, task.pinned.team[at].1))?;
            Some((need, at, other))
        })
    };
    if let Some(need) = open {
        task.pinned.team.push((need, id));
    } else if let Some((need, at, other)) = swap() {
        task.pinned.team[at].0 = other;
        task.pinned.team.push((need, id));
    } else {
        let message = format!("there is no place in {} for {}", task.code, person.as_str());
        let help = "put somebody on it who holds what it needs, or change `for`; each place takes one person";
        if !unsure(person, task, context) {
            context.sink.say(Code::PinnedImpossible, message, person.place(), "cannot be put on this task", help);
        }
        return false;
    }
    task.pinned.team.sort_unstable();
    true
}

/// Whether what the task needs, or what the person can do and when, was not wholly read.
fn unsure(person: &Text, task: &Task, context: &PinContext<'_>) -> bool {
    let places = [context.index.people.place(person.as_str()), context.index.tasks.place(&task.code)];
    places.into_iter().flatten().any(|place| context.sink.is_unsure(place))
}

/// Says so where what was decided leaves no team of different people.
fn still_a_team(person: &Text, task: &Task, context: &PinContext<'_>) {
    if context.index.people.unsure() || unsure(person, task, context) || is_a_team(task, context) {
        return;
    }
    let message = format!("what is decided about {} leaves no team for it", task.code);
    let help = "take a pin of this task out, or give somebody else what it needs";
    context.sink.say(Code::PinnedImpossible, message, person.place(), "with this, places stay empty", help);
}

/// Whether what was decided leaves a team of different people.
fn is_a_team(task: &Task, context: &PinContext<'_>) -> bool {
    let able = |need: usize, id: PersonId| context.people[id].holds(task.needs[need]) && task.lets(need, id);
    fillable_by(context.people, task.needs.len(), able) == task.needs.len()
}
