//! Solves a model and checks what the back-end says about it.

use super::backend::{self, Raw};
use super::model::{Col, Direction, Kind, Model, Relation};
use super::outcome::{Failure, Outcome, Solution};
use crate::id::IdVec;

/// How far a sum may be off, for every unit of the largest number it is made of.
const TOLERANCE: f64 = 1e-6;

impl Model {
    /// Solves the model. What the back-end says is checked: a point against every row and bound, and the
    /// word that there is none, or no limit, against a second model. Always ends; reads no clock.
    #[must_use]
    pub fn solve(&self) -> Outcome {
        if !self.numbers_fit() {
            return Outcome::Failed(Failure::TooLarge);
        }
        if self.empty_row_broken() || self.bounds_crossed() {
            return Outcome::Infeasible;
        }
        match backend::run(self) {
            Ok(Raw::Point(values)) => match self.checked(values) {
                Ok(solution) => Outcome::Optimal(solution),
                Err(failure) => Outcome::Failed(failure),
            },
            Ok(Raw::Infeasible) => self.confirm_infeasible(),
            Ok(Raw::Unbounded) => self.confirm_unbounded(),
            Err(failure) => Outcome::Failed(failure),
        }
    }

    /// Whether a row without terms asks for the impossible. The back-end never sees such rows.
    fn empty_row_broken(&self) -> bool {
        self.rows.iter().filter(|r| r.terms.is_empty()).any(|r| match r.relation {
            Relation::AtMost => r.right < 0,
            Relation::AtLeast => r.right > 0,
            Relation::Exactly => r.right != 0,
        })
    }

    fn bounds_crossed(&self) -> bool {
        self.columns.iter().any(|c| matches!((c.lower, c.upper), (Some(l), Some(u)) if l > u))
    }

    /// Checks a point against bounds, whole columns and rows, and prices it.
    #[expect(clippy::cast_precision_loss, reason = "numbers of a model lie within 2^40 and are exact in a 64-bit float")]
    fn checked(&self, mut values: IdVec<Col, f64>) -> Result<Solution, Failure> {
        for (col, column) in self.columns.pairs() {
            let value = values[col];
            if !value.is_finite() {
                return Err(Failure::NotFinite(column.name.clone()));
            }
            let mut kept = value;
            if let Some(lower) = column.lower {
                kept = kept.max(lower as f64);
            }
            if let Some(upper) = column.upper {
                kept = kept.min(upper as f64);
            }
            let by = (kept - value).abs();
            if by > TOLERANCE * value.abs().max(1.0) {
                return Err(Failure::BoundBroken { column: column.name.clone(), by });
            }
            if column.kind == Kind::Whole {
                if (kept - kept.round()).abs() > TOLERANCE {
                    return Err(Failure::NotWhole(column.name.clone()));
                }
                kept = kept.round();
            }
            values[col] = kept;
        }
        for row in self.rows.iter() {
            let sum: f64 = row.terms.iter().map(|(col, c)| *c as f64 * values[*col]).sum();
            let size = row.terms.iter().map(|(col, c)| (*c as f64 * values[*col]).abs()).fold((row.right as f64).abs(), f64::max);
            let over = sum - row.right as f64;
            let by = match row.relation {
                Relation::AtMost => over,
                Relation::AtLeast => -over,
                Relation::Exactly => over.abs(),
            };
            if by > TOLERANCE * size.max(1.0) {
                return Err(Failure::RowBroken { row: row.name.clone(), by });
            }
        }
        let cost = self.columns.pairs().map(|(col, column)| column.cost as f64 * values[col]).sum();
        Ok(Solution { values, cost })
    }

    /// Asks by how much the rows must be broken. That model always has a point, so a second word of "no
    /// point", or an answer of nothing, contradicts the first.
    fn confirm_infeasible(&self) -> Outcome {
        if self.has_whole_columns() {
            // Points between the whole ones may well exist; only the back-end's search can say more.
            return Outcome::Infeasible;
        }
        let mut elastic = self.without_costs();
        for row in self.rows.ids() {
            let (short, over) = match self.rows[row].relation {
                Relation::AtMost => (false, true),
                Relation::AtLeast => (true, false),
                Relation::Exactly => (true, true),
            };
            for (wanted, sign, what) in [(short, 1, "short"), (over, -1, "over")] {
                if wanted {
                    let name = format!("{what} {}", self.row_name(row));
                    let column = elastic.column(name, Some(0), None, 1);
                    elastic.rows[row].terms.push((column, sign));
                }
            }
        }
        match backend::run(&elastic).map(|raw| raw_point(raw, "without a point")) {
            Ok(Ok(values)) => match elastic.checked(values) {
                Ok(solution) if solution.cost > TOLERANCE => Outcome::Infeasible,
                Ok(_) => Outcome::Failed(Failure::Contradicted("without a point")),
                Err(failure) => Outcome::Failed(failure),
            },
            Ok(Err(failure)) | Err(failure) => Outcome::Failed(failure),
        }
    }

    /// Looks for a direction that keeps all rows for ever and gains one unit of cost a step.
    fn confirm_unbounded(&self) -> Outcome {
        let mut ray = self.without_costs();
        for (col, column) in self.columns.pairs() {
            let data = &mut ray.columns[col];
            data.lower = column.lower.map(|_| 0);
            data.upper = column.upper.filter(|_| !column.implied).map(|_| 0);
            data.kind = Kind::Continuous;
        }
        for row in self.rows.ids() {
            ray.rows[row].right = 0;
        }
        let gain = match self.direction {
            Direction::Minimise => -1,
            Direction::Maximise => 1,
        };
        ray.row("gain", self.columns.pairs().map(|(col, column)| (col, column.cost)), Relation::Exactly, gain);
        match backend::run(&ray).map(|raw| raw_point(raw, "without a limit")) {
            Ok(Ok(values)) => match ray.checked(values) {
                Ok(_) => Outcome::Unbounded,
                Err(failure) => Outcome::Failed(failure),
            },
            Ok(Err(failure)) | Err(failure) => Outcome::Failed(failure),
        }
    }

    /// The same columns and rows, with nothing to be gained.
    fn without_costs(&self) -> Self {
        let mut other = self.clone();
        other.direction = Direction::Minimise;
        for column in other.columns.iter_mut() {
            column.cost = 0;
        }
        other
    }
}

fn raw_point(raw: Raw, about: &'static str) -> Result<IdVec<Col, f64>, Failure> {
    match raw {
        Raw::Point(values) => Ok(values),
        Raw::Infeasible | Raw::Unbounded => Err(Failure::Contradicted(about)),
    }
}
