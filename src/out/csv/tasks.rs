//! `tasks.csv`.

use crate::model::Stop;
use crate::out::csv::table::{Table, hours, phase, stamps, text, tools};
use crate::report::Report;
use crate::time::Minutes;

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
                phase(&problem.phases[task.phase]),
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
