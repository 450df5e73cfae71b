//! Helpers that several test modules share.

pub(crate) mod chance;
pub(crate) mod demo;
pub(crate) mod dice;
pub(crate) mod job;
