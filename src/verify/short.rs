//! Lists of shortfalls.

use crate::account::{ShortOf, Shortfall};
use crate::time::Span;

/// Adds a slot to a list in time order: it lengthens the last entry where that ends as the slot starts and
/// the same is missing.
pub(super) fn extend(list: &mut Vec<Shortfall>, slot: Span, of: ShortOf) {
    match list.last_mut() {
        Some(end) if end.span.end() == slot.start() && end.of == of => end.span = end.span.hull(slot),
        _ => list.push(Shortfall { span: slot, of }),
    }
}
