//! Row 3: order and waits.

use super::Meaning;
use crate::labour::build::Built;
use crate::labour::columns::Sum;
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
            let mut rows: Vec<(usize, Sum, i64)> = Vec::new();
            for (position, (k, _)) in mine.iter().enumerate() {
                let done = done_by(*k);
                let next_same = mine.get(position + 1).is_some_and(|(next, _)| done_by(*next) == done);
                if done == theirs.len() || next_same {
                    continue;
                }
                let (mut terms, mine_sum) = share(mine, position + 1, built.columns.unplaced[*later], my_length, their_length);
                let (theirs_terms, theirs_sum) = share(theirs, done, built.columns.unplaced[earlier], their_length, -my_length);
                terms.extend(theirs_terms);
                rows.push((*k, terms, -mine_sum - theirs_sum));
            }
            for (k, terms, right) in rows {
                built.row(Meaning::Order(earlier, *later, k), terms, Relation::AtMost, right);
            }
        }
    }
}

/// `times` the work in the first `count` columns of a task, as terms and a constant. The rest of the task
/// may be shorter: the work done is then the length, less what is unplaced, less the work still to come.
fn share(columns: &[(usize, Col)], count: usize, unplaced: Col, length: i64, times: i64) -> (Sum, i64) {
    let (done, to_come) = columns.split_at(count);
    if done.len() <= to_come.len() + 1 {
        (done.iter().map(|(_, col)| (*col, times)).collect(), 0)
    } else {
        let terms = to_come.iter().map(|(_, col)| (*col, -times)).chain([(unplaced, -times)]);
        (terms.collect(), times * length)
    }
}
