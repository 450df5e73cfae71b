//! Planning the remainder.

mod events;
mod past;
mod progress;
mod stage;
mod unchanged;
