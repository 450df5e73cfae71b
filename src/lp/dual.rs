//! Shadow prices by way of the explicit dual model.

use super::model::{Col, Direction, Model, Relation, Row};
use super::outcome::{Failure, Outcome, thousandths};
use crate::id::IdVec;

/// The shadow prices of a model's rows: by how much the optimum changes per unit of a row's right side,
/// for small changes. Positive means that a larger right side gives a larger optimum, whether the model
/// minimises or maximises. Where the optimum is a corner of several slopes, one of them.
#[derive(Clone, PartialEq, Debug)]
pub struct Prices {
    pub(super) of_rows: IdVec<Row, f64>,
    pub(super) optimum: f64,
}

impl Prices {
    /// The price of a row.
    #[must_use]
    pub fn of(&self, row: Row) -> f64 {
        self.of_rows[row]
    }

    /// The price of a row in thousandths, rounded: what may rank candidates.
    #[must_use]
    pub fn thousandths(&self, row: Row) -> i64 {
        thousandths(self.of_rows[row])
    }

    /// The optimum that the dual model reached.
    #[must_use]
    pub const fn optimum(&self) -> f64 {
        self.optimum
    }

    /// Prices that anybody may have come by; they prove nothing by themselves.
    #[must_use]
    pub const fn from_guess(of_rows: IdVec<Row, f64>) -> Self {
        Self { of_rows, optimum: f64::NAN }
    }
}

/// How a column is measured from a bound, so that what is left starts at zero and grows.
#[derive(Clone, Copy)]
enum Base {
    /// Upwards from its lower bound; `room` is the way to its upper bound.
    Lower { at: i64, room: Option<i64> },
    /// Downwards from its upper bound; it has no lower one.
    Upper { at: i64 },
    /// It has no bound at all.
    Free,
}

fn base(lower: Option<i64>, upper: Option<i64>) -> Base {
    match (lower, upper) {
        (Some(at), upper) => Base::Lower { at, room: upper.map(|u| u - at) },
        (None, Some(at)) => Base::Upper { at },
        (None, None) => Base::Free,
    }
}

impl Model {
    /// The shadow prices, by solving the dual model. Whole columns count as continuous ones.
    ///
    /// # Errors
    /// Where the model has no optimum, or the back-end gives nothing that can be used.
    pub fn prices(&self) -> Result<Prices, Failure> {
        if !self.numbers_fit() {
            return Err(Failure::TooLarge);
        }
        let (dual, of_rows, constant) = self.dual();
        match dual.solve() {
            Outcome::Optimal(solution) => {
                let turn = self.turn();
                let prices = of_rows.iter().map(|col| turn_float(turn, solution.value(*col))).collect();
                Ok(Prices { of_rows: prices, optimum: turn_float(turn, solution.cost() + constant) })
            }
            Outcome::Infeasible | Outcome::Unbounded => Err(Failure::NoOptimum),
            Outcome::Failed(failure) => Err(failure),
        }
    }

    /// 1 where the model minimises, −1 where it maximises: inside, everything is minimised.
    pub(super) const fn turn(&self) -> i64 {
        match self.direction {
            Direction::Minimise => 1,
            Direction::Maximise => -1,
        }
    }

    /// The dual model, its column for each row, and the constant to add to its optimum.
    ///
    /// With every column measured from a bound (`x = base + sign·x'`, `0 ≤ x' ≤ room`), the model reads
    /// `min c'x'`, rows `a'x' ~ b'`. Its dual is `max b'y − Σ room·m` over `Σ a'y − m ≤ c'` for each column
    /// (`m ≥ 0` only where there is a room; equality where the column is free), with `y ≥ 0` on rows of the
    /// kind "at least", `y ≤ 0` on "at most". Columns whose room is zero are constants and drop out.
    #[expect(clippy::cast_precision_loss, reason = "numbers of a model lie within 2^40 and are exact in a 64-bit float")]
    fn dual(&self) -> (Self, IdVec<Row, Col>, f64) {
        let turn = self.turn();
        let mut dual = Self::new(Direction::Maximise);
        let bases: IdVec<Col, Base> = self.columns.iter().map(|c| base(c.lower, c.upper.filter(|_| !c.implied))).collect();
        let offset = |col: Col| match bases[col] {
            Base::Lower { at, .. } | Base::Upper { at } => at,
            Base::Free => 0,
        };
        let mut of_columns: IdVec<Col, Vec<(Col, i64)>> = IdVec::filled(Vec::new(), self.columns.len());
        let mut of_rows = IdVec::new();
        for row in self.rows.iter() {
            let moved: i64 = row.terms.iter().fold(0, |sum, (col, c)| sum.saturating_add(c.saturating_mul(offset(*col))));
            let right = row.right.saturating_sub(moved);
            let (lower, upper) = match row.relation {
                Relation::AtLeast => (Some(0), None),
                Relation::AtMost => (None, Some(0)),
                Relation::Exactly => (None, None),
            };
            let price = dual.column(format!("price of {}", row.name), lower, upper, right);
            of_rows.push(price);
            for (col, c) in &row.terms {
                of_columns[*col].push((price, *c));
            }
        }
        let mut constant = 0.0;
        for (col, column) in self.columns.pairs() {
            constant += (turn * column.cost) as f64 * offset(col) as f64;
            let sign = match bases[col] {
                Base::Lower { room: Some(0), .. } => continue,
                Base::Lower { .. } | Base::Free => 1,
                Base::Upper { .. } => -1,
            };
            let mut terms: Vec<(Col, i64)> = of_columns[col].iter().map(|(price, c)| (*price, sign * c)).collect();
            if let Base::Lower { room: Some(room), .. } = bases[col] {
                terms.push((dual.column(format!("room of {}", column.name), Some(0), None, -room), -1));
            }
            let relation = if matches!(bases[col], Base::Free) { Relation::Exactly } else { Relation::AtMost };
            dual.row(format!("cost of {}", column.name), terms, relation, sign * turn * column.cost);
        }
        (dual, of_rows, constant)
    }
}

fn turn_float(turn: i64, value: f64) -> f64 {
    if turn < 0 { -value } else { value }
}
