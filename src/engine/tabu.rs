//! A walk along swaps: every step puts two tasks of the chain that decides the finish in the other order, those that promise
//! the earliest end, whether it is a gain or not, and does not take back what it just did.

use super::critical::{Pair, borders};
use super::field::Found;
use super::links::Links;
use super::order::pull;
use super::serial::Genes;
use crate::rng::Stream;

/// Steps for which a swap is not taken back at least; at most one less than twice as many.
const TENURE: usize = 8;
/// Steps without gain after which the walk begins again near the best plan.
const ROUND: u64 = 1000;
/// Swaps by chance with which it does.
const KICKS: u64 = 8;
/// Among equals chance decides, by one of so many numbers.
const DICE: usize = 8;

/// Where a walk stands.
#[derive(Debug, Default)]
pub(super) struct Tabu {
    step: usize,
    /// Swaps not to be made, each up to a step.
    barred: Vec<(Pair, usize)>,
}

/// Whether the walk begins again after so many steps without gain.
pub(super) const fn begins_again(idle: u64) -> bool {
    idle > 0 && idle.is_multiple_of(ROUND)
}

impl Tabu {
    /// Forgets what was done.
    pub(super) fn forget(&mut self) {
        self.barred.clear();
    }

    /// The next swap from `from`, after so many steps without gain; `None` where the finish does not hang on the order
    /// of two tasks that want what there is one of. One that promises an end before slot `best` is made even if it takes
    /// back what was just done.
    pub(super) fn swap(&mut self, from: &Found, best: usize, idle: u64, random: &mut Stream) -> Option<Genes> {
        self.step += 1;
        self.barred.retain(|(_, until)| *until > self.step);
        let pairs = borders(from, random);
        if pairs.is_empty() {
            return None;
        }
        let by_chance = idle >= ROUND && idle % ROUND < KICKS;
        let promising = if by_chance { None } else { self.most_promising(from, &pairs, best, random) };
        let pair = promising.unwrap_or_else(|| pairs[random.below(pairs.len())]);
        let back = Pair { first: pair.second, second: pair.first, ..pair };
        self.barred.push((back, self.step + TENURE + random.below(TENURE)));
        Some(swapped(from, &pair))
    }

    fn most_promising(&self, from: &Found, pairs: &[Pair], best: usize, random: &mut Stream) -> Option<Pair> {
        let links = Links::of(&from.state);
        let barred = |pair: &Pair| self.barred.iter().any(|(b, _)| (b.first, b.second) == (pair.first, pair.second));
        let ends = pairs.iter().map(|pair| (links.swapped(pair), pair)).filter(|(end, pair)| *end < best || !barred(pair));
        ends.map(|(end, pair)| ((end, random.below(DICE)), *pair)).min_by_key(|(rank, _)| *rank).map(|(_, pair)| pair)
    }
}

/// What steered `from`, with the second of a pair, and what that comes after, before the first.
fn swapped(from: &Found, pair: &Pair) -> Genes {
    let mut order = from.sequence.clone();
    pull(&mut order, from.state.ground, pair.second, pair.first);
    let mut genes = from.genes.clone();
    genes.keep(&order);
    genes
}

#[cfg(test)]
mod tests;
