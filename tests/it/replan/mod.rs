//! Planning the remainder.

mod unchanged;
