//! A part of the roster that no person joins with another: its days, its turns, its people.

use crate::roster::choice::{Forbidden, Hand, common, spans};
use crate::roster::layout::{Layout, Row};
use crate::roster::path::{Path, cheapest, nodes};
use crate::time::{Minutes, Span};

/// How often new sets of days are barred before a path is given up.
pub(super) const TRIES: usize = 40;

/// A part.
#[derive(Debug)]
pub(super) struct Part<'p> {
    pub(super) layout: &'p Layout,
    pub(super) rows: Vec<Row>,
    /// Positions in the layout's open turns.
    pub(super) turns: Vec<usize>,
    pub(super) hands: Vec<Hand<'p>>,
    /// What the cost of every roster is a multiple of.
    pub(super) grain: i64,
    /// Steps counted so far.
    pub(super) work: u64,
}

/// A way of everybody through the days, with what it costs.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Ways {
    pub(super) cost: i64,
    /// By hand.
    pub(super) paths: Vec<Path>,
}

impl<'p> Part<'p> {
    /// A part with its grain.
    pub(super) fn new(layout: &'p Layout, rows: Vec<Row>, turns: Vec<usize>, hands: Vec<Hand<'p>>) -> Self {
        let holes = turns.iter().map(|t| layout.open[*t].hole());
        let grain = holes.chain(hands.iter().map(Hand::grain)).fold(0, common).max(1);
        Self { layout, rows, turns, hands, grain, work: 0 }
    }

    /// The least that a roster can cost if none costs less than `bound`.
    pub(super) const fn least(&self, bound: i64) -> i64 {
        up(bound, self.grain)
    }
}

impl Part<'_> {
    /// What a path of a hand costs, its uneven share included; barred steps make it dear beyond measure.
    pub(super) fn path_cost(&self, hand: usize, path: &[usize]) -> i64 {
        let hand = &self.hands[hand];
        let mut sum = 0_i64;
        for (r, choice) in path.iter().enumerate() {
            sum += hand.choices[r][*choice].cost + hand.step(r, if r == 0 { 0 } else { path[r - 1] }, *choice);
        }
        sum + hand.uneven(hand.load(path))
    }

    /// Turns of a path.
    pub(super) fn turns_of(&self, hand: usize, path: &[usize]) -> Vec<usize> {
        path.iter().enumerate().flat_map(|(r, c)| self.hands[hand].choices[r][*c].turns.iter().copied()).collect()
    }

    /// By open turn of the layout, how many paths stand it.
    pub(super) fn stood(&self, paths: &[Path]) -> Vec<u32> {
        let mut stood = vec![0; self.layout.open.len()];
        for (hand, path) in paths.iter().enumerate() {
            for turn in self.turns_of(hand, path) {
                stood[turn] += 1;
            }
        }
        stood
    }

    /// Turns that nobody stands.
    pub(super) fn holes(&self, paths: &[Path]) -> Vec<usize> {
        let stood = self.stood(paths);
        self.turns.iter().copied().filter(|t| stood[*t] == 0).collect()
    }

    /// What a way of everybody costs, holes included.
    pub(super) fn ways(&self, paths: Vec<Path>) -> Ways {
        let own: i64 = paths.iter().enumerate().map(|(h, path)| self.path_cost(h, path)).sum();
        let holes: i64 = self.holes(&paths).iter().map(|t| self.layout.open[*t].hole()).sum();
        Ways { cost: own + holes, paths }
    }

    /// Holds a path against the person's rest, exactly. If it breaks it, the fewest of its days that do so are barred
    /// from now on, and the answer is no.
    pub(super) fn legal(&mut self, hand: usize, path: &[usize]) -> bool {
        let Some(set) = self.broken(hand, path) else { return true };
        self.hands[hand].forbid(set);
        false
    }

    fn broken(&mut self, hand: usize, path: &[usize]) -> Option<Forbidden> {
        let layout = self.layout;
        let hand = &mut self.hands[hand];
        if hand.known.contains(path) {
            return None;
        }
        let mut set: Vec<(usize, usize)> =
            path.iter().copied().enumerate().filter(|(r, c)| !hand.choices[*r][*c].turns.is_empty()).collect();
        let spans_of = |hand: &Hand<'_>, set: &[(usize, usize)]| -> Vec<Span> {
            set.iter().flat_map(|(r, c)| spans(layout, &hand.choices[*r][*c].turns)).collect()
        };
        let legal = |hand: &mut Hand<'_>, set: &[(usize, usize)]| {
            let all = spans_of(hand, set);
            hand.checker.legal(&all)
        };
        if legal(hand, &set) {
            hand.known.insert(path.to_vec());
            return None;
        }
        let all = spans_of(hand, &set);
        match hand.checker.broken(&all) {
            Some((window, Some(over))) => Some(too_much(layout, hand, &set, window, over)),
            other => {
                // Only what is near the window can matter; if it does not, then all of it is looked at.
                if let Some(near) = other.and_then(|(w, _)| Span::new(w.start() - Minutes::DAY, w.end() + Minutes::DAY)) {
                    let part: Vec<(usize, usize)> = (set.iter().copied())
                        .filter(|(r, c)| spans(layout, &hand.choices[*r][*c].turns).iter().any(|s| s.overlaps(near)))
                        .collect();
                    if !legal(hand, &part) {
                        set = part;
                    }
                }
                // Days that are not needed to break the rest are left out, one after the other.
                let mut i = 0;
                while i < set.len() {
                    let day = set.remove(i);
                    if legal(hand, &set) {
                        set.insert(i, day);
                        i += 1;
                    }
                }
                let marks = set.into_iter().map(|(r, c)| {
                    let turns = &hand.choices[r][c].turns;
                    (r, hand.choices[r].iter().map(|other| turns.iter().all(|t| other.turns.contains(t))).collect())
                });
                Some(marks.collect())
            }
        }
    }

    /// The cheapest legal path of a hand under prices, `None` where ever new sets of days had to be barred.
    pub(super) fn best(&mut self, hand: usize, prices: &[i64]) -> Option<Path> {
        let nodes = nodes(&self.hands[hand], prices);
        for _ in 0..TRIES {
            let (_, path) = cheapest(&self.hands[hand], &nodes, &mut self.work);
            if self.legal(hand, &path) {
                return Some(path);
            }
        }
        None
    }

    /// One hand after the other, in the order given, takes the cheapest path through the turns that are left, where a
    /// turn is worth its price, or without prices all that it would cost as a hole.
    pub(super) fn greedy(&mut self, order: &[usize], prices: Option<&[i64]>) -> Ways {
        let mut left = vec![true; self.layout.open.len()];
        let mut paths: Vec<Path> = self.hands.iter().map(|_| vec![0; self.rows.len()]).collect();
        for hand in order {
            let worth = |t: usize| match (left[t], prices) {
                (false, _) => -self.layout.open[t].hole() * 4,
                (true, None) => self.layout.open[t].hole(),
                (true, Some(prices)) => prices[t],
            };
            let worth: Vec<i64> = (0..left.len()).map(worth).collect();
            if let Some(path) = self.best(*hand, &worth) {
                for turn in self.turns_of(*hand, &path) {
                    left[turn] = false;
                }
                paths[*hand] = path;
            }
        }
        self.ways(paths)
    }
}

/// The least multiple of `grain` that is not below `bound`.
const fn up(bound: i64, grain: i64) -> i64 {
    (bound + grain - 1).div_euclid(grain) * grain
}

/// Days of a path that are too much together in `window`, by `over` minutes more than it takes. Days that are not needed
/// for that are left out, the least first. As much on the same day, at whatever hours inside the window, is too much as
/// well; what is over may be missing on the first and on the last day.
fn too_much(layout: &Layout, hand: &Hand<'_>, set: &[(usize, usize)], window: Span, over: i64) -> Forbidden {
    let within = |r: usize, c: usize| hand.checker.new_minutes(window, &spans(layout, &hand.choices[r][c].turns));
    let mut days: Vec<(usize, i64)> = set.iter().map(|(r, c)| (*r, within(*r, *c))).filter(|(_, own)| *own > 0).collect();
    let mut over = over;
    while let Some(place) = (0..days.len()).filter(|i| days[*i].1 <= over).min_by_key(|i| days[*i].1) {
        over -= days.remove(place).1;
    }
    let end = days.len().saturating_sub(1);
    let marks = days.iter().enumerate().map(|(i, (r, own))| {
        let spared = if i == 0 || i == end { over / 2 } else { 0 };
        let least = (own - spared).max(1);
        (*r, (0..hand.choices[*r].len()).map(|c| within(*r, c) >= least).collect())
    });
    marks.collect()
}

#[cfg(test)]
mod tests {
    use super::up;

    /// If this fails, a bound is rounded up past a roster that may be.
    #[test]
    fn a_bound_on_a_multiple_stays_there() {
        assert_eq!([5999, 6000, 6001, 0, 1, -1, -6001].map(|bound| up(bound, 6000)), [6000, 6000, 12000, 0, 6000, 0, -6000]);
        assert_eq!([-7, 0, 7].map(|bound| up(bound, 1)), [-7, 0, 7]);
    }
}
