//! Who alone holds what is still needed.

use crate::model::Problem;
use crate::out::page::Page;
use crate::replan::Sole;

/// A line for each.
#[must_use]
pub fn sole_text(problem: &Problem, sole: &[Sole]) -> String {
    let mut page = Page::default();
    if sole.is_empty() {
        page.text("Nobody alone holds a competence that is still needed.");
    }
    for row in sole {
        let tasks: Vec<&str> = row.tasks.iter().map(|t| problem.tasks[*t].code.as_str()).collect();
        let (who, what) = (&problem.people[row.person].code, &problem.competences[row.competence].code);
        page.hang("", 0, 4, &format!("{who} alone holds {what}, which {} still need", tasks.join(" ")));
    }
    page.text("");
    page.finish()
}
