//! Who alone holds what is still needed.

use crate::model::Problem;
use crate::out::page::Page;
use crate::replan::Sole;

/// A line for each.
#[must_use]
pub fn sole_text(problem: &Problem, sole: &[Sole]) -> String {
    let mut page = Page::default();
    if sole.is_empty() {
        page.text("Nobody alone holds, with hours for the job, a competence that is still needed.");
    }
    for row in sole {
        let tasks: Vec<&str> = row.tasks.iter().map(|t| problem.tasks[*t].code.as_str()).collect();
        let (who, what) = (&problem.people[row.person].code, &problem.competences[row.competence].code);
        let tied: Vec<&str> = row.tied.iter().map(|id| problem.people[*id].code.as_str()).collect();
        let tasks = tasks.join(" ");
        let said = if tied.is_empty() {
            format!("{who} alone holds {what}, which {tasks} still need")
        } else {
            let none = if tied.len() == 1 { "has none" } else { "have none" };
            format!("{who} alone holds {what} and has hours for the job ({} {none}); {tasks} still need it", tied.join(", "))
        };
        page.hang("", 0, 4, &said);
    }
    page.text("");
    page.finish()
}
