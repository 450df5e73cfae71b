//! Changes and log entries in words.

use crate::model::{Entry, Event, Problem, Tool};
use crate::out::page::TIE;
use crate::out::words::tied;
use crate::replan::{Act, Reason, Whole};
use crate::time::{Minutes, Moment, Span};

/// `day 4 15:00-16:30`, with the day of the end where it is another.
pub(super) fn day_from_to(problem: &Problem, span: Span) -> String {
    let clock = &problem.clock;
    let (from, day) = (clock.day_time(span.start()), clock.day(span.start()));
    if clock.day_span(day).end() == span.end() { format!("{from}-24:00") } else { format!("{from}-{}", clock.hour(span.end())) }
}

/// What somebody was to do, in short.
pub(super) fn act_code(whole: &Whole, problem: &Problem, act: Act) -> String {
    match act {
        Act::Task(task) => problem.tasks[task].code.clone(),
        Act::Gone(task) => whole.parts.tasks[task].code.clone(),
        Act::Turn(turn) => format!("watch{TIE}{}", problem.posts[problem.turns[turn].post].code),
        Act::Free => "free".to_owned(),
    }
}

/// What somebody does, with its text.
pub(super) fn act(whole: &Whole, problem: &Problem, act: Act) -> String {
    match act {
        Act::Task(task) => format!("{} {}", problem.tasks[task].code, problem.tasks[task].text),
        Act::Gone(_) | Act::Turn(_) | Act::Free => act_code(whole, problem, act),
    }
}

/// Why a task is not as told.
pub(super) fn reason(whole: &Whole, problem: &Problem, reason: Reason) -> String {
    let person = |p: crate::id::PersonId| problem.people[p].code.as_str();
    let task = |t: crate::id::TaskId| problem.tasks[t].code.as_str();
    let tool = |t: crate::id::ToolId| problem.tools[t].code.as_str();
    match reason {
        Reason::New(position) => format!("new, {}", logged(whole, position)),
        Reason::Logged(position) => logged(whole, position),
        Reason::Unfit(who) => format!("{} is not fit for it", person(who)),
        Reason::Called(who) => format!("{} has to rest after the call-out", person(who)),
        Reason::ToolGone(what) => format!("{} cannot be had", tool(what)),
        Reason::PersonOn(who, other) => format!("{} is on {} then", person(who), task(other)),
        Reason::ToolOn(what, other) => format!("{} is with {} then", tool(what), task(other)),
        Reason::After(other) => format!("comes after {}, which ends later", task(other)),
        Reason::Earlier => "can be done earlier".to_owned(),
        Reason::Undone => "was not done when it was told".to_owned(),
        Reason::Room => "makes room for reserve, rest or what had to move".to_owned(),
    }
}

pub(super) fn logged(whole: &Whole, position: usize) -> String {
    whole.log.entries.get(position).map_or_else(String::new, |e| entry(whole, e))
}

/// An entry in words, its own note behind them.
pub(in crate::out) fn entry(whole: &Whole, entry: &Entry) -> String {
    let from = entry.from.map_or_else(String::new, |at| format!(" from {}", tied(&whole.parts.clock.day_time(at))));
    let said = event(whole, &entry.event, &from);
    match (said.is_empty(), entry.note.is_empty()) {
        (true, _) => entry.note.clone(),
        (false, true) => said,
        (false, false) => format!("{said}: {}", entry.note),
    }
}

fn event(whole: &Whole, event: &Event, from: &str) -> String {
    let parts = &whole.parts;
    let at = |moment: &Moment| tied(&parts.clock.day_time(*moment));
    let until = |moment: &Option<Moment>| moment.as_ref().map_or_else(String::new, |m| format!(" until {}", at(m)));
    let hours = |length: &Minutes| tied(&length.to_string());
    let task = |t: &crate::id::TaskId| parts.tasks[*t].code.as_str();
    let person = |p: &crate::id::PersonId| parts.people[*p].code.as_str();
    match event {
        Event::Started(t, by) if by.is_empty() => format!("{} started", task(t)),
        Event::Started(t, by) => format!("{} started by {}", task(t), by.iter().map(person).collect::<Vec<_>>().join(", ")),
        Event::Stopped(t) => format!("{} broken off", task(t)),
        Event::Done(t) => format!("{} done", task(t)),
        Event::ToGo(t, length) => format!("{}: {} to go", task(t), hours(length)),
        Event::Dropped(t) => format!("{} will not be done", task(t)),
        Event::Found(t, length) => format!("{}: {} more", task(t), hours(length)),
        Event::Out(unit, end) => format!("{} out{from}{}", parts.units[*unit].code, until(end)),
        Event::Back(unit) => format!("{} able again", parts.units[*unit].code),
        Event::Unfit(who, end) => format!("{} unfit{from}{}", person(who), until(end)),
        Event::Limited(who, without, end) => {
            let list: Vec<&str> = without.iter().map(|c| parts.competences[*c].code.as_str()).collect();
            format!("{} without {}{}", person(who), list.join(", "), until(end))
        }
        Event::Fit(who) => format!("{} fit", person(who)),
        Event::Gone(tool, end) => format!("{} not to be had{from}{}", all_of(&parts.tools[*tool]), until(end)),
        Event::Returned(tool) => format!("{} to be had again", parts.tools[*tool].code),
        Event::Call(who, end) => format!("{} called out until {}", person(who), at(end)),
        Event::Moved(code, number, to) => format!("duty {code} ({number}) moved to {}", at(to)),
        Event::Due(milestone, due) => format!("{} due {}", parts.milestones[*milestone].code, at(due)),
        Event::Mode(mode, end) => format!("mode {}{from}{}", parts.modes[*mode].code, until(end)),
        Event::Note => String::new(),
    }
}

/// The code of a tool, with how many there are where they are several: one that is gone is all of them.
fn all_of(tool: &Tool) -> String {
    if tool.number == 1 { tool.code.clone() } else { format!("all {} {}", tool.number, tool.code) }
}
