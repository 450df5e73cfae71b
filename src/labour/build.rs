//! Puts a labour model together.

use super::columns::{Aim, Columns};
use super::ground::Ground;
use super::rows::{self, Meaning};
use crate::id::IdVec;
use crate::lp::{Col, Model, Relation, Row};

/// A labour model with what its columns and rows mean.
#[derive(Debug)]
pub(super) struct Built {
    pub(super) model: Model,
    pub(super) columns: Columns,
    pub(super) meanings: IdVec<Row, Meaning>,
}

impl Built {
    pub(super) fn new(ground: &Ground<'_>, aim: Aim) -> Self {
        let mut model = Model::new(crate::lp::Direction::Minimise);
        let columns = Columns::new(ground, &mut model, aim);
        let mut built = Self { model, columns, meanings: IdVec::new() };
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
