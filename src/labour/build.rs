//! Puts a labour model together.

use std::collections::BTreeMap;

use super::columns::Columns;
use super::ground::{Ground, Premises};
use super::periods::Grain;
use super::rows::{self, Meaning};
use super::{LARGEST_COARSE, LARGEST_FINE, Skipped};
use crate::calendar::{Fit, Windows};
use crate::id::{IdVec, TaskId};
use crate::lp::{Col, Failure, Model, Outcome, Relation, Row, Solution};
use crate::model::Problem;

/// A labour model with what its columns and rows mean.
#[derive(Debug)]
pub(super) struct Built {
    pub(super) model: Model,
    pub(super) columns: Columns,
    pub(super) meanings: IdVec<Row, Meaning>,
    /// Tasks that share the time of a period by a row of its own, by period, with that time.
    pub(super) sequences: BTreeMap<(usize, Vec<TaskId>), i64>,
}

impl Built {
    pub(super) fn new(ground: &Ground<'_>) -> Self {
        let mut model = Model::new(crate::lp::Direction::Minimise);
        let columns = Columns::new(ground, &mut model);
        let mut built = Self { model, columns, meanings: IdVec::new(), sequences: BTreeMap::new() };
        rows::placed(ground, &mut built);
        rows::filled(ground, &mut built);
        rows::order(ground, &mut built);
        rows::sequence(ground, &mut built);
        rows::tools(ground, &mut built);
        rows::persons(ground, &mut built);
        rows::unbooked(ground, &mut built);
        built
    }

    /// Number of columns and rows.
    pub(super) fn size(&self) -> (usize, usize) {
        (self.model.column_count(), self.model.row_count())
    }

    /// Whether it is small enough to be solved in good time. Long periods are the last resort, so they may be
    /// more.
    pub(super) fn small_enough(&self, grain: Grain) -> bool {
        let (columns, rows) = self.size();
        columns + rows
            <= match grain {
                Grain::Fine => LARGEST_FINE,
                Grain::Coarse => LARGEST_COARSE,
            }
    }

    /// Adds a row with its meaning.
    pub(super) fn row(&mut self, meaning: Meaning, terms: impl IntoIterator<Item = (Col, i64)>, relation: Relation, right: i64) {
        self.model.row(meaning.to_string(), terms, relation, right);
        self.meanings.push(meaning);
    }
}

/// Lays a problem out for a finish and builds its model, as finely as it stays small enough to be solved in
/// good time. Chosen by counts alone, so that it always comes out the same.
pub(super) fn finest<'a>(
    problem: &'a Problem,
    fit: &'a Fit<'a>,
    windows: &'a Windows,
    premises: Premises,
    finish: usize,
) -> Result<(Ground<'a>, Built), Skipped> {
    let mut size = (0, 0);
    for grain in [Grain::Fine, Grain::Coarse] {
        let ground = Ground::new(problem, fit, windows, premises, finish, grain).map_err(Skipped::NoRoom)?;
        let built = Built::new(&ground);
        size = built.size();
        if built.small_enough(grain) {
            return Ok((ground, built));
        }
    }
    let (columns, rows) = size;
    Err(Skipped::TooLarge { columns, rows })
}

/// Whether a point costs more than `most`, as far as floats can tell: no proof, but a reason to look for one.
#[expect(clippy::cast_precision_loss, reason = "costs lie far below 2^53")]
pub(super) fn may_exceed(solution: &Solution, most: i64) -> bool {
    solution.cost() > most as f64
}

/// The cheapest point of a model.
pub(super) fn solved(built: &Built) -> Result<Solution, Skipped> {
    match built.model.solve() {
        Outcome::Optimal(solution) => Ok(solution),
        Outcome::Failed(failure) => Err(failure.into()),
        // Everything may stay unplaced, and every column is in a box.
        Outcome::Infeasible => Err(Failure::Contradicted("without a point").into()),
        Outcome::Unbounded => Err(Failure::Contradicted("without a limit").into()),
    }
}
