//! The labour model: which person works how long on which task in which part of which day.
//!
//! A linear program over **periods** (stretches in which nobody's calendar changes), for one asked finish.
//! It always has an answer, because work may stay unplaced at a price. Every kind of row is a true
//! statement about every legal plan that ends by the asked finish (each file under `rows` says why), so
//! where some work must stay unplaced, no such plan exists. Where none must, the answer says who works
//! when if nothing had to be whole: it steers the order and the teams of the slot engine, and is what a
//! plan's hours are compared with.

mod answer;
mod build;
mod classes;
mod columns;
mod deal;
mod finish;
mod ground;
mod periods;
mod prices;
mod project;
mod rows;

pub use answer::{LabourPlan, Share, solve};
pub use finish::{Smallest, smallest_finish, smallest_finish_from, smallest_finish_unless};
pub use ground::{Premises, Reserve};
pub use periods::Grain;
pub use prices::{Price, Priced, prices};
pub use project::{Broken, check_rows};
pub use rows::Meaning;

use thiserror::Error;

use crate::id::TaskId;
use crate::lp::Failure;

/// Largest sum of columns and rows of a model that is cut finely.
const LARGEST_FINE: usize = 4_200;

/// Largest sum of columns and rows of a model that is solved at all.
const LARGEST_COARSE: usize = 9_000;

/// Why there is no answer of the labour model.
#[derive(Clone, PartialEq, Debug, Error)]
#[non_exhaustive]
pub enum Skipped {
    /// The model would be larger than the back-end can be trusted to end in time with.
    #[error("the labour model would have {columns} columns and {rows} rows, more than are solved")]
    TooLarge {
        /// Columns it would have.
        columns: usize,
        /// Rows it would have.
        rows: usize,
    },
    /// The search for the smallest finish was cut after so many models, by a limit on their sizes.
    #[error("the search for the smallest finish was cut after {models} labour models")]
    TooMuch {
        /// How many were solved.
        models: usize,
    },
    /// The search for the smallest finish was stopped from outside after so many models.
    #[error("the search for the smallest finish was stopped after {models} labour models")]
    Stopped {
        /// How many were solved.
        models: usize,
    },
    /// By the calendars alone, this task cannot be done by the asked finish.
    #[error("a task cannot be done by the asked finish at all")]
    NoRoom(TaskId),
    /// The back-end gave nothing that can be used.
    #[error(transparent)]
    Failed(#[from] Failure),
}
