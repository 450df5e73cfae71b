//! What a new plan changes, for people: one screen, and all of it.

mod json;
pub(super) mod words;

use crate::account::Account;
use crate::bound::EarliestDates;
use crate::id::TaskId;
use crate::model::Problem;
use crate::out::page::{Page, TIE};
use crate::out::words::{proven_late, proven_short, tied};
use crate::replan::{Changes, PersonChange, Reason, Remainder, TaskChange, Whole};
use crate::time::Minutes;

pub use json::changes_json;

/// What the texts are made from.
#[derive(Clone, Copy, Debug)]
pub struct ChangeSheet<'a> {
    /// The job with its log.
    pub whole: &'a Whole,
    /// What was left.
    pub rest: &'a Remainder,
    /// What the new plan comes to.
    pub account: &'a Account,
    /// What the told plan came to when it was made, and the problem it answered.
    pub told: Option<(&'a Problem, &'a Account)>,
    /// The changes.
    pub changes: &'a Changes,
    /// Name of the told plan.
    pub old: &'a str,
    /// Number of the new one.
    pub new: u32,
    /// What is proven about when each milestone can be met.
    pub earliest: &'a EarliestDates,
    /// What machines fall short by in every plan.
    pub machines_short: i64,
    /// What should be read beside it.
    pub notes: &'a [String],
}

/// How much of everything is shown.
#[derive(Clone, Copy)]
struct Room {
    pieces: usize,
    tasks: usize,
}

/// One screen: what happened, what it does to dates, and the nearest changes of everybody who has any.
#[must_use]
pub fn changes_screen(sheet: &ChangeSheet<'_>) -> String {
    text(sheet, Room { pieces: 2, tasks: 8 })
}

/// All changes.
#[must_use]
pub fn changes_text(sheet: &ChangeSheet<'_>) -> String {
    text(sheet, Room { pieces: usize::MAX, tasks: usize::MAX })
}

fn text(sheet: &ChangeSheet<'_>, room: Room) -> String {
    let problem = &sheet.rest.problem;
    let mut page = Page::default();
    let at = tied(&problem.clock.day_time(problem.start));
    page.text(&format!("What changed: plan {:03} in place of plan {}, from {at} on", sheet.new, sheet.old));
    happened(sheet, &mut page);
    dates(sheet, &mut page);
    if sheet.changes.people.is_empty() && !sheet.changes.duties.is_empty() {
        page.heading("For whom");
    } else if sheet.changes.people.is_empty() {
        page.blank();
        page.text("Nobody's work changes.");
    } else {
        page.heading("For whom");
        for change in &sheet.changes.people {
            person(sheet, change, room, &mut page);
        }
    }
    for (duty, was, now) in &sheet.changes.duties {
        let (name, clock) = (&problem.duties[*duty].code, &problem.clock);
        let who: Vec<&str> = problem.duties[*duty].who.iter().map(|p| problem.people[*p].code.as_str()).collect();
        let (was, now) = (tied(&clock.day_time(*was)), tied(&clock.day_time(*now)));
        page.text(&format!("Duty {name}: {was} -> {now}; {}", who.join(", ")));
    }
    why(sheet, room, &mut page);
    page.blank();
    for note in sheet.notes {
        page.text(note);
    }
    page.text("What is not logged counts as done as planned.");
    page.text(
        "Permits, isolation and the judgement of the master and the chief engineer come first; rest hours are checked, the past included.",
    );
    page.finish()
}

/// The entries the told plan did not know.
fn happened(sheet: &ChangeSheet<'_>, page: &mut Page) {
    let log = &sheet.whole.log;
    let clock = &sheet.rest.problem.clock;
    for position in sheet.rest.fresh.iter().copied() {
        let Some(entry) = log.entries.get(position) else { continue };
        page.hang(&tied(&clock.day_time(entry.at)), 14, 14, &words::entry(sheet.whole, entry));
        let added: Vec<&str> = log.tasks.iter().filter(|(e, _)| *e == position).map(|(_, t)| t.code.as_str()).collect();
        if !added.is_empty() {
            page.item("", 14, &format!("adds {}", added.join(" ")));
        }
    }
}

/// Milestones, finish, shortfalls, overtime: as told, and now.
fn dates(sheet: &ChangeSheet<'_>, page: &mut Page) {
    let (problem, account) = (&sheet.rest.problem, sheet.account);
    let day = |at| tied(&problem.clock.day_time(at));
    page.blank();
    for (id, milestone) in problem.milestones.pairs() {
        let now = account.milestones[id];
        let was = sheet.told.and_then(|(told, account)| {
            let old = told.milestones.find(|m| m.code == milestone.code)?;
            Some(account.milestones[old].met_at)
        });
        let late = if now.late > Minutes::ZERO {
            let proven = proven_late(milestone.due, now.met_at, sheet.earliest[id], day);
            format!(" - {} LATE; {proven}", tied(&now.late.to_string()))
        } else {
            ", in time".to_owned()
        };
        page.text(&format!("{}: {} (due {}){late}", milestone.code, arrow(was.map(day), day(now.met_at)), day(milestone.due)));
    }
    let was = sheet.told.map(|(_, account)| day(account.finish));
    page.text(&format!("All done: {}", arrow(was, day(account.finish))));
    for unit in problem.units.ids() {
        let by = problem.tasks.pairs().filter(|(_, t)| t.hands_back.contains(&unit));
        if let Some(back) = by.map(|(id, _)| account.tasks[id].end).max() {
            let was = sheet.told.and_then(|(told, account)| {
                let by = told.tasks.pairs().filter(|(_, t)| t.hands_back.contains(&unit));
                by.map(|(id, _)| account.tasks[id].end).max()
            });
            page.text(&format!("{} back: {}", problem.units[unit].code, arrow(was.map(day), day(back))));
        }
    }
    let overtime = account.people.iter().map(|p| p.overtime).sum::<Minutes>();
    page.text(&format!("Overtime from now on: {}", tied(&overtime.to_string())));
    if account.machinery_shortfall > 0 || account.reserve_shortfall > 0 {
        let (machines, reserve) = (account.machinery_shortfall, account.reserve_shortfall);
        let proven = if machines > 0 { format!(" ({})", proven_short(machines, sheet.machines_short)) } else { String::new() };
        page.text(&format!("SHORT: machinery {machines} unit slots{proven}, reserve {reserve} slots; days.txt says when"));
    }
}

/// `a -> b`, or `b` alone where nothing was told or nothing changed.
fn arrow(was: Option<String>, now: String) -> String {
    match was {
        Some(was) if was != now => format!("{was} -> {now}"),
        Some(_) => format!("{now}{TIE}as{TIE}told"),
        None => now,
    }
}

fn person(sheet: &ChangeSheet<'_>, change: &PersonChange, room: Room, page: &mut Page) {
    let problem = &sheet.rest.problem;
    let who = &problem.people[change.person];
    page.text(&format!("{}  {}", who.code, who.name));
    for piece in change.pieces.iter().take(room.pieces) {
        let label = format!("  {}", words::day_from_to(problem, piece.span));
        let (was, now) = (words::act_code(sheet.whole, problem, piece.was), words::act(sheet.whole, problem, piece.now));
        page.hang(&tied(&label), 24, 26, &format!("{was} -> {now}"));
    }
    let hidden = change.pieces.len().saturating_sub(room.pieces);
    if let (true, Some(last)) = (hidden > 0, change.pieces.last()) {
        let until = tied(&problem.clock.day_time(last.span.end()));
        page.hang(&tied(&format!("  and {hidden} more until {until}")), 0, 26, "");
    }
}

/// Tasks with the reasons.
fn why(sheet: &ChangeSheet<'_>, room: Room, page: &mut Page) {
    let (problem, tasks, gone) = (&sheet.rest.problem, &sheet.changes.tasks, &sheet.changes.gone);
    if tasks.is_empty() && gone.is_empty() {
        return;
    }
    page.heading("Why");
    for row in gone.iter().take(room.tasks) {
        let until = tied(&problem.clock.day_time(row.was.end()));
        let why = row.entry.map_or_else(String::new, |entry| format!(": {}", words::logged(sheet.whole, entry)));
        page.hang(&sheet.whole.parts.tasks[row.task].code, 6, 8, &format!("told until {until}, no more to do{why}"));
    }
    let hidden = gone.len().saturating_sub(room.tasks);
    if hidden > 0 {
        page.text(&format!("and {hidden} more tasks with no more to do, in changes.txt"));
    }
    let (new, moved): (Vec<&TaskChange>, Vec<&TaskChange>) = tasks.iter().partition(|t| match t.reason {
        Reason::New(_) => room.tasks < usize::MAX,
        _ => false,
    });
    if let Some(first) = new.iter().map(|t| t.now.start()).min() {
        let codes: Vec<String> = new.iter().map(|t| code(problem, t.task)).collect();
        let last = new.iter().map(|t| t.now.end()).max().unwrap_or(first);
        let day = |at| tied(&problem.clock.day_time(at));
        page.text(&format!("New, {} to {}: {}", day(first), day(last), codes.join(" ")));
    }
    for change in moved.iter().take(room.tasks) {
        let time = |at| tied(&problem.clock.day_time(at));
        let when = if change.same_time {
            format!("{} with other people", time(change.now.start()))
        } else if let Some(was) = change.was.filter(|was| was.start() == change.now.start()) {
            // It goes on, or begins, as told: what changes is when it is over.
            format!("until {}", arrow(Some(time(was.end())), time(change.now.end())))
        } else {
            arrow(change.was.map(|was| time(was.start())), time(change.now.start()))
        };
        let reason = words::reason(sheet.whole, problem, change.reason);
        page.hang(&code(problem, change.task), 6, 8, &format!("{when}: {reason}"));
    }
    let hidden = moved.len().saturating_sub(room.tasks);
    if hidden > 0 {
        page.text(&format!("and {hidden} more tasks, in changes.txt"));
    }
}

fn code(problem: &Problem, task: TaskId) -> String {
    problem.tasks[task].code.clone()
}
