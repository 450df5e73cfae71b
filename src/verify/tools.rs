//! Rule 6, tools: never more held than there are, and none while it cannot be had.
//!
//! A spell holds its tools from its first minute to its last, pauses included; a tool held through waits is
//! held from the first start of the task that fills it to the last end of the one that empties it.

use crate::id::{IdVec, TaskId, ToolId};
use crate::time::Span;
use crate::verify::breach::{Breach, Clause, Thing};
use crate::verify::facts::Facts;
use crate::verify::spans::overloads;

/// One use of a tool.
#[derive(Clone, Copy)]
struct Use {
    task: TaskId,
    span: Span,
    number: usize,
}

/// Breaches in the use of tools.
pub(super) fn check(facts: &Facts) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (id, uses) in uses(facts).pairs() {
        let tool = &facts.problem.tools[id];
        let held: Vec<(Span, usize)> = uses.iter().map(|u| (u.span, u.number)).collect();
        let most = usize::try_from(tool.number).unwrap_or(usize::MAX);
        let over = overloads(&held, most).into_iter();
        breaches
            .extend(over.map(|(window, found)| Breach::new(Clause::ToolOverbooked).of(Thing::Tool(id)).during(window).count(found, most)));
        for held in uses {
            let away = tool.away.iter().filter_map(|away| away.intersection(held.span));
            breaches.extend(
                away.map(|window| Breach::new(Clause::ToolAway).of(Thing::Tool(id)).against(Thing::Task(held.task)).during(window)),
            );
        }
    }
    breaches
}

/// All uses of each tool.
fn uses(facts: &Facts) -> IdVec<ToolId, Vec<Use>> {
    let mut uses: IdVec<ToolId, Vec<Use>> = IdVec::filled(Vec::new(), facts.problem.tools.len());
    let count = |number: u32| usize::try_from(number).unwrap_or(usize::MAX);
    for spell in &facts.plan.spells {
        for (tool, number) in &facts.problem.tasks[spell.task].tools {
            uses[*tool].push(Use { task: spell.task, span: spell.span(), number: count(*number) });
        }
    }
    for hold in &facts.problem.holds {
        let filled = hold.fill.map_or(Some(facts.problem.start), |fill| facts.task_span(fill).map(Span::start));
        let emptied = facts.task_span(hold.empty).map(Span::end);
        if let (Some(filled), Some(emptied)) = (filled, emptied)
            && let Some(span) = Span::new(filled, emptied)
        {
            uses[hold.tool].push(Use { task: hold.fill.unwrap_or(hold.empty), span, number: count(hold.number) });
        }
    }
    uses
}
