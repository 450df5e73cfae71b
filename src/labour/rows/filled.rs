//! Row 2: what tasks need is filled by people who hold it, each in one place at a time.

use super::Meaning;
use crate::labour::build::Built;
use crate::labour::ground::{Ground, int};
use crate::lp::Relation;

/// For each period and pool of classes, what all tasks need of it equals what its classes fill; and a class
/// gives no more of a period than its people have time.
///
/// True of every plan: in each slot of a spell each position is filled by one holder of its competence who
/// is in hours and free then, hence in a class of its pool; and a person fills one position at a time. Tasks
/// are added up per pool: which task a person serves is left open, and so is that the positions of one task
/// go to different people (the slots in which a team of different people exists bound each task's work
/// column instead). Both only loosen the model.
pub(in crate::labour) fn filled(ground: &Ground<'_>, built: &mut Built) {
    let mut rows = Vec::new();
    for (number, ((k, pool), wanted)) in built.columns.wanted.iter().filter(|((_, pool), _)| pool.len() > 1).enumerate() {
        let fills = pool.iter().filter_map(|class| {
            let fill = crate::labour::columns::Fill { period: *k, pool: pool.clone(), class: *class };
            built.columns.fills.get(&fill).map(|col| (*col, -1))
        });
        rows.push((Meaning::Filled(*k, number), wanted.iter().copied().chain(fills).collect::<Vec<_>>(), Relation::Exactly, 0));
    }
    for (k, period) in ground.periods.iter().enumerate() {
        for (class, people) in ground.classes.iter().enumerate() {
            let terms = built.columns.given(class, k);
            // Nothing holds a fill but this row; a single work column is held by its own bound.
            if terms.len() > 1 || built.columns.fills(class, k) {
                let most = people.size() * int(period.slots());
                rows.push((Meaning::Time(class, k), terms, Relation::AtMost, most));
            }
        }
    }
    for (meaning, terms, relation, right) in rows {
        built.row(meaning, terms, relation, right);
    }
}
