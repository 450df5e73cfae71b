//! The only file that speaks to the back-end.

use std::panic::{AssertUnwindSafe, catch_unwind};

use good_lp::solvers::{ResolutionError, Solution as _, SolutionStatus};
use good_lp::{Constraint, Expression, ProblemVariables, SolverModel, Variable, WithTimeLimit, microlp, variable};

use super::model::{Col, Direction, Kind, Model, Relation};
use super::outcome::Failure;
use crate::id::IdVec;

/// What the back-end says, unchecked.
pub(super) enum Raw {
    /// It calls this point optimal.
    Point(IdVec<Col, f64>),
    /// It says that there is no point.
    Infeasible,
    /// It says that there is no limit.
    Unbounded,
}

/// Hands `model` to the back-end. A panic inside it is caught; the panic hook is left alone.
pub(super) fn run(model: &Model) -> Result<Raw, Failure> {
    catch_unwind(AssertUnwindSafe(|| hand_over(model))).unwrap_or_else(|payload| {
        let text = payload.downcast_ref::<&str>().map(|s| (*s).to_owned());
        let text = text.or_else(|| payload.downcast_ref::<String>().cloned());
        Err(Failure::Panicked(text.unwrap_or_else(|| "without a message".to_owned())))
    })
}

#[expect(clippy::cast_precision_loss, reason = "numbers of a model lie within 2^40 and are exact in a 64-bit float")]
const fn exact(number: i64) -> f64 {
    number as f64
}

/// Seconds after which the back-end is taken to go round in circles, which nothing in it rules out: many
/// times what a model of that size has ever been seen to need. It never chooses between two answers; it
/// only turns no answer at all into a failure that is said.
fn patience(model: &Model) -> f64 {
    let size = u32::try_from(model.rows.len() + model.columns.len()).unwrap_or(u32::MAX);
    10.0 + f64::from(size) / 100.0
}

/// What stands for a column in the back-end.
struct Handle {
    plus: Variable,
    minus: Option<Variable>,
}

impl Handle {
    fn add_to(&self, sum: &mut Expression, coefficient: f64) {
        sum.add_mul(coefficient, self.plus);
        if let Some(minus) = self.minus {
            sum.add_mul(-coefficient, minus);
        }
    }
}

fn hand_over(model: &Model) -> Result<Raw, Failure> {
    let mut variables = ProblemVariables::new();
    let handles: IdVec<Col, Handle> = model
        .columns
        .iter()
        .map(|column| {
            // The back-end goes round in circles, or finds no limit where there is one, on columns without any
            // bound; as the difference of two that start at zero they give it no trouble.
            if column.lower.is_none() && column.upper.is_none() {
                let up = variables.add(variable().min(0.0));
                return Handle { plus: up, minus: Some(variables.add(variable().min(0.0))) };
            }
            let mut definition = variable();
            if let Some(lower) = column.lower {
                definition = definition.min(exact(lower));
            }
            if let Some(upper) = column.upper.filter(|_| !column.implied) {
                definition = definition.max(exact(upper));
            }
            match column.kind {
                Kind::Continuous => Handle { plus: variables.add(definition), minus: None },
                Kind::Whole => Handle { plus: variables.add(definition.integer()), minus: None },
            }
        })
        .collect();
    let mut cost = Expression::with_capacity(model.columns.len());
    for (col, column) in model.columns.pairs() {
        if column.cost != 0 {
            handles[col].add_to(&mut cost, exact(column.cost));
        }
    }
    let unsolved = match model.direction {
        Direction::Minimise => variables.minimise(cost),
        Direction::Maximise => variables.maximise(cost),
    };
    let mut problem = unsolved.using(microlp).with_time_limit(patience(model));
    for row in model.rows.iter().filter(|row| !row.terms.is_empty()) {
        let mut sum = Expression::with_capacity(row.terms.len());
        for (col, coefficient) in &row.terms {
            handles[*col].add_to(&mut sum, exact(*coefficient));
        }
        let right = exact(row.right);
        let constraint: Constraint = match row.relation {
            Relation::AtMost => sum.leq(right),
            Relation::AtLeast => sum.geq(right),
            Relation::Exactly => sum.eq(right),
        };
        problem.add_constraint(constraint);
    }
    match problem.solve() {
        Ok(solution) => match solution.status() {
            SolutionStatus::Optimal => {
                Ok(Raw::Point(handles.iter().map(|h| solution.value(h.plus) - h.minus.map_or(0.0, |m| solution.value(m))).collect()))
            }
            SolutionStatus::TimeLimit => Err(Failure::Stalled),
            SolutionStatus::GapLimit => Err(Failure::Backend("it stopped at a gap nobody set".to_owned())),
        },
        Err(ResolutionError::Infeasible) => Ok(Raw::Infeasible),
        Err(ResolutionError::Unbounded) => Ok(Raw::Unbounded),
        // Its word for a time limit that passed before it had found any point.
        Err(ResolutionError::Other(text)) if text.contains("Time limit") => Err(Failure::Stalled),
        Err(ResolutionError::Other(text)) => Err(Failure::Backend(text.to_owned())),
        Err(ResolutionError::Str(text)) => Err(Failure::Backend(text)),
    }
}
