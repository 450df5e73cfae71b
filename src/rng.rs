//! A named generator with frozen sampling, so that a seed means the same plan for ever.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// A stream of random numbers: xoshiro256++, seeded through `SplitMix64`.
#[derive(Clone, Debug)]
pub struct Stream(Xoshiro256PlusPlus);

impl Stream {
    /// The stream of `seed` for the part of the work called `label`.
    #[must_use]
    pub fn new(seed: u64, label: u64) -> Self {
        Self(Xoshiro256PlusPlus::seed_from_u64(seed ^ label.wrapping_mul(0x9E37_79B9_7F4A_7C15)))
    }

    /// A number in `0..bound`, without bias (rejection); 0 where `bound` is 0 or 1.
    pub fn below(&mut self, bound: usize) -> usize {
        let bound = bound as u64;
        if bound < 2 {
            return 0;
        }
        let zone = u64::MAX - u64::MAX % bound;
        loop {
            let word = self.0.next_u64();
            if word < zone {
                return usize::try_from(word % bound).unwrap_or(0);
            }
        }
    }

    /// True in `per_mille` of 1000 cases.
    pub fn chance(&mut self, per_mille: usize) -> bool {
        self.below(1000) < per_mille
    }
}
