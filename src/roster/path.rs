//! The cheapest way of one person through the days, exactly.

use crate::roster::choice::{BARRED, Choice, Hand};
use crate::roster::layout::{FAR, UNEVEN};

/// A person's choice on each row.
pub(super) type Path = Vec<usize>;

/// Most barred sets of one person that are looked at.
pub(super) const MOST_SETS: usize = 60;

/// What each choice of a person costs if every turn (by its position in the layout) has a price that is gained by
/// standing it.
pub(super) fn nodes(hand: &Hand<'_>, prices: &[i64]) -> Vec<Vec<i64>> {
    let cost = |c: &Choice| c.cost - c.turns.iter().map(|t| prices[*t]).sum::<i64>();
    hand.choices.iter().map(|row| row.iter().map(cost).collect()).collect()
}

/// The cheapest path of a person where choices cost `nodes` (by row), and its cost, load over the share included. Barred
/// sets are kept out. Steps are counted into `work`.
pub(super) fn cheapest(hand: &Hand<'_>, nodes: &[Vec<i64>], work: &mut u64) -> (i64, Path) {
    let (cost, path) = plain(hand, nodes, work);
    // Nearly always there is nothing more to look at.
    if hand.forbidden.is_empty() && hand.load(&path) <= hand.share { (cost, path) } else { guarded(hand, nodes, work) }
}

#[expect(clippy::needless_range_loop, reason = "rows are looked at two at a time")]
fn plain(hand: &Hand<'_>, nodes: &[Vec<i64>], work: &mut u64) -> (i64, Path) {
    let mut back: Vec<Vec<u32>> = Vec::with_capacity(nodes.len());
    let mut last: Vec<i64> = nodes[0].iter().zip(&hand.steps[0]).map(|(n, s)| n + s).collect();
    for r in 1..nodes.len() {
        let width = nodes[r].len();
        let mut next = vec![i64::MAX; width];
        let mut from_of = vec![0_u32; width];
        for (from, cost) in last.iter().enumerate() {
            let steps = &hand.steps[r][from * width..(from + 1) * width];
            for ((best, by), step) in next.iter_mut().zip(&mut from_of).zip(steps) {
                let sum = cost + step;
                if sum < *best {
                    *best = sum;
                    *by = u32::try_from(from).unwrap_or(0);
                }
            }
        }
        *work += (last.len() * width) as u64;
        next.iter_mut().zip(&nodes[r]).for_each(|(n, node)| *n += node);
        back.push(from_of);
        last = next;
    }
    let (mut at, cost) = last.iter().copied().enumerate().min_by_key(|(i, c)| (*c, *i)).unwrap_or((0, 0));
    let mut path = vec![0; nodes.len()];
    for r in (0..nodes.len()).rev() {
        path[r] = at;
        if r > 0 {
            at = back[r - 1][at] as usize;
        }
    }
    (cost, path)
}

/// One way so far: its cost, its load, which barred sets it has followed so far, where it came from.
#[derive(Clone, Copy)]
struct Label {
    cost: i64,
    load: i64,
    following: u64,
    from: (usize, usize),
}

/// How the barred sets of a person look at a choice.
pub(super) struct Guard {
    begins: u64,
    goes_on: u64,
    ends: u64,
    singles: u64,
}

impl Guard {
    /// The sets followed after the choice, if those in `before` were followed up to it; `None` where one is completed.
    pub(super) const fn pass(&self, before: u64) -> Option<u64> {
        if self.ends & (before | self.singles) != 0 { None } else { Some((before & self.goes_on) | self.begins) }
    }
}

pub(super) fn guards(hand: &Hand<'_>, r: usize, choice: usize) -> Guard {
    let mut guard = Guard { begins: 0, goes_on: u64::MAX, ends: 0, singles: 0 };
    for (k, set) in hand.forbidden.iter().take(MOST_SETS).enumerate() {
        let Some(place) = set.iter().position(|(row, _)| *row == r) else { continue };
        let hit = set[place].1[choice];
        if !hit {
            guard.goes_on &= !(1 << k);
        } else if place + 1 == set.len() {
            guard.ends |= 1 << k;
            guard.singles |= u64::from(place == 0) << k;
        }
        if hit && place == 0 {
            guard.begins |= 1 << k;
        }
    }
    guard
}

#[expect(clippy::needless_range_loop, reason = "rows and choices are looked at in several tables")]
fn guarded(hand: &Hand<'_>, nodes: &[Vec<i64>], work: &mut u64) -> (i64, Path) {
    let mut all: Vec<Vec<Vec<Label>>> = Vec::with_capacity(nodes.len());
    for r in 0..nodes.len() {
        let mut row: Vec<Vec<Label>> = Vec::with_capacity(nodes[r].len());
        for to in 0..nodes[r].len() {
            let choice = &hand.choices[r][to];
            let guard = guards(hand, r, to);
            let mut labels: Vec<Label> = Vec::new();
            let mut reach = |cost: i64, load: i64, before: u64, from: (usize, usize)| {
                if cost < BARRED
                    && let Some(following) = guard.pass(before)
                {
                    keep(&mut labels, Label { cost, load: load + choice.load, following, from });
                }
            };
            if r == 0 {
                reach(nodes[0][to] + hand.steps[0][to], 0, 0, (0, 0));
            } else {
                for (from, labels) in all[r - 1].iter().enumerate() {
                    let step = hand.step(r, from, to) + nodes[r][to];
                    for (i, label) in labels.iter().enumerate() {
                        reach(label.cost + step, label.load, label.following, (from, i));
                    }
                    *work += labels.len() as u64;
                }
            }
            row.push(labels);
        }
        all.push(row);
    }
    let last = all.len() - 1;
    let cost = |l: &Label| l.cost + hand.uneven(l.load);
    let ends = all[last].iter().enumerate().flat_map(|(c, labels)| labels.iter().enumerate().map(move |(i, l)| (cost(l), c, i)));
    // To stand nothing is always possible.
    let (cost, mut at, mut label) = ends.min().unwrap_or((BARRED, 0, 0));
    let mut path = vec![0; nodes.len()];
    for r in (0..nodes.len()).rev() {
        path[r] = at;
        if let Some(found) = all[r][at].get(label) {
            (at, label) = found.from;
        }
    }
    (cost, path)
}

/// Keeps a label unless another is no dearer, whatever its load may come to cost, and follows no more barred sets; drops
/// those it is as good as.
fn keep(labels: &mut Vec<Label>, new: Label) {
    let better = |a: &Label, b: &Label| a.cost + (a.load - b.load).max(0) * UNEVEN * (1 + FAR) <= b.cost && a.following & !b.following == 0;
    if !labels.iter().any(|old| better(old, &new)) {
        labels.retain(|old| !better(&new, old));
        labels.push(new);
    }
}

/// The least cost from each choice of each row to the end, the choice itself left out; barred sets and load are not
/// looked at.
pub(super) fn to_go(hand: &Hand<'_>, nodes: &[Vec<i64>], work: &mut u64) -> Vec<Vec<i64>> {
    let mut all = vec![Vec::new(); nodes.len()];
    let last = nodes.len() - 1;
    all[last] = vec![0; nodes[last].len()];
    for r in (0..last).rev() {
        let width = nodes[r + 1].len();
        let ahead: Vec<i64> = nodes[r + 1].iter().zip(&all[r + 1]).map(|(n, a)| n + a).collect();
        let best = |from: usize| hand.steps[r + 1][from * width..(from + 1) * width].iter().zip(&ahead).map(|(s, a)| s + a).min();
        all[r] = (0..nodes[r].len()).map(|from| best(from).unwrap_or(0)).collect();
        *work += (nodes[r].len() * width) as u64;
    }
    all
}
