//! `people.csv`.

use crate::id::PersonId;
use crate::model::Stop;
use crate::out::csv::table::{Table, codes, hours, stamps, text, tools};
use crate::report::{Act, Line, Report};

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
            let said: Vec<&str> =
                std::iter::once(&post.name).chain(along.iter().map(|d| &problem.duties[*d].name)).map(String::as_str).collect();
            plain("watch", &post.code, &said.join("; "))
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
