//! What is shown of the records of many ships.

use crate::hours::fleet::ShipHours;
use crate::rest::RuleSet;

/// Records of many ships with what they were checked by.
pub struct FleetView<'a> {
    /// The rules.
    pub set: &'a RuleSet,
    /// The ships, in the order in which they came last.
    pub ships: &'a [ShipHours],
    /// Rows that could not be used.
    pub skipped: usize,
}

impl FleetView<'_> {
    /// Rows that were used.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.ships.iter().map(|ship| ship.rows).sum()
    }

    /// Times that somebody came back after others.
    #[must_use]
    pub fn came_back(&self) -> usize {
        self.ships.iter().map(|ship| ship.came_back).sum()
    }

    /// Whether there is a finding, or the record is not whole: rows were skipped, or somebody came back.
    #[must_use]
    pub fn needs_attention(&self) -> bool {
        self.skipped > 0 || self.came_back() > 0 || self.ships.iter().any(|ship| ship.windows() > 0)
    }
}
