//! The labour account, and the ship's own hours for the next job.

use crate::id::PhaseId;
use crate::out::page::{Page, left, right};
use crate::out::words::{decimal, tied};
use crate::replan::{Spent, State, Whole};
use crate::time::{Minutes, Moment};

/// The account as text.
#[must_use]
pub fn spent_text(whole: &Whole, spent: &Spent, now: Moment) -> String {
    let parts = &whole.parts;
    let mut page = Page::default();
    page.text(&format!("{}: labour account at {}", parts.ship, tied(&parts.clock.day_time(now))));
    page.text("Labour hours over all people. What is not logged counts as done as planned.");
    factor(spent, &mut page);
    page.heading("By phase");
    page.row(&line("", "planned", "done", "to go", ""));
    for phase in parts.phases.ids() {
        let sum = |of: fn(&crate::replan::TaskSpent) -> Minutes| in_phase(whole, spent, phase).map(of).sum::<Minutes>();
        if in_phase(whole, spent, phase).next().is_some() {
            let name = &parts.phases[phase].code;
            page.row(&line(name, &decimal(sum(|t| t.planned)), &decimal(sum(|t| t.done)), &decimal(sum(|t| t.to_go)), ""));
        }
    }
    let sum = |of: fn(&crate::replan::TaskSpent) -> Minutes| spent.tasks.iter().map(of).sum::<Minutes>();
    page.row(&line("all", &decimal(sum(|t| t.planned)), &decimal(sum(|t| t.done)), &decimal(sum(|t| t.to_go)), ""));
    page.heading("By person and day, done");
    let people = parts.people.pairs().filter(|(id, _)| spent.people[*id] > Minutes::ZERO);
    let people: Vec<String> = people.map(|(id, p)| tied(&format!("{} {}", p.code, decimal(spent.people[id])))).collect();
    page.text(&people.join(", "));
    let days: Vec<String> = spent.days.iter().map(|(day, labour)| tied(&format!("day {} {}", day.number(), decimal(*labour)))).collect();
    page.text(&days.join(", "));
    page.heading("By task");
    page.row(&line("", "planned", "done", "to go", ""));
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
        page.row(&line(code, &decimal(row.planned), &decimal(row.done), &decimal(row.to_go), said));
    }
    page.finish()
}

fn in_phase<'a>(whole: &'a Whole, spent: &'a Spent, phase: PhaseId) -> impl Iterator<Item = &'a crate::replan::TaskSpent> {
    spent.tasks.iter().filter(move |t| whole.parts.tasks[t.task].phase == phase)
}

fn line(name: &str, planned: &str, done: &str, to_go: &str, said: &str) -> String {
    format!("{}{}{}{}  {said}", left(name, 14), right(planned, 9), right(done, 9), right(to_go, 9))
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
    page.text(&format!(
        "Estimates: {} logged tasks come to {} h where {} h were planned, {}.{:02} times as much; at that rate the {} h that nobody has begun become {} h.",
        spent.known().count(),
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
