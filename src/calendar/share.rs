//! What a day asks for, in proportion to how much of it there is.

use crate::time::Minutes;

/// Minutes as a fraction, cancelled: the modes of a day add up before anything is rounded.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Share {
    above: i128,
    below: i128,
}

impl Share {
    /// Nothing.
    pub const NONE: Self = Self { above: 0, below: 1 };

    /// Adds as much of `asked` as `part` is of `full`, which is longer than nothing.
    pub fn add(&mut self, asked: Minutes, part: Minutes, full: Minutes) {
        let [asked, part, full] = [asked, part, full].map(|minutes| i128::from(minutes.get()));
        let (sum, below) = (self.above * full + asked * part * self.below, self.below * full);
        let common = divisor(sum, below);
        *self = Self { above: sum / common, below: below / common };
    }

    /// Whole minutes, a begun one whole.
    #[must_use]
    pub fn rounded_up(self) -> Minutes {
        Minutes::new(i32::try_from((self.above + self.below - 1).div_euclid(self.below)).unwrap_or(i32::MAX))
    }
}

/// The greatest common divisor of a number and a positive one.
const fn divisor(a: i128, b: i128) -> i128 {
    if b == 0 { if a > 1 { a } else { 1 } } else { divisor(b, a % b) }
}
