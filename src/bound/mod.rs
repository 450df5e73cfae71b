//! How early the job can possibly end, proven, and what holds it.

mod chain;

pub use chain::{Chain, Impossible, Link, chain};
