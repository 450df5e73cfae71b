//! Chance that comes out the same every time (the splitmix64 generator).

/// A source of chance.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number from `from` to `to`, both included.
    pub(crate) fn number(&mut self, from: i32, to: i32) -> i32 {
        let width = u64::try_from(to - from + 1).expect("from is not above to");
        from + i32::try_from(self.next() % width).expect("smaller than the width")
    }

    /// A position in a list of `len`.
    pub(crate) fn below(&mut self, len: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(len).expect("a length")).expect("smaller than the length")
    }

    /// True once in `times`.
    pub(crate) fn once_in(&mut self, times: u64) -> bool {
        self.next().is_multiple_of(times)
    }

    /// One of a list.
    pub(crate) fn pick<T: Clone>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())].clone()
    }

    /// True as often as `often` in a hundred.
    pub(crate) fn percent(&mut self, often: i32) -> bool {
        self.number(1, 100) <= often
    }

    /// So many different ones of a list, or all if there are fewer, in any order.
    pub(crate) fn several<T: Clone>(&mut self, list: &[T], count: usize) -> Vec<T> {
        let mut left = list.to_vec();
        (0..count.min(list.len())).map(|_| left.swap_remove(self.below(left.len()))).collect()
    }
}
