//! Columns, rows and costs of a linear program.

use std::collections::BTreeMap;

use crate::id::{Id, IdVec};

/// Largest absolute value of any coefficient, bound, cost or right side: all of these are exact in a
/// 64-bit float, and products of two of them with a million terms fit in 128-bit integers.
pub const LARGEST: i64 = 1 << 40;

macro_rules! indices {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub struct $name(u32);
        impl Id for $name {
            fn from_index(index: usize) -> Self {
                Self(u32::try_from(index).expect("a model has fewer than 2^32 columns and rows"))
            }
            fn index(self) -> usize {
                self.0 as usize
            }
        }
    )+};
}

indices! {
    /// A column: one unknown.
    Col,
    /// A row: one requirement.
    Row,
}

/// Whether the cost is to be made small or large.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Direction {
    /// As small as can be.
    Minimise,
    /// As large as can be.
    Maximise,
}

/// How the sum of a row compares with its right side.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Relation {
    /// The sum is at most the right side.
    AtMost,
    /// The sum is at least the right side.
    AtLeast,
    /// The sum equals the right side.
    Exactly,
}

/// Whether a column may take any value or whole ones only.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    Continuous,
    Whole,
}

/// Data of a column.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct ColumnData {
    pub(super) name: String,
    pub(super) lower: Option<i64>,
    pub(super) upper: Option<i64>,
    pub(super) cost: i64,
    pub(super) kind: Kind,
    /// Whether rows hold the column below its upper bound anyway.
    pub(super) implied: bool,
}

/// Data of a row; terms sorted by column, no repeats, no zero coefficient.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct RowData {
    pub(super) name: String,
    pub(super) terms: Vec<(Col, i64)>,
    pub(super) relation: Relation,
    pub(super) right: i64,
}

/// A linear program in whole numbers.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Model {
    pub(super) direction: Direction,
    pub(super) columns: IdVec<Col, ColumnData>,
    pub(super) rows: IdVec<Row, RowData>,
}

impl Model {
    /// A model without columns or rows.
    #[must_use]
    pub const fn new(direction: Direction) -> Self {
        Self { direction, columns: IdVec::new(), rows: IdVec::new() }
    }

    /// Adds an unknown that may take any value from `lower` to `upper`, both included; `None` is no bound.
    pub fn column(&mut self, name: impl Into<String>, lower: Option<i64>, upper: Option<i64>, cost: i64) -> Col {
        self.columns.push(ColumnData { name: name.into(), lower, upper, cost, kind: Kind::Continuous, implied: false })
    }

    /// Adds an unknown that rows hold between zero and `upper` anyway. The bound is not handed to the back-end,
    /// which makes its work shorter; it is used where a proof needs a box. If no row implies it, an answer may
    /// break it, and is then refused.
    pub fn held_column(&mut self, name: impl Into<String>, upper: i64, cost: i64) -> Col {
        let (lower, upper) = (Some(0), Some(upper));
        self.columns.push(ColumnData { name: name.into(), lower, upper, cost, kind: Kind::Continuous, implied: true })
    }

    /// Adds an unknown that may take whole values only, from `lower` to `upper`, both included.
    pub fn whole_column(&mut self, name: impl Into<String>, lower: i64, upper: i64, cost: i64) -> Col {
        self.columns.push(ColumnData { name: name.into(), lower: Some(lower), upper: Some(upper), cost, kind: Kind::Whole, implied: false })
    }

    /// Adds the requirement that the sum of `terms` (column, coefficient) compares with `right` as
    /// `relation` says. Terms of the same column are added up first, because back-ends differ in what
    /// they make of repeats.
    pub fn row(&mut self, name: impl Into<String>, terms: impl IntoIterator<Item = (Col, i64)>, relation: Relation, right: i64) -> Row {
        let mut sums: BTreeMap<Col, i64> = BTreeMap::new();
        for (col, coefficient) in terms {
            let sum = sums.entry(col).or_default();
            *sum = sum.saturating_add(coefficient);
        }
        let terms = sums.into_iter().filter(|(_, coefficient)| *coefficient != 0).collect();
        self.rows.push(RowData { name: name.into(), terms, relation, right })
    }

    /// Whether the cost is made small or large.
    #[must_use]
    pub const fn direction(&self) -> Direction {
        self.direction
    }

    /// Number of columns.
    #[must_use]
    pub fn column_count(&self) -> usize {
        self.columns.len()
    }

    /// Number of rows.
    #[must_use]
    pub fn row_count(&self) -> usize {
        self.rows.len()
    }

    /// Number of coefficients that are not zero.
    #[must_use]
    pub fn coefficient_count(&self) -> usize {
        self.rows.iter().map(|r| r.terms.len()).sum()
    }

    /// All rows, in the order in which they were added.
    pub fn row_ids(&self) -> impl ExactSizeIterator<Item = Row> + use<> {
        self.rows.ids()
    }

    /// All columns, in the order in which they were added.
    pub fn column_ids(&self) -> impl ExactSizeIterator<Item = Col> + use<> {
        self.columns.ids()
    }

    /// Name of a column.
    #[must_use]
    pub fn column_name(&self, col: Col) -> &str {
        &self.columns[col].name
    }

    /// Name of a row.
    #[must_use]
    pub fn row_name(&self, row: Row) -> &str {
        &self.rows[row].name
    }

    /// Lower and upper bound of a column.
    #[must_use]
    pub fn bounds(&self, col: Col) -> (Option<i64>, Option<i64>) {
        (self.columns[col].lower, self.columns[col].upper)
    }

    /// What a unit of a column costs.
    #[must_use]
    pub fn cost(&self, col: Col) -> i64 {
        self.columns[col].cost
    }

    /// Whether a column may take whole values only.
    #[must_use]
    pub fn is_whole(&self, col: Col) -> bool {
        self.columns[col].kind == Kind::Whole
    }

    /// Terms, relation and right side of a row; terms sorted by column.
    #[must_use]
    pub fn row_data(&self, row: Row) -> (&[(Col, i64)], Relation, i64) {
        let data = &self.rows[row];
        (&data.terms, data.relation, data.right)
    }

    /// By how much a whole-numbered point breaks `row`; zero where it keeps it. Exact.
    #[must_use]
    pub fn row_excess(&self, row: Row, point: &IdVec<Col, i64>) -> i128 {
        let data = &self.rows[row];
        let sum: i128 = data.terms.iter().map(|(col, c)| i128::from(*c) * i128::from(point[*col])).sum();
        let over = sum - i128::from(data.right);
        match data.relation {
            Relation::AtMost => over.max(0),
            Relation::AtLeast => (-over).max(0),
            Relation::Exactly => over.abs(),
        }
    }

    /// By how much a whole-numbered point leaves the bounds of `col`; zero where it keeps them. Exact.
    #[must_use]
    pub fn bound_excess(&self, col: Col, point: &IdVec<Col, i64>) -> i128 {
        let (lower, upper) = self.bounds(col);
        let value = i128::from(point[col]);
        let below = lower.map_or(0, |l| i128::from(l) - value);
        let above = upper.map_or(0, |u| value - i128::from(u));
        below.max(above).max(0)
    }

    /// Whether every number is within [`LARGEST`].
    pub(super) fn numbers_fit(&self) -> bool {
        let fits = |n: i64| n.unsigned_abs() <= LARGEST.unsigned_abs();
        let columns = self.columns.iter().all(|c| fits(c.cost) && c.lower.is_none_or(fits) && c.upper.is_none_or(fits));
        columns && self.rows.iter().all(|r| fits(r.right) && r.terms.iter().all(|(_, c)| fits(*c)))
    }

    /// Whether some column may take whole values only.
    pub(super) fn has_whole_columns(&self) -> bool {
        self.columns.iter().any(|c| c.kind == Kind::Whole)
    }
}
