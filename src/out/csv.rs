//! Tables for spreadsheets: UTF-8, a header row, ISO times with offset, hours as decimals.

use crate::clock::Day;
use crate::id::{PersonId, TaskId};
use crate::model::{Stand, Stop};
use crate::out::page;
use crate::report::{Act, Line, Report, Totals, tools_of, wire};
use crate::time::{Minutes, Moment, Span};

/// Rows under construction.
struct Table(csv::Writer<Vec<u8>>);

impl Table {
    fn new(header: &[&str]) -> Self {
        let mut table = Self(csv::Writer::from_writer(Vec::new()));
        table.push(header.iter().map(|h| (*h).to_owned()).collect());
        table
    }

    fn push(&mut self, row: Vec<String>) {
        self.0.write_record(row).expect("rows of equal length can be written to memory");
    }

    fn finish(self) -> String {
        let bytes = self.0.into_inner().expect("writing to memory does not fail");
        String::from_utf8(bytes).expect("texts are UTF-8")
    }
}

/// Text that a spreadsheet would take for a formula gets an apostrophe before it; control characters
/// become spaces.
fn text(text: &str) -> String {
    let clean = page::printable(text);
    if clean.starts_with(['=', '+', '-', '@']) || text.starts_with(['\t', '\r', '\n']) { format!("'{clean}") } else { clean }
}

fn hours(length: Minutes) -> String {
    wire::Hours::from(length).get().to_string()
}

fn stamps(report: &Report<'_>, span: Span) -> [String; 2] {
    [report.stamp(span.start()), report.stamp(span.end())]
}

fn optional(report: &Report<'_>, at: Option<Moment>) -> String {
    at.map_or_else(String::new, |at| report.stamp(at))
}

fn codes(report: &Report<'_>, people: &[PersonId]) -> String {
    text(&people.iter().map(|p| report.person_code(*p)).collect::<Vec<_>>().join(" "))
}

/// `people.csv`: a row for everything a person does, rest included, without gap.
#[must_use]
pub fn people_csv(report: &Report<'_>) -> String {
    let header = ["person", "name", "from", "to", "hours", "kind", "ref", "text", "part", "as", "with", "tools", "overtime_hours"];
    let mut table = Table::new(&header);
    for (id, who) in report.problem().people.pairs() {
        for line in report.lines(id) {
            let [from, to] = stamps(report, line.span);
            let mut row = vec![text(&who.code), text(&who.name), from, to, hours(line.span.length())];
            row.extend(what(report, line));
            table.push(row);
        }
    }
    table.finish()
}

fn what(report: &Report<'_>, line: &Line) -> [String; 8] {
    let problem = report.problem();
    let plain = |kind: &str, reference: &str, words: &str| {
        let empty = String::new;
        [kind.to_owned(), text(reference), text(words), empty(), empty(), empty(), empty(), empty()]
    };
    match &line.act {
        Act::Task(task) => {
            let row = &problem.tasks[task.task];
            let with: Vec<PersonId> = task.with.iter().map(|(p, _)| *p).collect();
            let part = match row.stop {
                Stop::Parts(_) if task.first_part == task.last_part => (task.first_part + 1).to_string(),
                Stop::Parts(_) => format!("{} to {}", task.first_part + 1, task.last_part + 1),
                Stop::Any { .. } | Stop::Never => String::new(),
            };
            let need = task.need.map_or_else(String::new, |n| text(&problem.competences[n].code));
            [
                "task".to_owned(),
                text(&row.code),
                text(&row.text),
                part,
                need,
                codes(report, &with),
                tools(report, task.task),
                hours(task.overtime),
            ]
        }
        Act::Watch(turn, along) => {
            let post = &problem.posts[problem.turns[*turn].post];
            let along: String = along.iter().map(|d| format!("; {}", problem.duties[*d].name)).collect();
            plain("watch", &post.code, &format!("{}{along}", post.name))
        }
        Act::Duty(duty) => plain("duty", &problem.duties[*duty].code, &problem.duties[*duty].name),
        Act::Call => plain("call", "", "recorded call-out"),
        Act::OnHand => plain("break", "", "on hand"),
        Act::Break => plain("break", "", "named break"),
        Act::Gap => plain("break", "", "too short to be rest"),
        Act::Rest => plain("rest", "", ""),
        Act::Away => plain("away", "", ""),
    }
}

fn tools(report: &Report<'_>, task: TaskId) -> String {
    let tools = tools_of(report.problem(), task).into_iter();
    let names = tools.flat_map(|(t, n)| (0..n).map(move |_| report.problem().tools[t].code.as_str()));
    text(&names.collect::<Vec<_>>().join(" "))
}

/// `tasks.csv`: a row for each spell, with the figures of its task.
#[must_use]
pub fn tasks_csv(report: &Report<'_>) -> String {
    let header = [
        "task",
        "text",
        "phase",
        "spell",
        "part",
        "from",
        "to",
        "pause_hours",
        "team",
        "tools",
        "labour_hours",
        "task_start",
        "task_end",
        "task_labour_hours",
        "slack_hours",
        "cautions",
    ];
    let mut table = Table::new(&header);
    let problem = report.problem();
    let slack = report.slack();
    for (id, task) in problem.tasks.pairs() {
        let mut spells: Vec<_> = report.plan().spells.iter().filter(|s| s.task == id).collect();
        spells.sort_by_key(|s| (s.span(), s.part));
        let account = report.account().tasks[id];
        let tags: Vec<&str> = task.tags.iter().map(|t| problem.tags[*t].code.as_str()).collect();
        for (n, spell) in spells.into_iter().enumerate() {
            let [from, to] = stamps(report, spell.span());
            let work: Minutes = spell.work.iter().map(|s| s.length()).sum();
            let team: Vec<String> = task
                .needs
                .iter()
                .zip(&spell.team)
                .map(|(c, p)| format!("{}={}", problem.competences[*c].code, report.person_code(*p)))
                .collect();
            let part = match task.stop {
                Stop::Parts(_) => (spell.part + 1).to_string(),
                Stop::Any { .. } | Stop::Never => String::new(),
            };
            let labour: Minutes = spell.team.iter().map(|_| work).sum();
            table.push(vec![
                text(&task.code),
                text(&task.text),
                text(&problem.phases[task.phase].code),
                (n + 1).to_string(),
                part,
                from,
                to,
                hours(spell.span().length() - work),
                text(&team.join(" ")),
                tools(report, id),
                hours(labour),
                report.stamp(account.start),
                report.stamp(account.end),
                hours(account.labour),
                hours(slack[id]),
                text(&tags.join(" ")),
            ]);
        }
    }
    table.finish()
}

/// `watches.csv`: a row for each turn that begins before the end of the plan.
#[must_use]
pub fn watches_csv(report: &Report<'_>) -> String {
    let mut table = Table::new(&["post", "name", "from", "to", "hours", "person", "line", "stand"]);
    let problem = report.problem();
    for (id, turn) in problem.turns.pairs().filter(|(_, t)| t.span.start() < report.end()) {
        let [from, to] = stamps(report, turn.span);
        let post = &problem.posts[turn.post];
        let stand = match turn.stand {
            Stand::Fixed(_) => "fixed",
            Stand::Open(_) => "chosen",
        };
        let person = report.person_code(report.plan().turns[id]);
        let ends = [text(&person), text(&turn.line), stand.to_owned()];
        let starts = [text(&post.code), text(&post.name), from, to, hours(turn.span.length())];
        table.push(starts.into_iter().chain(ends).collect());
    }
    table.finish()
}

/// `rest.csv`: a row of margins for each person, and a row for each finding.
#[must_use]
pub fn rest_csv(report: &Report<'_>) -> String {
    let header = [
        "row",
        "person",
        "rule_set",
        "rule",
        "least_24h_hours",
        "least_24h_from",
        "best_two_24h_hours",
        "longest_24h_hours",
        "least_7d_hours",
        "least_7d_from",
        "not_checkable_before",
        "window_from",
        "window_to",
        "found_hours",
        "required_hours",
    ];
    let mut table = Table::new(&header);
    for (id, who) in report.problem().people.pairs() {
        let rest = &report.account().people[id].rest;
        let set = text(&report.problem().rule_sets[who.rest].code);
        let start = |row: &str, rule: &str| vec![row.to_owned(), text(&who.code), set.clone(), text(rule)];
        let mut row = start("margin", "");
        row.extend([hours(rest.least_24h), optional(report, rest.least_24h_from), hours(rest.best_two_24h), hours(rest.longest_24h)]);
        row.extend([hours(rest.least_7d), optional(report, rest.least_7d_from), optional(report, rest.not_checkable_before)]);
        row.extend(std::iter::repeat_n(String::new(), 4));
        table.push(row);
        for finding in &rest.recorded_findings {
            let mut row = start("finding", &report.rule_name(id, finding));
            row.extend(std::iter::repeat_n(String::new(), 7));
            row.extend(stamps(report, finding.window));
            row.extend([hours(finding.found), hours(finding.required)]);
            table.push(row);
        }
    }
    table.finish()
}

/// `totals.csv`: labour by day, person, person and day, phase, task, and competence and day; `of` says
/// which.
#[must_use]
pub fn totals_csv(report: &Report<'_>) -> String {
    let header = [
        "of",
        "id",
        "date",
        "labour_hours",
        "overtime_hours",
        "night_hours",
        "evenings",
        "watch_hours",
        "duty_hours",
        "unbooked_hours",
        "unbooked_needed_hours",
        "model_hours",
    ];
    let mut table = Table::new(&header);
    let mut push = |of: &str, id: &str, date: String, figures: [Option<String>; 9]| {
        let mut row = vec![of.to_owned(), text(id), date];
        row.extend(figures.into_iter().map(Option::unwrap_or_default));
        table.push(row);
    };
    let some = |length: Minutes| Some(hours(length));
    let problem = report.problem();
    let totals = report.totals();
    push("job", "", String::new(), [some(totals.labour), some(totals.overtime), some(totals.night), None, None, None, None, None, None]);
    for day in &report.account().days {
        let unbooked = [some(day.unbooked), some(day.unbooked_needed)];
        let [has, asked] = unbooked;
        push("day", "", report.date(day.day), [some(day.labour), some(day.overtime), None, None, None, None, has, asked, None]);
    }
    for (id, row) in report.account().people.pairs() {
        let figures =
            [some(row.labour), some(row.overtime), some(row.night), Some(row.evenings.to_string()), some(row.watch), some(row.duty)];
        let [a, b, c, d, e, f] = figures;
        push("person", &problem.people[id].code, String::new(), [a, b, c, d, e, f, None, None, None]);
    }
    for day in &report.account().days {
        for (person, labour) in day.by_person.pairs().filter(|(_, l)| !l.is_zero()) {
            let over = over_on(&totals, person, day.day);
            push(
                "person-day",
                &problem.people[person].code,
                report.date(day.day),
                [some(*labour), some(over), None, None, None, None, None, None, None],
            );
        }
    }
    for row in &totals.phases {
        push(
            "phase",
            &problem.phases[row.phase].code,
            String::new(),
            [some(row.labour), some(row.overtime), None, None, None, None, None, None, None],
        );
    }
    for (task, row) in problem.tasks.pairs() {
        let Some(total) = totals.tasks.iter().find(|t| t.task == task) else { continue };
        push(
            "task",
            &row.code,
            String::new(),
            [some(total.account.labour), some(total.overtime), None, None, None, None, None, None, None],
        );
    }
    for row in &totals.competences {
        let code = &problem.competences[row.competence].code;
        push(
            "competence-day",
            code,
            report.date(row.day),
            [some(row.planned), None, None, None, None, None, None, None, row.model.and_then(some)],
        );
    }
    table.finish()
}

fn over_on(totals: &Totals, person: PersonId, day: Day) -> Minutes {
    let row = totals.people.iter().find(|p| p.person == person);
    row.and_then(|p| p.evenings.iter().find(|(d, _)| *d == day)).map_or(Minutes::ZERO, |(_, over)| *over)
}
