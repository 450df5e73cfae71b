//! What comes of solving a model.

use thiserror::Error;

use super::model::Col;
use crate::id::IdVec;

/// What comes of solving a model. No two of these are ever merged.
#[derive(Clone, PartialEq, Debug)]
pub enum Outcome {
    /// A point that keeps every row and bound within tolerance, and that the back-end calls optimal. How
    /// good it really is, only [`super::Model::certify`] can say.
    Optimal(Solution),
    /// No point keeps all rows. For models without whole columns this was checked a second time on a model
    /// that measures by how much the rows must be broken.
    Infeasible,
    /// The cost has no limit. Checked a second time on the directions in which one may go on for ever.
    Unbounded,
    /// The back-end gave nothing that can be used.
    Failed(Failure),
}

/// A point with its cost.
#[derive(Clone, PartialEq, Debug)]
pub struct Solution {
    pub(super) values: IdVec<Col, f64>,
    pub(super) cost: f64,
}

impl Solution {
    /// The value of a column, moved onto its bound where it was outside by rounding.
    #[must_use]
    pub fn value(&self, col: Col) -> f64 {
        self.values[col]
    }

    /// The cost of the point.
    #[must_use]
    pub const fn cost(&self) -> f64 {
        self.cost
    }

    /// The value of a column in thousandths, rounded: what may steer other work, so that noise in the last
    /// places of a float never decides anything.
    #[must_use]
    pub fn thousandths(&self, col: Col) -> i64 {
        thousandths(self.values[col])
    }
}

/// A number in thousandths, rounded to the nearest.
#[must_use]
#[expect(clippy::cast_possible_truncation, reason = "values of a model lie within 2^40, far inside 64 bits, after scaling too")]
pub(super) fn thousandths(value: f64) -> i64 {
    (value * 1000.0).round() as i64
}

/// Why an answer could not be used.
#[derive(Clone, PartialEq, Debug, Error)]
#[non_exhaustive]
pub enum Failure {
    /// A number of the model is too large to be exact.
    #[error("a number of the model is larger than 2^40")]
    TooLarge,
    /// The back-end panicked.
    #[error("the linear-programming back-end panicked: {0}")]
    Panicked(String),
    /// The back-end reported an error of its own.
    #[error("the linear-programming back-end failed: {0}")]
    Backend(String),
    /// The back-end found no end; nothing in it rules out that it goes round in circles.
    #[error("the linear-programming back-end found no end")]
    Stalled,
    /// A value is not a finite number.
    #[error("the back-end gave {0} a value that is not a number")]
    NotFinite(String),
    /// A row is broken by the point called optimal.
    #[error("the back-end's point breaks {row} by {by}")]
    RowBroken {
        /// Name of the row.
        row: String,
        /// By how much.
        by: f64,
    },
    /// A bound is broken by the point called optimal.
    #[error("the back-end's point leaves the bounds of {column} by {by}")]
    BoundBroken {
        /// Name of the column.
        column: String,
        /// By how much.
        by: f64,
    },
    /// A whole column has a broken value.
    #[error("the back-end gave {0} a value that is not whole")]
    NotWhole(String),
    /// The back-end says that there is no point, or no limit, and a second model says otherwise.
    #[error("the back-end contradicts itself about a model being {0}")]
    Contradicted(&'static str),
    /// Prices were asked for of a model that has no optimum.
    #[error("there are no prices: the model has no optimum")]
    NoOptimum,
}
