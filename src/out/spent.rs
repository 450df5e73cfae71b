//! The labour account, and the ship's own hours for the next job.

use crate::id::PhaseId;
use crate::out::page::{self, Page, left, right};
use crate::out::words::{self, decimal, tied};
use crate::replan::{Spent, State, TaskSpent, Whole};
use crate::time::{Minutes, Moment};

/// What the figures are.
const HEADS: [&str; 3] = ["planned", "done", "to go"];

/// Columns in front of the figures for codes, and at most for names.
const CODES: usize = 14;
const NAMES: usize = 30;

/// The account as text.
#[must_use]
pub fn spent_text(whole: &Whole, spent: &Spent, now: Moment) -> String {
    let parts = &whole.parts;
    let mut page = Page::default();
    page.text(&format!("{}: labour account at {}", parts.ship, tied(&parts.clock.day_time(now))));
    page.text("Labour hours over all people. What is not logged counts as done as planned.");
    factor(spent, &mut page);
    page.heading("By phase");
    by_phase(whole, spent, &mut page);
    page.heading("By person and day, done");
    let people = parts.people.pairs().filter(|(id, _)| spent.people[*id] > Minutes::ZERO);
    let people: Vec<String> = people.map(|(id, p)| tied(&format!("{} {}", p.code, decimal(spent.people[id])))).collect();
    page.text(&people.join(", "));
    let days: Vec<String> = spent.days.iter().map(|(day, labour)| tied(&format!("day {} {}", day.number(), decimal(*labour)))).collect();
    page.text(&days.join(", "));
    page.heading("By task");
    page.row(&line("", CODES, HEADS, ""));
    for row in &spent.tasks {
        let said = match row.state {
            State::Done(_) if row.measured => "done, logged",
            State::Done(_) => "done as planned",
            State::Dropped => "dropped",
            _ if row.logged => "in hand, logged",
            _ if row.done > Minutes::ZERO => "in hand",
            _ => "",
        };
        let code = &parts.tasks[row.task].code;
        page.row(&line(code, CODES, sums(&std::iter::once(row)).each_ref().map(String::as_str), said));
    }
    page.finish()
}

/// Sums by phase, under the names the plan has for them.
fn by_phase(whole: &Whole, spent: &Spent, page: &mut Page) {
    let phases = &whole.parts.phases;
    let named: Vec<(&str, PhaseId)> = phases.pairs().map(|(id, phase)| (words::phase(phase), id)).collect();
    let named: Vec<(&str, PhaseId)> = named.into_iter().filter(|(_, id)| in_phase(whole, spent, *id).next().is_some()).collect();
    let widest = named.iter().map(|(name, _)| page::length(name)).max().unwrap_or(0);
    let column = (widest + 2).clamp(CODES, NAMES);
    page.row(&line("", column, HEADS, ""));
    for (name, phase) in named {
        let figures = sums(&in_phase(whole, spent, phase));
        let figures = figures.each_ref().map(String::as_str);
        if page::length(name) < column {
            page.row(&line(name, column, figures, ""));
        } else {
            page.text(name);
            page.row(&line("", column, figures, ""));
        }
    }
    page.row(&line("all", column, sums(&spent.tasks.iter()).each_ref().map(String::as_str), ""));
}

/// Labour planned, done and to go of some tasks.
fn sums<'a>(tasks: &(impl Iterator<Item = &'a TaskSpent> + Clone)) -> [String; 3] {
    let of: [fn(&TaskSpent) -> Minutes; 3] = [|t| t.planned, |t| t.done, |t| t.to_go];
    of.map(|of| decimal(tasks.clone().map(of).sum()))
}

fn in_phase<'a>(whole: &'a Whole, spent: &'a Spent, phase: PhaseId) -> impl Iterator<Item = &'a TaskSpent> + Clone {
    spent.tasks.iter().filter(move |t| whole.parts.tasks[t.task].phase == phase)
}

fn line(name: &str, column: usize, [planned, done, to_go]: [&str; 3], said: &str) -> String {
    format!("{}{}{}{}  {said}", left(name, column), right(planned, 9), right(done, 9), right(to_go, 9))
}

/// How the hours came out against the estimates, and what that does to the hours ahead.
fn factor(spent: &Spent, page: &mut Page) {
    let (came, planned) = spent.against_estimate();
    if planned.is_zero() {
        page.text("Estimates: nothing is logged that they could be held against.");
        return;
    }
    let hundredths = i64::from(came.get()) * 100 / i64::from(planned.get());
    let ahead = spent.ahead();
    let forecast =
        Minutes::new(i32::try_from(i64::from(ahead.get()) * i64::from(came.get()) / i64::from(planned.get())).unwrap_or(i32::MAX));
    let logged = spent.known().count();
    page.text(&format!(
        "Estimates: {logged} logged {} to {} h where {} h were planned, {}.{:02} times as much; at that rate the {} h that nobody has begun become {} h.",
        if logged == 1 { "task comes" } else { "tasks come" },
        decimal(came),
        decimal(planned),
        hundredths / 100,
        hundredths % 100,
        decimal(ahead),
        decimal(forecast),
    ));
}

/// The ship's own hours of tasks that are done and logged, as an option that can be laid over the next job.
#[must_use]
pub fn norms_text(whole: &Whole, spent: &Spent) -> String {
    let parts = &whole.parts;
    let mut text = format!("# Hours of {}, as they came out.\n# Least, typical, most: the typical ones are those worked.\n", parts.ship);
    text.push_str("title = \"The ship's own hours\"\n");
    if spent.known().all(|t| !t.ended()) {
        text.push_str("# Nothing yet: only what the log says is done has hours of its own.\n");
    }
    for row in spent.known().filter(|t| t.ended()) {
        let task = &parts.tasks[row.task];
        let (least, most) = (task.hours.least.min(row.worked), task.hours.most.max(row.worked));
        let hours = [least, row.worked, most].map(in_hours);
        let head = format!("\n# {}; {} were planned\n", task.text.replace(['\n', '\r'], " "), in_hours(task.hours.typical));
        let body = format!("[tasks.task.\"{}\"]\nhours = [{}]\n", task.code, hours.join(", "));
        text.push_str(&head);
        text.push_str(&body);
    }
    text
}

/// Decimal hours, to the hundredth.
fn in_hours(length: Minutes) -> String {
    let hundredths = (i64::from(length.get()) * 100 + 30) / 60;
    format!("{}.{:02}", hundredths / 100, hundredths % 100)
}
