//! Bounds from below: every turn has a price, everybody goes the cheapest way, and what comes out is never too much.

use crate::roster::part::{Part, Ways};
use crate::roster::path::{Path, cheapest, nodes};

/// What some prices prove.
#[derive(Clone, Debug)]
pub(super) struct Bound {
    /// No roster of the part costs less.
    pub(super) at: i64,
    /// By open turn of the layout: what somebody gains by standing it.
    pub(super) prices: Vec<i64>,
    /// Everybody's cheapest way under the prices; together they may stand a turn twice or leave it.
    pub(super) paths: Vec<Path>,
    /// What each of these ways costs under the prices, load over the share included.
    pub(super) costs: Vec<i64>,
}

/// Steps of the search for good prices that come to nothing before it takes smaller ones.
const PATIENCE: u32 = 12;
/// The first length of a step, and the one at which it ends, in 1024ths of the way to the best roster known.
const FIRST: i64 = 1024;
const LAST: i64 = 24;

/// What `prices` prove. For any roster: its cost is the sum over its turns of their prices, plus the sum over people
/// of what their ways cost under the prices, plus for every hole what it costs over its price. No price is above the
/// cost of its hole, and nobody's way is cheaper than his cheapest; so the sum of prices and cheapest ways is a bound.
/// All of it in integers, so nothing is lost to rounding.
pub(super) fn bound(part: &mut Part<'_>, mut prices: Vec<i64>) -> Bound {
    for turn in &part.turns {
        prices[*turn] = prices[*turn].min(part.layout.open[*turn].hole());
    }
    let mut at: i64 = part.turns.iter().map(|t| prices[*t]).sum();
    let (mut paths, mut costs) = (Vec::new(), Vec::new());
    for hand in &part.hands {
        let (cost, path) = cheapest(hand, &nodes(hand, &prices), &mut part.work);
        at += cost;
        paths.push(path);
        costs.push(cost);
    }
    Bound { at, prices, paths, costs }
}

/// Looks for good prices by moving them, step by step, up for turns that nobody wants and down for those that several
/// do. `best` is the best roster known; ways that come up are given to `found`, which may better it.
pub(super) fn ascend(
    part: &mut Part<'_>,
    best: &mut Ways,
    limit: u64,
    mut found: impl FnMut(&mut Part<'_>, &Bound, u32) -> Option<Ways>,
) -> Bound {
    let mut now = bound(part, vec![0; part.layout.open.len()]);
    let mut top = now.clone();
    let (mut length, mut idle, mut round) = (FIRST, 0, 0_u32);
    while length > LAST && part.work < limit && best.cost > part.least(top.at) {
        if let Some(ways) = found(part, &now, round)
            && ways.cost < best.cost
        {
            *best = ways;
        }
        round += 1;
        let stood = part.stood(&now.paths);
        let slope: Vec<i64> = part.turns.iter().map(|t| 1 - i64::from(stood[*t])).collect();
        let square: i64 = slope.iter().map(|g| g * g).sum();
        if square == 0 {
            break;
        }
        let step = ((best.cost - now.at).max(1) * length / (1024 * square)).max(1);
        let mut prices = now.prices.clone();
        for (turn, slope) in part.turns.iter().zip(&slope) {
            prices[*turn] += step * slope;
        }
        now = bound(part, prices);
        if now.at > top.at {
            top = now.clone();
            idle = 0;
        } else {
            idle += 1;
            if idle >= PATIENCE {
                length /= 2;
                idle = 0;
                now = top.clone();
            }
        }
    }
    top
}
