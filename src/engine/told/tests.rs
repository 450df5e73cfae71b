//! What minutes weigh, against counting them one by one.

use super::{minutes_from, weight};
use crate::time::{Minutes, Moment, Span};

/// If this fails, a watch over the end of the first day, or of the third, weighs other than the verifier weighs it: minute by
/// minute, from any start of planning.
#[test]
fn a_minute_weighs_what_it_lies_at() {
    for start in [480, 510, 525] {
        let start = Moment::new(start);
        for from in [-90, 0, 22 * 60, 23 * 60 + 30, 24 * 60, 70 * 60, 71 * 60 + 15] {
            let from = start + Minutes::new(from);
            let span = Span::of(from, Minutes::hours(4)).expect("a watch");
            let minutes = (0..240).map(|m| from + Minutes::new(m)).filter(|at| *at >= start);
            assert_eq!(minutes_from(span, start), minutes.map(|at| weight(start, at)).sum::<i64>(), "{start:?} {from:?}");
        }
    }
}
