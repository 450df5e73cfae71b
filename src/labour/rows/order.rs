//! Row 3: order and waits.

use super::Meaning;
use crate::labour::build::Built;
use crate::labour::ground::{Ground, int};
use crate::lp::{Col, Relation};

/// `share[j, k] ≤ share[i, m]` for `j` after `i` with a wait: the share of `j` done by the end of period `k`
/// is at most the share of `i` done by the end of period `m`, the last that starts before the end of `k`
/// less the wait (none: no share at all). Multiplied out with both lengths.
///
/// True of every plan: if any of `j` is done before the end of `k`, then `i` ended, wait included, before
/// the end of `k`, so in `m` or earlier, and its share is the whole; if none is, the left side is zero. Only
/// the last `k` of those with the same `m` is needed, since shares grow; and none where `i` has no column
/// after `m`, since its share is the whole then.
pub(in crate::labour) fn order(ground: &Ground<'_>, built: &mut Built) {
    let range = ground.fit.people().range();
    for later in ground.problem.order() {
        for after in &ground.problem.tasks[*later].after {
            let earlier = after.task;
            let wait = range.wait(after.lag);
            let (mine, theirs) = (&built.columns.work[*later], &built.columns.work[earlier]);
            let (my_length, their_length) = (int(ground.fit.length(*later)), int(ground.fit.length(earlier)));
            // How many columns of the earlier task lie in periods up to m.
            let done_by = |k: usize| match ground.periods[k].to.checked_sub(wait) {
                None => 0,
                Some(limit) => theirs.partition_point(|(p, _)| ground.periods[*p].from < limit),
            };
            let mut rows: Vec<(usize, Vec<(Col, i64)>)> = Vec::new();
            for (position, (k, _)) in mine.iter().enumerate() {
                let done = done_by(*k);
                let next_same = mine.get(position + 1).is_some_and(|(next, _)| done_by(*next) == done);
                if done == theirs.len() || next_same {
                    continue;
                }
                let left = mine[..=position].iter().map(|(_, col)| (*col, their_length));
                let right = theirs[..done].iter().map(|(_, col)| (*col, -my_length));
                rows.push((*k, left.chain(right).collect()));
            }
            for (k, terms) in rows {
                built.row(Meaning::Order(earlier, *later, k), terms, Relation::AtMost, 0);
            }
        }
    }
}
