//! A roster as text.

use crate::out::hours::{FIRST, sets_read_as};
use crate::out::page::{self, Page};
use crate::out::roster::sheet::days;
use crate::out::roster::{RosterView, tried, words};
use crate::out::tables::Wide;
use crate::out::words::tied;
use crate::roster::{Explained, Reason};

/// The roster as text of at most 80 columns.
#[must_use]
pub fn roster_text(view: &RosterView<'_>) -> String {
    let problem = view.problem;
    let mut page = Page::default();
    page.text(&format!("{} - {}", problem.ship, problem.title));
    page.text(&format!("Watches {}, ship's time", words::from_to(problem, view.time)));
    let holes = view.outcome.holes.iter().filter(|h| view.time.contains(problem.turns[h.turn].span.start())).count();
    if holes > 0 {
        page.text(&format!("ATTENTION: {holes} of the turns are stood by nobody; see below."));
    }
    page.text(FIRST);
    stints(&mut page, view);
    gaps(&mut page, view);
    people(&mut page, view);
    page.heading("Day by day");
    days(&mut page, view);
    tried::write(&mut page, view);
    page.heading("How good it is");
    let costs = view.outcome.rosters[0].costs;
    page.text(&format!(
        "Uncovered {}, lines taken over {}, the same rota two days running {}, night and rota over an even share {}, ordinary job time \
         lost {} (weighed by how much each person is wanted).",
        words::hours(costs.uncovered),
        costs.changes,
        costs.running,
        words::hours(costs.uneven),
        words::hours(costs.lost),
    ));
    page.text(&words::proof(view.outcome));
    page.blank();
    for text in sets_read_as(problem) {
        page.text(&text);
    }
    page.finish()
}

fn stints(page: &mut Page, view: &RosterView<'_>) {
    let problem = view.problem;
    for (id, post) in problem.posts.pairs() {
        let own: Vec<&Explained> = view.explained.iter().filter(|e| e.stint.post == id).collect();
        if own.is_empty() {
            continue;
        }
        let name = if post.name.is_empty() { String::new() } else { format!(", {}", post.name) };
        page.heading(&format!("{}{name}", post.code));
        let width = own.iter().map(|e| page::length(&e.stint.line)).max().unwrap_or(0).min(24) + 2;
        for one in own {
            let who = one.stint.person.map_or_else(|| "NOBODY".to_owned(), |p| words::code(problem, p));
            let said = format!("{who}, {}; {}", words::stint(problem, &one.stint), reason(view, one));
            page.item(&one.stint.line, width, &said);
        }
    }
}

fn reason(view: &RosterView<'_>, one: &Explained) -> String {
    let problem = view.problem;
    let mut said = match one.reason {
        Reason::Named => "named".to_owned(),
        Reason::Only => "the only one named".to_owned(),
        Reason::Had => "keeps the line".to_owned(),
        Reason::Instead(other, Some(bar)) => {
            format!("because {} {}", words::code(problem, other), words::short_bar(problem, other, &bar))
        }
        Reason::Instead(other, None) => format!("in place of {}: the whole comes out better so", words::code(problem, other)),
        Reason::InTurn => "in turn".to_owned(),
        Reason::Chosen => "chosen".to_owned(),
        Reason::Nobody => "see below".to_owned(),
    };
    if !one.others.is_empty() {
        said = format!("{said}, job time lost {}", words::hours(one.lost));
    }
    // Who was there before has had his word already.
    let spoken = match one.reason {
        Reason::Instead(other, Some(_)) => Some(other),
        _ => None,
    };
    for other in one.others.iter().filter(|o| Some(o.person) != spoken) {
        let code = words::code(problem, other.person);
        match &other.bar {
            Some(bar) => said = format!("{said}; {code} {}", words::short_bar(problem, other.person, bar)),
            None => said = format!("{said}; {code} would lose {}", words::hours(other.lost)),
        }
    }
    said
}

fn gaps(page: &mut Page, view: &RosterView<'_>) {
    let problem = view.problem;
    let (told, untold): (Vec<_>, Vec<_>) = view.outcome.holes.iter().partition(|h| !h.why.is_empty());
    if told.is_empty() {
        return;
    }
    page.heading("Stood by nobody");
    for hole in told {
        let turn = &problem.turns[hole.turn];
        let label = tied(&problem.posts[turn.post].code);
        page.item(&label, 7, &format!("{} ({})", words::from_to(problem, turn.span), turn.line));
        for (person, bar) in &hole.why {
            page.item("", 7, &format!("{} {}.", words::code(problem, *person), words::bar(problem, *person, bar)));
        }
        for repair in &hole.repairs {
            page.item("", 7, &format!("Way out: {}.", words::repair(problem, hole, repair)));
        }
        if hole.repairs.is_empty() {
            page.item("", 7, "No way out was found among those who may stand it. Do not leave it so.");
        }
    }
    if !untold.is_empty() {
        page.text(&format!("And {} more turns, some of them after the job; settle these first.", untold.len()));
    }
}

fn people(page: &mut Page, view: &RosterView<'_>) {
    page.heading("For each person");
    let heads = ["watch", "night", "turns", "changes", "rest/24h", "rest/7d"].map(str::to_owned).to_vec();
    let rows = view.people.iter().map(|row| {
        let hours = |m: crate::time::Minutes| crate::out::words::decimal(m);
        let cells = vec![
            hours(row.watch),
            hours(row.night),
            row.turns.to_string(),
            row.changes.to_string(),
            hours(row.rest.least_24h),
            hours(row.rest.least_7d),
        ];
        (view.problem.people[row.person].code.clone(), cells)
    });
    Wide { corner: "hours".to_owned(), heads, rows: rows.collect() }.write(page);
    page.text("Night: 00:00 to 06:00. Rest: the least in any 24 hours and any 7 days with watches, duties, time on hand between two of them in one working day, and the record, before work on the job.");
}
