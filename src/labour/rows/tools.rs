//! Row 6: tools.

use super::Meaning;
use crate::bits::Bits;
use crate::id::TaskId;
use crate::labour::build::Built;
use crate::labour::ground::{Ground, int};
use crate::lp::Relation;

/// `Σ number[i, g] · work[i, k] ≤ number of g · slots of k in which g can be had`.
///
/// True of every plan: in each slot of work of a task its tools are in use, and no more than there are. That
/// a tool is also held in pauses, and through waits, is left out, which only loosens the model.
pub(in crate::labour) fn tools(ground: &Ground<'_>, built: &mut Built) {
    let range = ground.fit.people().range();
    for (tool, data) in ground.problem.tools.pairs() {
        let mut there = Bits::all(range.len());
        for away in &data.away {
            let (from, to) = range.touching(*away);
            there.remove_range(from, to);
        }
        let users: Vec<(TaskId, i64)> = ground
            .problem
            .tasks
            .pairs()
            .filter_map(|(id, task)| task.tools.iter().find(|(t, _)| *t == tool).map(|(_, n)| (id, i64::from(*n))))
            .collect();
        for (k, period) in ground.periods.iter().enumerate() {
            let mut terms = Vec::new();
            let mut most = 0;
            for (task, number) in &users {
                let columns = &built.columns.work[*task];
                if let Ok(position) = columns.binary_search_by_key(&k, |(p, _)| *p) {
                    let col = columns[position].1;
                    most += number * built.model.bounds(col).1.unwrap_or(0);
                    terms.push((col, *number));
                }
            }
            let right = i64::from(data.number) * int(there.count_range(period.from, period.to));
            // One tool each, and all of them on one path of the order: that row says the same already.
            let here: Vec<TaskId> = users.iter().map(|(t, _)| *t).filter(|t| built.columns.has(*t, k)).collect();
            let single = right == int(period.slots()) && users.iter().all(|(_, number)| *number == 1);
            let mut paths = built.sequences.range((k, Vec::new())..(k + 1, Vec::new()));
            let said = single && paths.any(|(_, path)| here.iter().all(|t| path.binary_search(t).is_ok()));
            if most > right && !said {
                built.row(Meaning::Tool(tool, k), terms, Relation::AtMost, right);
            }
        }
    }
}
