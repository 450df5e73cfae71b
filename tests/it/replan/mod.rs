//! Planning the remainder.

mod closing;
mod crew;
mod events;
mod hindered;
mod overrun;
mod pace;
mod past;
mod pinned;
mod progress;
mod ship;
pub(crate) mod stage;
mod unchanged;
