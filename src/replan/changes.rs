//! What changed.
