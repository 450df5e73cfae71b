//! `totals.csv`.

use crate::clock::Day;
use crate::id::PersonId;
use crate::out::csv::table::{Table, hours, phase, text};
use crate::report::{Report, Totals};
use crate::time::Minutes;

/// Columns after `of`, `id` and `date`.
const FIGURES: [&str; 9] = [
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

/// A row under construction; columns without a figure stay empty.
struct Row {
    start: [String; 3],
    figures: Vec<(&'static str, String)>,
}

impl Row {
    fn new(of: &str, id: &str, date: String) -> Self {
        Self { start: [of.to_owned(), text(id), date], figures: Vec::new() }
    }

    fn time(mut self, column: &'static str, length: Minutes) -> Self {
        self.figures.push((column, hours(length)));
        self
    }

    fn count(mut self, column: &'static str, n: u32) -> Self {
        self.figures.push((column, n.to_string()));
        self
    }

    fn write(self, table: &mut Table) {
        let cell = |column: &&str| self.figures.iter().find(|(c, _)| c == column).map_or_else(String::new, |(_, text)| text.clone());
        let figures: Vec<String> = FIGURES.iter().map(cell).collect();
        table.push(self.start.into_iter().chain(figures).collect());
    }
}

/// `totals.csv`: labour of the job, by day, person, person and day, phase, task, and competence and day;
/// `of` says which. Hours are labour hours of tasks unless the column says otherwise.
#[must_use]
pub fn totals_csv(report: &Report<'_>) -> String {
    let mut table = Table::new(&["of", "id", "date"].into_iter().chain(FIGURES).collect::<Vec<_>>());
    let totals = report.totals();
    let job = Row::new("job", "", String::new()).time("labour_hours", totals.labour).time("overtime_hours", totals.overtime);
    job.time("night_hours", totals.night).write(&mut table);
    days(report, &mut table);
    people(report, &totals, &mut table);
    work(report, &totals, &mut table);
    for row in &totals.competences {
        let code = &report.problem().competences[row.competence].code;
        let start = Row::new("competence-day", code, report.date(row.day)).time("labour_hours", row.planned);
        row.model.into_iter().fold(start, |start, model| start.time("model_hours", model)).write(&mut table);
    }
    table.finish()
}

fn days(report: &Report<'_>, table: &mut Table) {
    for day in &report.account().days {
        Row::new("day", "", report.date(day.day))
            .time("labour_hours", day.labour)
            .time("overtime_hours", day.overtime)
            .time("unbooked_hours", day.unbooked)
            .time("unbooked_needed_hours", day.unbooked_needed)
            .write(table);
    }
}

fn people(report: &Report<'_>, totals: &Totals, table: &mut Table) {
    let problem = report.problem();
    for (id, row) in report.account().people.pairs() {
        Row::new("person", &problem.people[id].code, String::new())
            .time("labour_hours", row.labour)
            .time("overtime_hours", row.overtime)
            .time("night_hours", row.night)
            .count("evenings", row.evenings)
            .time("watch_hours", row.watch)
            .time("duty_hours", row.duty)
            .write(table);
    }
    for day in &report.account().days {
        for (person, labour) in day.by_person.pairs().filter(|(_, l)| !l.is_zero()) {
            Row::new("person-day", &problem.people[person].code, report.date(day.day))
                .time("labour_hours", *labour)
                .time("overtime_hours", overtime_on(totals, person, day.day))
                .write(table);
        }
    }
}

fn work(report: &Report<'_>, totals: &Totals, table: &mut Table) {
    let problem = report.problem();
    for row in &totals.phases {
        let start = Row::new("phase", &phase(&problem.phases[row.phase]), String::new());
        start.time("labour_hours", row.labour).time("overtime_hours", row.overtime).write(table);
    }
    let mut tasks: Vec<_> = totals.tasks.iter().collect();
    tasks.sort_by_key(|t| t.task);
    for row in tasks {
        let start = Row::new("task", &problem.tasks[row.task].code, String::new());
        start.time("labour_hours", row.account.labour).time("overtime_hours", row.overtime).write(table);
    }
}

fn overtime_on(totals: &Totals, person: PersonId, day: Day) -> Minutes {
    let row = totals.people.iter().find(|p| p.person == person);
    row.and_then(|p| p.evenings.iter().find(|(d, _)| *d == day)).map_or(Minutes::ZERO, |(_, over)| *over)
}
