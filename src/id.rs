//! Typed indices: a person's number can never be used to look up a task.

use std::fmt;
use std::marker::PhantomData;
use std::ops::{Index, IndexMut};

/// An index into the table of one kind of thing.
pub trait Id: Copy + Eq + Ord + fmt::Debug {
    /// The id of the `index`-th thing.
    ///
    /// # Panics
    /// If `index` does not fit in 32 bits.
    fn from_index(index: usize) -> Self;
    /// The position in the table.
    fn index(self) -> usize;
}

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub struct $name(u32);
        impl Id for $name {
            #[inline]
            fn from_index(index: usize) -> Self {
                Self(u32::try_from(index).expect("a table has fewer than 2^32 rows"))
            }
            #[inline]
            fn index(self) -> usize {
                self.0 as usize
            }
        }
    )+};
}

ids! {
    /// A member of the crew or a shore worker.
    PersonId,
    /// A competence (`LIFT`, `OOW`, ...).
    CompetenceId,
    /// A task of the overhaul.
    TaskId,
    /// A countable tool.
    ToolId,
    /// A post that is manned without a gap.
    PostId,
    /// A turn: one watch on one post, at one time.
    TurnId,
    /// One occurrence of a duty.
    DutyId,
    /// A machine.
    UnitId,
    /// A set of machines that stand in for one another.
    GroupId,
    /// A mode of the ship (at anchor, arrival, ...).
    ModeId,
    /// A tag of a task (`lift`, `hot_work`, ...).
    TagId,
    /// A phase of the job.
    PhaseId,
    /// A milestone.
    MilestoneId,
    /// A set of rest rules.
    RuleSetId,
}

/// A table that only its own kind of id can index.
#[derive(Clone, PartialEq, Eq)]
pub struct IdVec<I, T> {
    rows: Vec<T>,
    kind: PhantomData<fn(I)>,
}

impl<I: Id, T> IdVec<I, T> {
    /// An empty table.
    #[must_use]
    pub const fn new() -> Self {
        Self { rows: Vec::new(), kind: PhantomData }
    }

    /// A table of `len` copies of `value`.
    #[must_use]
    pub fn filled(value: T, len: usize) -> Self
    where
        T: Clone,
    {
        Self::from(vec![value; len])
    }

    /// Adds a row and returns its id.
    pub fn push(&mut self, row: T) -> I {
        self.rows.push(row);
        I::from_index(self.rows.len() - 1)
    }

    /// Adds empty rows until there are `len`.
    pub fn extend_to(&mut self, len: usize)
    where
        T: Default,
    {
        while self.rows.len() < len {
            self.rows.push(T::default());
        }
    }

    /// Number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there is no row.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// All ids, in table order.
    pub fn ids(&self) -> impl DoubleEndedIterator<Item = I> + ExactSizeIterator + use<I, T> {
        (0..self.rows.len()).map(I::from_index)
    }

    /// All rows, in table order.
    pub fn iter(&self) -> std::slice::Iter<'_, T> {
        self.rows.iter()
    }

    /// All rows, in table order, to change.
    pub fn iter_mut(&mut self) -> std::slice::IterMut<'_, T> {
        self.rows.iter_mut()
    }

    /// Ids and rows, in table order.
    pub fn pairs(&self) -> impl DoubleEndedIterator<Item = (I, &T)> + ExactSizeIterator {
        self.rows.iter().enumerate().map(|(i, row)| (I::from_index(i), row))
    }

    /// The id of the first row for which `test` holds.
    pub fn find(&self, test: impl FnMut(&T) -> bool) -> Option<I> {
        self.rows.iter().position(test).map(I::from_index)
    }

    /// The row of `id`, if the table has it.
    #[must_use]
    pub fn get(&self, id: I) -> Option<&T> {
        self.rows.get(id.index())
    }
}

impl<I: Id, T> Default for IdVec<I, T> {
    fn default() -> Self {
        Self::new()
    }
}

impl<I, T> From<Vec<T>> for IdVec<I, T> {
    fn from(rows: Vec<T>) -> Self {
        Self { rows, kind: PhantomData }
    }
}

impl<I: Id, T> FromIterator<T> for IdVec<I, T> {
    fn from_iter<It: IntoIterator<Item = T>>(rows: It) -> Self {
        Self::from(rows.into_iter().collect::<Vec<_>>())
    }
}

impl<'a, I: Id, T> IntoIterator for &'a IdVec<I, T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<'a, I: Id, T> IntoIterator for &'a mut IdVec<I, T> {
    type Item = &'a mut T;
    type IntoIter = std::slice::IterMut<'a, T>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter_mut()
    }
}

impl<I: Id, T> Index<I> for IdVec<I, T> {
    type Output = T;
    #[inline]
    fn index(&self, id: I) -> &T {
        &self.rows[id.index()]
    }
}

impl<I: Id, T> IndexMut<I> for IdVec<I, T> {
    #[inline]
    fn index_mut(&mut self, id: I) -> &mut T {
        &mut self.rows[id.index()]
    }
}

impl<I, T: fmt::Debug> fmt::Debug for IdVec<I, T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.rows.fmt(f)
    }
}
