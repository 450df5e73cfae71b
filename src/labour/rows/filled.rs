//! Row 2: what tasks need is filled by people who hold it, each in one place at a time.

use std::collections::BTreeMap;

use super::Meaning;
use crate::id::CompetenceId;
use crate::labour::build::Built;
use crate::labour::columns::Fill;
use crate::labour::ground::{Ground, int};
use crate::lp::{Col, Relation};

/// For each period and competence, what all tasks need of it equals what classes of its holders fill; and a
/// class fills no more of a period than its people have time.
///
/// True of every plan: in each slot of a spell each position is filled by one holder of its competence who
/// is in hours and free then, hence in a class with a column for that; and a person fills one position at a
/// time. Tasks are added up per competence: which task a person serves is left open, and so is that the
/// positions of one task go to different people (the slots in which a team of different people exists bound
/// each task's work column instead). Both only loosen the model.
pub(in crate::labour) fn filled(ground: &Ground<'_>, built: &mut Built) {
    let mut sums: BTreeMap<(usize, bool, CompetenceId), Vec<(Col, i64)>> = BTreeMap::new();
    for (task, columns) in built.columns.work.pairs() {
        let data = &ground.problem.tasks[task];
        for (k, col) in columns {
            for need in &data.needs {
                sums.entry((*k, data.emergency, *need)).or_default().push((*col, 1));
            }
        }
    }
    let mut times: BTreeMap<(usize, usize), Vec<(Col, i64)>> = BTreeMap::new();
    for (fill, col) in &built.columns.fills {
        let Fill { period, urgent, competence, class } = *fill;
        sums.entry((period, urgent, competence)).or_default().push((*col, -1));
        times.entry((period, class)).or_default().push((*col, 1));
    }
    for ((k, _, competence), terms) in sums {
        built.row(Meaning::Filled(competence, k), terms, Relation::Exactly, 0);
    }
    for ((k, class), terms) in times {
        // A single column is held by its own bound.
        if terms.len() > 1 {
            let most = ground.classes[class].size() * int(ground.periods[k].slots());
            built.row(Meaning::Time(class, k), terms, Relation::AtMost, most);
        }
    }
}
