//! Stop points: how long closing up takes from each half day on, and what may not be interrupted.

mod json;

use crate::clock::Day;
use crate::id::TaskId;
use crate::model::Problem;
use crate::out::JobFigures;
use crate::out::page::{Page, left, right};
use crate::out::sole::sole_text;
use crate::out::words::{decimal, tied};
use crate::replan::{Overnight, Sole, Whole};
use crate::time::{Minutes, Moment, Span};

pub use json::stops_json;

/// Closing up from one moment on.
#[derive(Clone, Debug)]
pub struct StopRow {
    /// From when on.
    pub from: Moment,
    /// What comes of it, or why there is no plan.
    pub stopped: Result<Stopped, String>,
}

/// What comes of stopping at a moment.
#[derive(Clone, Debug)]
pub enum Stopped {
    /// No machine is out for the job.
    NothingOpen,
    /// A verified plan of closing up.
    ClosedUp {
        /// What it comes to.
        figures: JobFigures,
        /// Before when no plan of it can end.
        not_before: Moment,
        /// How many tasks it has.
        tasks: usize,
        /// Tasks of the whole table that are left out.
        left_out: Vec<TaskId>,
    },
}

/// What the texts are made from.
#[derive(Clone, Copy, Debug)]
pub struct StopSheet<'a> {
    /// The job with its log.
    pub whole: &'a Whole,
    /// The problem that the plan people were told answers.
    pub standing: &'a Problem,
    /// What is left at the time asked about.
    pub rest: &'a Problem,
    /// Name of the plan.
    pub plan: &'a str,
    /// The time asked about, where one was given.
    pub said: Option<Moment>,
    /// When the plan is done.
    pub going_on: Moment,
    /// The moments, in order of time.
    pub rows: &'a [StopRow],
    /// The night asked about.
    pub night: Span,
    /// What goes on in it and may not be interrupted.
    pub tonight: &'a [Overnight],
    /// Who alone holds what is still needed.
    pub sole: &'a [Sole],
}

impl StopRow {
    /// Whether this closes up before the plan would be done; `None` where nothing is open or no plan was found.
    fn is_quicker(&self, going_on: Moment) -> Option<bool> {
        match &self.stopped {
            Ok(Stopped::ClosedUp { figures, .. }) => Some(figures.finish < going_on),
            Ok(Stopped::NothingOpen) | Err(_) => None,
        }
    }
}

impl StopSheet<'_> {
    /// From which of the moments on closing up is never planned to be quicker than going on.
    fn no_return(&self) -> Option<Moment> {
        let last = self.rows.iter().rposition(|row| row.is_quicker(self.going_on) == Some(true)).map_or(0, |at| at + 1);
        self.rows.iter().skip(last).find(|row| row.is_quicker(self.going_on) == Some(false)).map(|row| row.from)
    }
}

/// The text, on one screen as far as it goes.
#[must_use]
pub fn stops_text(sheet: &StopSheet<'_>) -> String {
    let clock = &sheet.standing.clock;
    let day_time = |at| tied(&clock.day_time(at));
    let mut page = Page::default();
    page.text(&format!("{}: stop points; plan {} goes on to {}", sheet.standing.ship, sheet.plan, day_time(sheet.going_on)));
    if let Some((said, row)) = sheet.said.and_then(|said| Some((said, sheet.rows.first().filter(|row| row.from == said)?))) {
        page.text(&format!("From {}: {}", day_time(said), sentence(sheet, row)));
    }
    page.row(&line("close up", ["from 00:00", "hours", "tasks"], ["from 12:00", "hours", "tasks"]));
    page.rule('-');
    table(sheet, &mut page);
    for row in sheet.rows {
        if let Err(why) = &row.stopped {
            page.text(&format!("From {}: {why}", day_time(row.from)));
        }
    }
    let quickest = match sheet.no_return() {
        Some(at) => format!("From {} on, closing up is nowhere planned to be quicker than going on (*).", day_time(at)),
        None => "At none of these times is going on as quick as closing up.".to_owned(),
    };
    page.text(&quickest);
    page.text(
        "Each is a verified plan of a short search from then on, everything before as planned: what `close_up` in tasks.toml lets \
         out left out, the rest done, tests too. (=) proven shortest, (!) machines or reserve short.",
    );
    page.text(&format!("Not to be interrupted {} to {}:", day_time(sheet.night.start()), day_time(sheet.night.end())));
    if sheet.tonight.is_empty() {
        page.hang("", 2, 4, "nothing");
    }
    for one in sheet.tonight {
        page.hang("", 2, 4, &goes_on(sheet.standing, one));
    }
    let mut text = page.finish();
    text.push_str(sole_text(sheet.rest, sheet.sole).trim_end());
    text.push_str("\n`turnto without` plans what comes of the job without each of them.\n");
    text
}

/// One line of the table.
fn line(name: &str, from_midnight: [&str; 3], from_noon: [&str; 3]) -> String {
    let half = |[at, hours, tasks]: [&str; 3]| format!("{} {} {}", left(at, 16), right(hours, 6), right(tasks, 5));
    format!("{} {}   {}", left(name, 8), half(from_midnight), half(from_noon)).trim_end().to_owned()
}

/// A line for each ship's day.
fn table(sheet: &StopSheet<'_>, page: &mut Page) {
    let clock = &sheet.standing.clock;
    let mut days: Vec<Day> = sheet.rows.iter().map(|row| clock.day(row.from)).collect();
    days.dedup();
    for day in days {
        let half = |time: Minutes| {
            let row = sheet.rows.iter().find(|row| row.from == clock.at(day, time));
            row.map_or_else(Default::default, |row| cells(sheet, row))
        };
        let (midnight, noon) = (half(Minutes::ZERO), half(Minutes::hours(12)));
        let lent = |[a, b, c]: &[String; 3]| [a.clone(), b.clone(), c.clone()];
        let (midnight, noon) = (lent(&midnight), lent(&noon));
        if midnight.iter().chain(&noon).any(|cell| !cell.is_empty()) {
            let name = format!("day {}", day.number());
            page.row(&line(&name, midnight.each_ref().map(String::as_str), noon.each_ref().map(String::as_str)));
        }
    }
}

/// When it is closed up, in how many hours, with how many tasks.
fn cells(sheet: &StopSheet<'_>, row: &StopRow) -> [String; 3] {
    match &row.stopped {
        Err(_) => ["no plan".to_owned(), String::new(), String::new()],
        Ok(Stopped::NothingOpen) => ["nothing open".to_owned(), String::new(), String::new()],
        Ok(Stopped::ClosedUp { figures, tasks, not_before, .. }) => {
            let at = format!("{}{}", sheet.standing.clock.day_time(figures.finish), marks(sheet, row, figures, *not_before));
            [at, decimal(figures.finish - row.from), tasks.to_string()]
        }
    }
}

/// `=` where no plan can be quicker, `*` where it is no quicker than going on, `!` where something falls short.
fn marks(sheet: &StopSheet<'_>, row: &StopRow, figures: &JobFigures, not_before: Moment) -> String {
    let proven = if figures.finish <= not_before { "=" } else { "" };
    let slow = if row.is_quicker(sheet.going_on) == Some(false) { "*" } else { "" };
    let short = if figures.machinery > 0 || figures.reserve > 0 { "!" } else { "" };
    format!("{proven}{slow}{short}")
}

/// What stopping at one moment comes to, in words.
fn sentence(sheet: &StopSheet<'_>, row: &StopRow) -> String {
    let clock = &sheet.standing.clock;
    match &row.stopped {
        Err(_) => "no plan of closing up".to_owned(),
        Ok(Stopped::NothingOpen) => "nothing is open".to_owned(),
        Ok(Stopped::ClosedUp { figures, not_before, tasks, left_out }) => format!(
            "closed up {}{}, {} h, {tasks} tasks; {} left out",
            tied(&clock.day_time(figures.finish)),
            marks(sheet, row, figures, *not_before),
            decimal(figures.finish - row.from),
            left_out.len()
        ),
    }
}

/// Something that goes on in the night, in words.
fn goes_on(problem: &Problem, one: &Overnight) -> String {
    let until = |span: Span| tied(&problem.clock.day_time(span.end()));
    let task = |id: TaskId| format!("{} {}", problem.tasks[id].code, problem.tasks[id].text);
    match one {
        Overnight::Spell { task: id, span, part: false } => format!("{}: all in one go, until {}", task(*id), until(*span)),
        Overnight::Spell { task: id, span, part: true } => format!("{}: the part under way, until {}", task(*id), until(*span)),
        Overnight::ByItself { task: id, span, attended_by } => {
            let post = attended_by.map_or_else(|| "nobody at it".to_owned(), |post| format!("attended by {}", problem.posts[post].code));
            format!("{}: runs by itself, {post}, until {}", task(*id), until(*span))
        }
        Overnight::Held { tool, number, span, until: id } => {
            let many = if *number > 1 { format!("{number} ") } else { String::new() };
            format!("{many}{} held until {} is done, {}", problem.tools[*tool].code, problem.tasks[*id].code, until(*span))
        }
    }
}
