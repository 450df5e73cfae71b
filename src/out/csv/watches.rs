//! `watches.csv`.

use crate::model::Stand;
use crate::out::csv::table::{Table, hours, stamps, text};
use crate::report::Report;

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
