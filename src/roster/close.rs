//! Closes the gap: lists every way of every person that a better roster could have, and tries them all.

use crate::roster::part::{Part, Ways};
use crate::roster::path::{Path, nodes, to_go};
use crate::roster::price::Bound;

/// Most ways that are listed for one person.
const MOST_WAYS: usize = 4_000;
/// Most steps of the search among them.
const MOST_STEPS: u64 = 400_000;

/// One way with what it costs over the person's cheapest.
struct Listed {
    over: i64,
    turns: Vec<usize>,
    path: Path,
}

/// What came of it.
pub(super) enum Closed {
    /// Nothing is better than the best roster known, or this one is the best.
    Proven(Option<Ways>),
    /// Too much to be tried; this is the best that came up, if it is better.
    Open(Option<Ways>),
}

/// Finds out whether a roster better than `best` exists. Under the prices of `top`, a roster costs the bound and, on
/// top, what each person's way costs over his cheapest and each hole over its price. A better roster spends less on
/// that than the gap, by a grain at least, so only ways that cost so much less over their cheapest come into question.
pub(super) fn close(part: &mut Part<'_>, best: &Ways, top: &Bound) -> Closed {
    let budget = best.cost - part.grain - top.at;
    if budget < 0 {
        return Closed::Proven(None);
    }
    let mut lists = Vec::new();
    for hand in 0..part.hands.len() {
        let Some(list) = list(part, top, hand, budget) else { return Closed::Open(None) };
        lists.push(list);
    }
    let layout = part.layout;
    let holes: Vec<i64> = (0..layout.open.len()).map(|t| layout.open[t].hole() - top.prices[t]).collect();
    // Those with the fewest ways first.
    let mut order: Vec<usize> = (0..lists.len()).collect();
    order.sort_by_key(|h| (lists[*h].len(), *h));
    // Who is the last to be able to stand a turn.
    let mut last = vec![0; layout.open.len()];
    for (place, hand) in order.iter().enumerate() {
        for way in &lists[*hand] {
            way.turns.iter().for_each(|t| last[*t] = place);
        }
    }
    let mut due: Vec<Vec<usize>> = vec![Vec::new(); order.len()];
    for turn in &part.turns {
        due[last[*turn]].push(*turn);
    }
    let mut search = Search {
        lists: &lists,
        order: &order,
        holes: &holes,
        due: &due,
        budget,
        grain: part.grain,
        steps: 0,
        taken: vec![false; layout.open.len()],
        chosen: Vec::new(),
        found: None,
    };
    search.go(0, 0);
    let done = search.steps <= MOST_STEPS;
    let found = search.found.take();
    let ways = found.map(|chosen| {
        let mut paths = vec![Path::new(); lists.len()];
        for (hand, way) in order.iter().zip(chosen) {
            paths[*hand].clone_from(&lists[*hand][way].path);
        }
        part.ways(paths)
    });
    let ways = ways.filter(|w| w.cost < best.cost);
    if done { Closed::Proven(ways) } else { Closed::Open(ways) }
}

/// All legal ways of a hand that cost at most `budget` over its cheapest, cheapest first; `None` where they are too
/// many.
fn list(part: &mut Part<'_>, top: &Bound, hand: usize, budget: i64) -> Option<Vec<Listed>> {
    let own = nodes(&part.hands[hand], &top.prices);
    let ahead = to_go(&part.hands[hand], &own, &mut part.work);
    let limit = top.costs[hand] + budget;
    let mut paths: Vec<(i64, Path)> = Vec::new();
    // Depth first, no further than the cheapest way to the end allows.
    let mut stack: Vec<(i64, Path)> = Vec::new();
    let start = |c: usize| part.hands[hand].step(0, 0, c) + own[0][c];
    for choice in (0..own[0].len()).rev() {
        if start(choice) + ahead[0][choice] <= limit {
            stack.push((start(choice), vec![choice]));
        }
    }
    let mut steps = 0;
    while let Some((cost, path)) = stack.pop() {
        steps += 1;
        if path.len() == own.len() {
            paths.push((cost, path));
        } else {
            let (r, from) = (path.len(), path[path.len() - 1]);
            for choice in (0..own[r].len()).rev() {
                let sum = cost + part.hands[hand].step(r, from, choice) + own[r][choice];
                if sum + ahead[r][choice] <= limit {
                    let mut longer = path.clone();
                    longer.push(choice);
                    stack.push((sum, longer));
                }
            }
        }
        if paths.len() > MOST_WAYS || steps > 40 * MOST_WAYS {
            return None;
        }
    }
    part.work += steps as u64;
    let mut listed = Vec::new();
    for (cost, path) in paths {
        let uneven = part.hands[hand].uneven(part.hands[hand].load(&path));
        let over = cost + uneven - top.costs[hand];
        if over <= budget && part.legal(hand, &path) {
            listed.push(Listed { over, turns: part.turns_of(hand, &path), path });
        }
    }
    listed.sort_by(|a, b| (a.over, &a.path).cmp(&(b.over, &b.path)));
    Some(listed)
}

struct Search<'a> {
    lists: &'a [Vec<Listed>],
    order: &'a [usize],
    /// What each hole costs over its price.
    holes: &'a [i64],
    /// Turns that nobody can stand any more after each place of the order.
    due: &'a [Vec<usize>],
    budget: i64,
    grain: i64,
    steps: u64,
    taken: Vec<bool>,
    chosen: Vec<usize>,
    found: Option<Vec<usize>>,
}

impl Search<'_> {
    fn go(&mut self, place: usize, spent: i64) {
        let Some(hand) = self.order.get(place) else {
            // As good as any other of this cost; from here on only better ones count.
            self.budget = spent - self.grain;
            self.found = Some(self.chosen.clone());
            return;
        };
        let list = &self.lists[*hand];
        for (i, way) in list.iter().enumerate() {
            self.steps += 1;
            if self.steps > MOST_STEPS || spent + way.over > self.budget {
                return;
            }
            if way.turns.iter().any(|t| self.taken[*t]) {
                continue;
            }
            way.turns.iter().for_each(|t| self.taken[*t] = true);
            let missed: i64 = self.due[place].iter().filter(|t| !self.taken[**t]).map(|t| self.holes[*t]).sum();
            if spent + way.over + missed <= self.budget {
                self.chosen.push(i);
                self.go(place + 1, spent + way.over + missed);
                self.chosen.pop();
            }
            way.turns.iter().for_each(|t| self.taken[*t] = false);
        }
    }
}
