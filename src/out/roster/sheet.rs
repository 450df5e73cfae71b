//! The sheet to post where the watch is kept.

use std::collections::BTreeMap;

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

/// A table for each post: days down, lines across, each with its hours.
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
            let cells = columns.iter().map(|(from, to)| {
                let turns = problem.turns.pairs().filter(|(_, t)| {
                    t.post == id && clock.day(t.span.start()) == day && view.time.contains(t.span.start()) && hours(view, t.span) == (from.clone(), to.clone())
                });
                let names: Vec<String> = turns
                    .map(|(turn, _)| stands[turn].map_or_else(|| "NOBODY".to_owned(), |p| problem.people[p].code.clone()))
                    .collect();
                if names.is_empty() { "-".to_owned() } else { names.join("/") }
            });
            (format!("day {} {}", day.number(), clock.weekday_date(day)), cells.collect::<Vec<String>>())
        });
        let heads = columns.iter().map(|(from, to)| format!("{from}-{to}")).collect();
        Wide { corner: post.code.clone(), heads, rows: rows.collect() }.write(page);
    }
}

/// The times of day at which turns of a post begin and end, in order.
fn columns(view: &RosterView<'_>, post: PostId) -> Vec<(String, String)> {
    let mut seen: BTreeMap<(String, String), ()> = BTreeMap::new();
    for (_, turn) in view.problem.turns.pairs().filter(|(_, t)| t.post == post && view.time.contains(t.span.start())) {
        seen.insert(hours(view, turn.span), ());
    }
    seen.into_keys().collect()
}

fn hours(view: &RosterView<'_>, span: Span) -> (String, String) {
    let clock = &view.problem.clock;
    let to = if clock.minute_of_day(span.end()).is_zero() { "24:00".to_owned() } else { clock.hour(span.end()) };
    (clock.hour(span.start()), to)
}
