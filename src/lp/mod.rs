//! A modelling layer for linear programs: whole-number data in, honest answers out.
//!
//! The layer knows nothing of ships. A [`Model`] has columns (unknowns), rows (requirements) and costs, all
//! in whole numbers; [`Model::solve`] hands it to a floating-point back-end and believes nothing it cannot
//! check; [`Model::prices`] finds the shadow prices by solving the explicit dual model, because the
//! back-end gives none; [`Model::certify`] turns prices into a bound on the optimum that is proven in whole
//! numbers, whatever the floating-point work before it was worth.

mod backend;
mod certificate;
mod dual;
mod model;
mod outcome;
mod recheck;

#[cfg(test)]
mod tests;

pub use certificate::Certificate;
pub use dual::Prices;
pub use model::{Col, Direction, LARGEST, Model, Relation, Row};
pub use outcome::{Failure, Outcome, Solution};
