//! How early the job can possibly end, proven, and what holds it.

mod chain;
mod prove;

pub use chain::{Chain, Impossible, Link, chain};
pub use prove::{Bound, Proof, prove};
