//! Totals as text: labour by day, person, phase and task, rest margins, labour model, aims.

use crate::clock::Day;
use crate::id::{CompetenceId, PersonId};
use crate::out::page::{self, Page, TIE};
use crate::out::tables::Wide;
use crate::out::words;
use crate::report::{Amount, ModelHours, Report, Totals};
use crate::rest::rule::Limit;
use crate::time::Minutes;

/// Writes all totals.
pub(super) fn write(page: &mut Page, report: &Report<'_>) {
    let totals = report.totals();
    page.blank();
    page.rule('=');
    page.text("TOTALS");
    page.rule('=');
    by_day(page, report, &totals);
    by_person(page, report, &totals);
    rest(page, report);
    by_phase(page, report, &totals);
    by_task(page, report, &totals);
    by_competence(page, report, &totals);
    aims(page, report);
}

fn by_day(page: &mut Page, report: &Report<'_>, totals: &Totals) {
    page.heading("Labour hours by day and person");
    let days = &report.account().days;
    let heads: Vec<String> = days.iter().map(|d| format!("d{}", d.day.number())).chain(["sum".to_owned()]).collect();
    let row = |name: String, of: &dyn Fn(&crate::account::DayAccount) -> Minutes| {
        let cells: Vec<Minutes> = days.iter().map(of).collect();
        let sum: Minutes = cells.iter().copied().sum();
        (name, cells.into_iter().chain([sum]).map(words::decimal).collect())
    };
    let mut rows: Vec<(String, Vec<String>)> =
        report.problem().people.ids().map(|p: PersonId| row(report.person_code(p), &|d| d.by_person[p])).collect();
    rows.push(row("all".to_owned(), &|d| d.labour));
    rows.push(row("overtime".to_owned(), &|d| d.overtime));
    if days.iter().any(|d| !d.unbooked_needed.is_zero()) {
        rows.push(row("unbooked".to_owned(), &|d| d.unbooked));
        rows.push(row("asked for".to_owned(), &|d| d.unbooked_needed));
    }
    Wide { corner: "hours".to_owned(), heads, rows }.write(page);
    let evenings: Vec<String> = totals
        .people
        .iter()
        .flat_map(|p| p.evenings.iter().map(move |(day, over)| (p.person, *day, *over)))
        .map(|(person, day, over)| format!("{}{TIE}day{TIE}{}{TIE}{}", report.person_code(person), day.number(), words::hours(over)))
        .collect();
    page.text(&format!("Overtime evenings: {}.", if evenings.is_empty() { "none".to_owned() } else { evenings.join(", ") }));
}

fn by_person(page: &mut Page, report: &Report<'_>, _: &Totals) {
    page.heading("Hours by person");
    let heads = ["job", "overtime", "evenings", "night", "watch", "duties"].map(str::to_owned).to_vec();
    let row = |p: PersonId| {
        let row = &report.account().people[p];
        let evenings = if row.evenings == 0 { "-".to_owned() } else { row.evenings.to_string() };
        let cells = [row.labour, row.overtime].map(words::decimal).into_iter().chain([evenings]);
        (report.person_code(p), cells.chain([row.night, row.watch, row.duty].map(words::decimal)).collect())
    };
    Wide { corner: "hours".to_owned(), heads, rows: report.problem().people.ids().map(row).collect() }.write(page);
}

fn rest(page: &mut Page, report: &Report<'_>) {
    page.heading("Rest margins by person");
    page.text("Least values over all windows that touch the plan, with the record before it and the days laid out after it.");
    for (id, who) in report.problem().people.pairs() {
        let figures = &report.account().people[id].rest;
        let from = |at: Option<crate::time::Moment>| at.map_or_else(String::new, |at| format!(" (from {})", words::short(report, at)));
        let text = format!(
            "24{TIE}h: {}{}; two longest {}; longest {}; 7{TIE}days: {}{}",
            words::hours(figures.least_24h),
            from(figures.least_24h_from),
            words::hours(figures.best_two_24h),
            words::hours(figures.longest_24h),
            words::hours(figures.least_7d),
            from(figures.least_7d_from),
        );
        page.item(&who.code, 5, &text);
        for finding in &figures.recorded_findings {
            let window = format!("{} to {}", words::short(report, finding.window.start()), words::short(report, finding.window.end()));
            let (found, limit) = (words::hours(finding.found), words::hours(finding.required));
            let asked = match report.problem().rule_sets[who.rest].rules.get(finding.rule).map(|rule| rule.kind.limit()) {
                Some(Limit::AtMost(_)) => format!("{limit} allowed"),
                Some(Limit::AtLeast(_)) | None => format!("{limit} asked for"),
            };
            page.item("", 5, &format!("FINDING in the record: {}, {window}: {found} found, {asked}", report.rule_name(id, finding)));
        }
        if let Some(at) = figures.not_checkable_before {
            page.item("", 5, &format!("not checkable before {} for want of a record", words::short(report, at)));
        }
    }
}

fn by_phase(page: &mut Page, report: &Report<'_>, totals: &Totals) {
    page.heading("Labour by phase");
    let widest = report.problem().phases.iter().map(|p| page::length(words::phase(p))).max().unwrap_or(0);
    let column = (widest + 2).min(30);
    for row in &totals.phases {
        let name = words::phase(&report.problem().phases[row.phase]);
        let over = if row.overtime.is_zero() { String::new() } else { format!(", {} overtime", words::hours(row.overtime)) };
        let when = format!("{} to {}", words::short(report, row.start), words::short(report, row.end));
        let tasks = words::count(row.tasks, "task", "tasks");
        page.item(name, column, &format!("{} in {tasks}{over}, {when}", words::hours(row.labour)));
    }
}

fn by_task(page: &mut Page, report: &Report<'_>, totals: &Totals) {
    page.heading("Tasks by start");
    let by = if report.solved().slack.is_some() {
        "is how much later a task was found to be able to end by planning again, finish, dates, reserve and overtime kept; there may be more"
    } else {
        "by order and waits alone"
    };
    page.text(&format!("From first start to last end; labour; who; slack {by}."));
    for row in &totals.tasks {
        let task = &report.problem().tasks[row.task];
        let when = format!("{} to {}", words::short(report, row.account.start), words::short(report, row.account.end));
        let who = if row.people.is_empty() { "by itself".to_owned() } else { words::people(report, &row.people) };
        let spells = if row.spells == 1 { String::new() } else { format!(" in {}", words::count(row.spells, "spell", "spells")) };
        let over = if row.overtime.is_zero() { String::new() } else { format!(", {} overtime", words::hours(row.overtime)) };
        let slack = if row.slack.is_zero() { "no slack".to_owned() } else { format!("slack {}", words::hours(row.slack)) };
        page.item(&task.code, 6, &task.text);
        let labour = if row.account.labour.is_zero() { "no labour".to_owned() } else { words::hours(row.account.labour) };
        page.item("", 8, &format!("{when}{spells}; {labour}{over}; {who}; {slack}"));
    }
}

fn by_competence(page: &mut Page, report: &Report<'_>, totals: &Totals) {
    let solved = match &report.solved().model {
        ModelHours::Given(_) => {
            page.heading("Hours by competence and day: planned / labour model");
            true
        }
        ModelHours::Skipped(why) => {
            page.heading("Hours by competence and day");
            page.text(&format!("No labour model to compare with: {why}"));
            false
        }
    };
    let days: Vec<Day> = report.days().collect();
    let cell = |planned: Minutes, model: Minutes| match (solved, planned.is_zero() && model.is_zero()) {
        (_, true) => "-".to_owned(),
        (true, false) => format!("{}/{}", words::decimal(planned), words::decimal(model)),
        (false, false) => words::decimal(planned),
    };
    let row = |competence: CompetenceId| {
        let of = |day: Option<Day>| {
            let rows = totals.competences.iter().filter(|r| r.competence == competence && day.is_none_or(|d| d == r.day));
            rows.fold((Minutes::ZERO, Minutes::ZERO), |(p, m), r| (p + r.planned, m + r.model.unwrap_or_default()))
        };
        let pairs: Vec<(Minutes, Minutes)> = days.iter().map(|d| of(Some(*d))).chain([of(None)]).collect();
        (report.problem().competences[competence].code.clone(), pairs.into_iter().map(|(p, m)| cell(p, m)).collect())
    };
    let heads = days.iter().map(|d| format!("d{}", d.number())).chain(["sum".to_owned()]).collect();
    Wide { corner: "hours".to_owned(), heads, rows: report.problem().competences.ids().map(row).collect() }.write(page);
}

fn aims(page: &mut Page, report: &Report<'_>) {
    if report.solved().aims.is_empty() {
        return;
    }
    page.heading("Aims, most important first");
    let amount = |a: Amount| match a {
        Amount::Time(minutes) => words::long_hours(minutes),
        Amount::Count(n, unit) => words::tied(&format!("{n} {unit}")),
    };
    for (i, row) in report.solved().aims.iter().enumerate() {
        let proof = match row.bound {
            Some(bound) if bound == row.value => "proven best given the aims before it".to_owned(),
            Some(bound) => format!("not better than {}", amount(bound)),
            None => "nothing proven".to_owned(),
        };
        let name = page::left(&crate::report::aim_name(row.aim).replace('-', " "), 20);
        page.item(&format!("{}. {name}", i + 1), 24, &format!("{}; {proof}", amount(row.value)));
    }
}
