//! The sheet to post where the watch is kept.

use crate::id::PostId;
use crate::out::hours::FIRST;
use crate::out::page::Page;
use crate::out::roster::{RosterView, words};
use crate::out::tables::Wide;
use crate::out::words::tied;
use crate::time::Span;

/// The roster as a sheet to post: who has which watch on which day, and nothing else.
#[must_use]
pub fn roster_sheet(view: &RosterView<'_>) -> String {
    let problem = view.problem;
    let mut page = Page::default();
    page.rule('=');
    page.text(&format!("WATCHES   {}   {}, ship's time", problem.ship, words::from_to(problem, view.time)));
    page.rule('=');
    days(&mut page, view);
    page.heading("Who is who");
    for row in view.people {
        let person = &problem.people[row.person];
        let role = if person.role.is_empty() { String::new() } else { format!(", {}", person.role) };
        page.item(&tied(&person.code), 7, &format!("{}{role}", person.name));
    }
    page.heading("To be kept");
    page.text(
        "Nobody hands over to a relief who is plainly not fit to take the watch; the chief engineer is told. The watch is kept until \
         it is relieved. Who is short of rest says so.",
    );
    page.text(FIRST);
    page.finish()
}

/// A table for each post: days down, lines across, each with its hours. A part of a watch stands in the column of the whole.
pub(super) fn days(page: &mut Page, view: &RosterView<'_>) {
    let (problem, clock) = (view.problem, &view.problem.clock);
    let stands = &view.outcome.rosters[0].stands;
    for (id, post) in problem.posts.pairs() {
        let columns = columns(view, id);
        if columns.is_empty() {
            continue;
        }
        page.blank();
        let rows = problem.days(view.time.end()).map(|day| {
            let cells = columns.iter().map(|column| {
                let turns = problem.turns.pairs().filter(|(_, t)| {
                    let there = t.post == id && clock.day(t.span.start()) == day && view.time.contains(t.span.start());
                    there && columns.iter().find(|c| inside(hours(view, t.span), **c)) == Some(column)
                });
                let mut names: Vec<String> =
                    turns.map(|(turn, _)| stands[turn].map_or_else(|| "NOBODY".to_owned(), |p| problem.people[p].code.clone())).collect();
                names.dedup();
                if names.is_empty() { "-".to_owned() } else { names.join("/") }
            });
            (format!("day {} {}", day.number(), clock.weekday_date(day)), cells.collect::<Vec<String>>())
        });
        let time = |minutes: i32| format!("{:02}:{:02}", minutes / 60, minutes % 60);
        let heads =
            columns.iter().map(|(from, to)| format!("{}-{}", time(*from), time(if *to > 1440 { to - 1440 } else { *to }))).collect();
        Wide { corner: post.code.clone(), heads, rows: rows.collect() }.write(page);
    }
}

/// The times of day at which turns of a post begin and end, in order; parts of others left out.
fn columns(view: &RosterView<'_>, post: PostId) -> Vec<(i32, i32)> {
    let mut seen: Vec<(i32, i32)> =
        view.problem.turns.iter().filter(|t| t.post == post && view.time.contains(t.span.start())).map(|t| hours(view, t.span)).collect();
    seen.sort_unstable();
    seen.dedup();
    let whole = |part: &(i32, i32)| !seen.iter().any(|other| other != part && inside(*part, *other));
    seen.iter().copied().filter(whole).collect()
}

const fn inside(part: (i32, i32), whole: (i32, i32)) -> bool {
    whole.0 <= part.0 && part.1 <= whole.1
}

/// Minutes of the day at which a turn begins and ends, the end over 1440 if it is on the next day.
fn hours(view: &RosterView<'_>, span: Span) -> (i32, i32) {
    let from = view.problem.clock.minute_of_day(span.start()).get();
    (from, from + span.length().get())
}
