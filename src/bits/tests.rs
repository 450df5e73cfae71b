//! Sets of slots against sets of the standard library.

use super::Bits;

/// If this fails, a range query disagrees with asking bit by bit.
#[test]
fn ranges_agree_with_single_bits() {
    for len in [1_usize, 63, 64, 65, 130] {
        for from in 0..len {
            for to in from..=len {
                let mut bits = Bits::none(len);
                bits.insert_range(from, to);
                assert_eq!(bits.iter().collect::<Vec<_>>(), (from..to).collect::<Vec<_>>());
                assert!(bits.has_range(from, to));
                assert_eq!(bits.count_range(0, len), to - from);
                assert_eq!(bits.meets_range(0, len), to > from);
                assert_eq!(bits.next_gap(from), if to < len { Some(to) } else { None });
                assert!(!bits.has_range(from, to + 1));
                bits.remove_range(from, to);
                assert!(bits.is_empty());
            }
        }
    }
}
