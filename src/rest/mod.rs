//! Rest-hour rules: sets of rules as data, an exact naive checker and an exact incremental one.

mod finding;
mod set;

pub use finding::Finding;
pub use set::RuleSet;
