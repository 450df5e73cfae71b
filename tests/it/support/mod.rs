//! Helpers that several test modules share.

pub(crate) mod job;
