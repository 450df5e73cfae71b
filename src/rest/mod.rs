//! Rest-hour rules: sets of rules as data, an exact naive checker and an exact incremental one.

mod builtin;
mod exactly;
mod figures;
mod finding;
mod line;
mod naive;
mod permit;
mod readings;
pub mod rule;
mod set;
mod shown;
mod steer;
#[cfg(test)]
mod tests;
mod timeline;
mod windows;

pub use figures::{Figures, figures};
pub use finding::Finding;
pub use line::{ClosedRules, Line, LineInput, Mark, NotClosed, Sweep};
pub use naive::{Judged, findings, judge, uncheckable_before};
pub use permit::Permit;
pub use readings::{
    CallOuts, Counted, Departure, Divided, Drills, Edge, Emergencies, Exactly, ExceptionGap, OnCall, Readings, ShortGap, Unknown, Windows,
};
pub use set::{RuleSet, RuleSetError, RuleSetParts};
pub use timeline::Timeline;
