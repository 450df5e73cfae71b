//! How early the job can possibly end and its milestones be met, proven, and what holds it; what machines fall short by in
//! every plan.

mod chain;
mod dates;
mod finish;
mod machines;
pub mod premises;

pub use chain::{Chain, Impossible, Link, chain};
pub use dates::{EarliestDate, EarliestDates, ProvenBy, earliest_by_chain, earliest_by_labour};
pub use finish::{Cut, EarliestFinish, finish_by_labour};
pub use machines::machines_short;
