//! Puts a labour model together.

use std::collections::BTreeSet;

use super::columns::Columns;
use super::ground::Ground;
use super::rows::{self, Meaning};
use super::{LARGEST_MODEL, Skipped};
use crate::id::{IdVec, TaskId};
use crate::lp::{Col, Failure, Model, Outcome, Relation, Row, Solution};

/// A labour model with what its columns and rows mean.
#[derive(Debug)]
pub(super) struct Built {
    pub(super) model: Model,
    pub(super) columns: Columns,
    pub(super) meanings: IdVec<Row, Meaning>,
    /// Tasks that share the time of a period by a row of its own, by period.
    pub(super) sequences: BTreeSet<(usize, Vec<TaskId>)>,
}

impl Built {
    pub(super) fn new(ground: &Ground<'_>) -> Self {
        let mut model = Model::new(crate::lp::Direction::Minimise);
        let columns = Columns::new(ground, &mut model);
        let mut built = Self { model, columns, meanings: IdVec::new(), sequences: BTreeSet::new() };
        rows::placed(ground, &mut built);
        rows::filled(ground, &mut built);
        rows::order(ground, &mut built);
        rows::sequence(ground, &mut built);
        rows::tools(ground, &mut built);
        rows::persons(ground, &mut built);
        rows::unbooked(ground, &mut built);
        built
    }

    /// Adds a row with its meaning.
    pub(super) fn row(&mut self, meaning: Meaning, terms: impl IntoIterator<Item = (Col, i64)>, relation: Relation, right: i64) {
        self.model.row(meaning.to_string(), terms, relation, right);
        self.meanings.push(meaning);
    }
}

/// Whether a point costs more than `most`, as far as floats can tell: no proof, but a reason to look for one.
#[expect(clippy::cast_precision_loss, reason = "costs lie far below 2^53")]
pub(super) fn may_exceed(solution: &Solution, most: i64) -> bool {
    solution.cost() > most as f64
}

/// The cheapest point of a model that is not too large.
pub(super) fn solved(built: &Built) -> Result<Solution, Skipped> {
    let (columns, rows) = (built.model.column_count(), built.model.row_count());
    if columns + rows > LARGEST_MODEL {
        return Err(Skipped::TooLarge { columns, rows });
    }
    match built.model.solve() {
        Outcome::Optimal(solution) => Ok(solution),
        Outcome::Failed(failure) => Err(failure.into()),
        // Everything may stay unplaced, and every column is in a box.
        Outcome::Infeasible => Err(Failure::Contradicted("without a point").into()),
        Outcome::Unbounded => Err(Failure::Contradicted("without a limit").into()),
    }
}
