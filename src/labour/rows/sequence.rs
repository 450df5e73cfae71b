//! Row 4: tasks that come after one another share the time of a period.

use std::collections::{BTreeMap, BTreeSet};

use super::Meaning;
use crate::id::TaskId;
use crate::labour::build::Built;
use crate::labour::ground::{Ground, int};
use crate::lp::{Col, Relation};

/// `Σ work[i, k] ≤ slots of k` over the tasks of a path of the order, all of which have room in `k`. Waits are
/// not added: one of the tasks may well have no work in the period.
///
/// True of every plan: of two tasks one of which comes after the other, never two are at work in the same
/// slot. Of all paths of a period only so many are taken that every pair of neighbours is on one.
pub(in crate::labour) fn sequence(ground: &Ground<'_>, built: &mut Built) {
    for k in 0..ground.periods.len() {
        let here: BTreeMap<TaskId, Col> = built
            .columns
            .work
            .pairs()
            .filter_map(|(task, columns)| {
                let position = columns.binary_search_by_key(&k, |(p, _)| *p).ok()?;
                Some((task, columns[position].1))
            })
            .collect();
        let slots = int(ground.periods[k].slots());
        for path in paths(ground, &here) {
            let most: i64 = path.iter().map(|t| built.model.bounds(here[t]).1.unwrap_or(slots)).sum();
            if most > slots {
                let terms: Vec<_> = path.iter().map(|t| (here[t], 1)).collect();
                built.row(Meaning::Sequence(k), terms, Relation::AtMost, slots);
                let mut tasks = path;
                tasks.sort_unstable();
                built.sequences.insert((k, tasks));
            }
        }
    }
}

/// Paths through the tasks `here` that together cover every pair of neighbours, each with as many pairs not
/// yet covered as can be.
fn paths(ground: &Ground<'_>, here: &BTreeMap<TaskId, Col>) -> Vec<Vec<TaskId>> {
    let problem = ground.problem;
    let order: Vec<TaskId> = problem.order().iter().copied().filter(|t| here.contains_key(t)).collect();
    let before = |task: TaskId| problem.tasks[task].after.iter().map(|a| a.task).filter(|t| here.contains_key(t));
    let mut open: BTreeSet<(TaskId, TaskId)> = order.iter().flat_map(|t| before(*t).map(|b| (b, *t))).collect();
    let mut paths = Vec::new();
    while !open.is_empty() {
        // Most open pairs, then most tasks, on a path that ends with each task.
        let mut best: BTreeMap<TaskId, ((usize, usize), Option<TaskId>)> = BTreeMap::new();
        for task in &order {
            let ways = before(*task).map(|b| {
                let (pairs, tasks) = best[&b].0;
                ((pairs + usize::from(open.contains(&(b, *task))), tasks + 1), Some(b))
            });
            let value = ways.max().unwrap_or(((0, 1), None));
            best.insert(*task, value);
        }
        let Some(end) = order.iter().copied().max_by_key(|t| (best[t].0, std::cmp::Reverse(*t))) else { break };
        let mut path = vec![end];
        while let Some(b) = best[&path[path.len() - 1]].1 {
            open.remove(&(b, path[path.len() - 1]));
            path.push(b);
        }
        path.reverse();
        paths.push(path);
    }
    paths
}
