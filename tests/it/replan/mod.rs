//! Planning the remainder.

mod closing;
mod events;
mod past;
mod progress;
mod ship;
mod stage;
mod unchanged;
