//! The sheet of one day: who does what.

use crate::model::Stop;
use crate::out::page::{self, Page, TIE};
use crate::out::{below, words};
use crate::report::{Act, DaySheet, Line, PersonDay, Report, TaskLine};
use crate::time::{Minutes, Span};

/// Writes the sheet.
pub(super) fn write(page: &mut Page, report: &Report<'_>, sheet: &DaySheet) {
    page.blank();
    page.rule('=');
    heading(page, report, sheet);
    page.rule('=');
    below::before(page, report, sheet);
    page.heading("Who does what");
    for person in &sheet.people {
        one(page, report, sheet, person);
    }
    below::after(page, report, sheet);
}

fn heading(page: &mut Page, report: &Report<'_>, sheet: &DaySheet) {
    let days: Vec<_> = report.days().collect();
    let at = days.iter().position(|d| *d == sheet.day).map_or(0, |i| i + 1);
    let left = format!("DAY {}   {}", sheet.day.number(), words::date(report, sheet.day));
    let right = format!("{}   plan {}, sheet {at} of {}", report.problem().ship, report.solved().plan_no, days.len());
    let room = page::WIDTH.saturating_sub(page::length(&left));
    if page::length(&right) + 3 <= room {
        page.row(&format!("{left}{}", page::right(&right, room)));
    } else {
        page.text(&left);
        page.text(&right);
    }
}

/// Width of the column of people's codes.
fn code_width(report: &Report<'_>) -> usize {
    report.problem().people.iter().map(|p| page::length(&p.code)).max().unwrap_or(0).clamp(2, 8)
}

fn one(page: &mut Page, report: &Report<'_>, sheet: &DaySheet, day: &PersonDay) {
    let who = &report.problem().people[day.person];
    let width = code_width(report);
    let code = page::left(&who.code, width);
    page.blank();
    let away = !day.lines.is_empty() && day.lines.iter().all(|l| l.act == Act::Away);
    let turns_to = turns_to(report, day);
    let mut said = vec![if who.role.is_empty() { who.name.clone() } else { format!("{}, {}", who.name, who.role) }];
    if !who.answers_for.is_empty() {
        said.push(format!("answers for {}", who.answers_for.join(", ")));
    }
    said.push(match (away, turns_to.is_empty()) {
        (true, _) => "away".to_owned(),
        (false, false) => turns_to,
        (false, true) if day.lines.is_empty() => "off all day".to_owned(),
        (false, true) => "no job today".to_owned(),
    });
    said.extend(sums(day));
    page.item(&code, width + 2, &said.join("; "));
    for line in day.lines.iter().filter(|_| !away) {
        let label = format!("{code}{TIE}{TIE}{}", when(report, sheet.span, line.span));
        page.item(&label, width + 2 + 13, &act(report, line));
    }
}

/// `08:30-10:00`; a line that reaches midnight ends at 24:00.
fn when(report: &Report<'_>, day: Span, span: Span) -> String {
    let part = span.intersection(day).unwrap_or(span);
    words::from_to(report, part)
}

/// `turns to 08:00, knocks off 18:00`, once for each working stretch.
fn turns_to(report: &Report<'_>, day: &PersonDay) -> String {
    let clock = &report.problem().clock;
    let spell = |span: &Span| {
        let to = words::tied(&format!("turns to {}", clock.hour(span.start())));
        let off = words::from_to(report, *span);
        let off = off.split_once('-').map_or(off.as_str(), |(_, end)| end);
        format!("{to}, {}", words::tied(&format!("knocks off {off}")))
    };
    day.at_work.iter().map(spell).collect::<Vec<_>>().join(", ")
}

fn sums(day: &PersonDay) -> Vec<String> {
    let mut sums = Vec::new();
    if day.labour > Minutes::ZERO {
        sums.push(format!("job {}", words::hours(day.labour)));
    }
    if day.overtime > Minutes::ZERO {
        sums.push(format!("OVERTIME {}", words::hours(day.overtime)));
    }
    if day.watch > Minutes::ZERO {
        sums.push(format!("watch {}", words::hours(day.watch)));
    }
    sums
}

fn act(report: &Report<'_>, line: &Line) -> String {
    let problem = report.problem();
    match &line.act {
        Act::Task(task) => task_line(report, task, line.span),
        Act::Watch(turn, along) => {
            let post = &problem.posts[problem.turns[*turn].post];
            let along: Vec<String> = along
                .iter()
                .filter_map(|d| Some(format!("{} {}", words::from_to(report, report.duty_span(*d)?), problem.duties[*d].name)))
                .collect();
            let along = if along.is_empty() { String::new() } else { format!("; meanwhile {}", along.join(", ")) };
            format!("Watch {} {}{along}", post.code, post.name)
        }
        Act::Duty(duty) => {
            let row = &problem.duties[*duty];
            let leave = if row.leavable { "" } else { " (not to be left)" };
            format!("{}{leave}", row.name)
        }
        Act::Call => "Called out (recorded)".to_owned(),
        Act::OnHand => "on hand".to_owned(),
        Act::Break => "break".to_owned(),
        Act::Gap => "free, too short to be rest".to_owned(),
        Act::Rest => "rest".to_owned(),
        Act::Away => "away".to_owned(),
    }
}

fn task_line(report: &Report<'_>, line: &TaskLine, span: Span) -> String {
    let problem = report.problem();
    let task = &problem.tasks[line.task];
    let mut said = vec![format!("{} {}{}", task.code, task.text, parts(task.stop, line))];
    said.push(team(report, line));
    if line.overtime > Minutes::ZERO {
        let kind = if task.emergency { "EMERGENCY, outside hours" } else { "OVERTIME" };
        said.push(format!("{kind} {}", words::hours(line.overtime)));
    }
    if !line.taken_from.is_empty() {
        said.push(format!("taken over from {}", words::people(report, &line.taken_from)));
    }
    if let Some(next) = &line.next {
        let same_day = problem.clock.day(next.at) == problem.clock.day(span.start());
        let at = if same_day { problem.clock.hour(next.at) } else { words::short(report, next.at) };
        let with = if next.team.is_empty() { String::new() } else { format!(" with {}", words::people(report, &next.team)) };
        said.push(format!("goes on {at}{with}"));
    }
    if !task.tags.is_empty() {
        let tags: Vec<&str> = task.tags.iter().map(|t| problem.tags[*t].code.as_str()).collect();
        said.push(format!("CARE: {}", tags.join(", ")));
    }
    said.retain(|part| !part.is_empty());
    said.join("; ")
}

/// `as HYD with 2E (LEAD), M1 (GEN) [CRANE]`, of which any part may be missing.
fn team(report: &Report<'_>, line: &TaskLine) -> String {
    let mut parts = Vec::new();
    parts.extend(line.need.map(|need| words::tied(&format!("as {}", report.problem().competences[need].code))));
    if !line.with.is_empty() {
        let with: Vec<String> = line.with.iter().map(|(p, need)| words::member(report, *p, *need)).collect();
        parts.push(format!("with {}", with.join(", ")));
    }
    parts.push(words::tools(report, line.task));
    parts.retain(|part| !part.is_empty());
    parts.join(" ")
}

/// Where the task may stop, and which parts of it are done here.
fn parts(stop: Stop, line: &TaskLine) -> String {
    match stop {
        Stop::Any { .. } => String::new(),
        Stop::Never | Stop::Parts(1) => format!(" {}", words::tied("(in one go)")),
        Stop::Parts(of) if line.first_part == line.last_part => {
            format!(" {}", words::tied(&format!("(part {} of {of})", line.first_part + 1)))
        }
        Stop::Parts(of) => format!(" {}", words::tied(&format!("(parts {}-{} of {of})", line.first_part + 1, line.last_part + 1))),
    }
}
