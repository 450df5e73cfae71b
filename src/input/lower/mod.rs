//! From what is written to what it means: codes to ids, times to moments, one file a topic.

pub(super) mod crew;
pub(super) mod duties;
pub(super) mod hours;
pub(super) mod job;
pub(super) mod log;
pub(super) mod machinery;
pub(super) mod pins;
pub(super) mod rest;
pub(super) mod rules;
pub(super) mod tasks;
pub(super) mod tools;
pub(super) mod unbooked;
pub(super) mod watches;
