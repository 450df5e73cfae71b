//! Planning the remainder.

mod closing;
mod events;
mod past;
mod progress;
mod ship;
pub(crate) mod stage;
mod unchanged;
