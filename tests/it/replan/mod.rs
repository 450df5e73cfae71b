//! Planning the remainder.

mod closing;
mod events;
mod past;
mod progress;
mod stage;
mod unchanged;
