//! The small job folder that `turnto new` writes.
