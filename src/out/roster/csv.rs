//! A roster as a table.

use crate::model::Stand;
use crate::out::csv::{Table, hours, text};
use crate::out::roster::RosterView;

/// A row for each turn that begins in the time shown. A turn that nobody stands has an empty person.
#[must_use]
pub fn roster_csv(view: &RosterView<'_>) -> String {
    let problem = view.problem;
    let mut table = Table::new(&["post", "name", "from", "to", "hours", "person", "line", "stand"]);
    for (id, turn) in problem.turns.pairs().filter(|(_, t)| view.time.contains(t.span.start())) {
        let post = &problem.posts[turn.post];
        let stamp = |at| problem.clock.stamp(at).to_rfc3339();
        let person = view.outcome.rosters[0].stands[id].map_or_else(String::new, |p| text(&problem.people[p].code));
        let stand = match (&turn.stand, person.is_empty()) {
            (_, true) => "nobody",
            (Stand::Fixed(_), false) => "fixed",
            (Stand::Open(_), false) => "chosen",
        };
        table.push(vec![
            text(&post.code),
            text(&post.name),
            stamp(turn.span.start()),
            stamp(turn.span.end()),
            hours(turn.span.length()),
            person,
            text(&turn.line),
            stand.to_owned(),
        ]);
    }
    table.finish()
}
