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

/// If this fails, the first or the last gap of a range is not where asking bit by bit finds it.
#[test]
fn gaps_agree_with_single_bits() {
    for len in [1_usize, 63, 64, 65, 130] {
        for (shut, every) in [(0, 1), (0, 2), (1, 3), (63, 64), (64, 65), (len - 1, len)] {
            let mut bits = Bits::all(len);
            (0..len).filter(|i| i % every == shut % every).for_each(|i| bits.remove(i));
            for from in 0..len + 2 {
                for to in 0..len + 70 {
                    assert_eq!(bits.first_gap(from, to), (from..to).find(|i| !bits.has(*i)));
                    assert_eq!(bits.last_gap(from, to), (from..to).rev().find(|i| !bits.has(*i)));
                }
            }
        }
    }
}

/// If this fails, counting members from one end, or what several sets share, disagrees with asking bit by bit.
#[test]
fn members_are_counted_as_bit_by_bit() {
    for len in [1_usize, 64, 65, 200] {
        let every = |n: usize, at: usize| {
            let mut bits = Bits::none(len);
            (0..len).filter(|i| i % n == at).for_each(|i| bits.insert(i));
            bits
        };
        let (twos, threes, fives) = (every(2, 0), every(3, 1), every(5, 3));
        for at in 0..len + 2 {
            for number in 0..len + 2 {
                let nth = |members: &mut dyn Iterator<Item = usize>| number.checked_sub(1).and_then(|skipped| members.nth(skipped));
                assert_eq!(threes.nth(at, number), nth(&mut threes.iter().filter(|i| *i >= at)));
                let mut before: Vec<usize> = threes.iter().filter(|i| *i < at).collect();
                before.reverse();
                assert_eq!(threes.nth_back(at, number), nth(&mut before.into_iter()));
                let common = (at..number).filter(|i| [&twos, &threes, &fives].iter().all(|set| set.has(*i))).count();
                assert_eq!(Bits::count_common([&twos, &threes, &fives], at, number), common);
            }
        }
    }
}
