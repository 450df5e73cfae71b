//! Better prices: the linear programme over whole ways of people, to which ways are added while any is worth it.

use crate::lp::{Direction, Model, Outcome, Relation, Row};
use crate::roster::part::{Part, Ways};
use crate::roster::path::Path;
use crate::roster::price::{Bound, bound};

/// Most rows of the programme; beyond it the back-end takes too long.
const MOST_ROWS: usize = 420;
/// Most columns, and most rounds, by rows: the product of both is what takes time.
const MOST_COLUMNS: usize = 900;
const ROUNDS: usize = 40;
/// Most of all coefficients times rows that is handed to the back-end for one part.
const MOST_EFFORT: usize = 60_000_000;

/// The programme as far as it is built.
struct Master {
    model: Model,
    /// Rows: one way for each hand, one person for each turn.
    hands: Vec<Row>,
    turns: Vec<Row>,
}

/// Betters `top` by the prices of the programme. `ways` are paths by hand to begin with.
pub(super) fn refine(part: &mut Part<'_>, mut top: Bound, best: &Ways, mut ways: Vec<Vec<Path>>) -> (Bound, Option<Vec<(usize, Path)>>) {
    let mut dive = None;
    if part.turns.len() + part.hands.len() > MOST_ROWS {
        return (top, dive);
    }
    for (list, path) in ways.iter_mut().zip(&best.paths) {
        list.push(path.clone());
        list.sort();
        list.dedup();
    }
    let mut effort = 0;
    for _ in 0..ROUNDS {
        let columns: usize = ways.iter().map(Vec::len).sum();
        let master = build(part, &ways);
        effort += master.model.coefficient_count() * master.model.row_count();
        if columns > MOST_COLUMNS || effort > MOST_EFFORT || best.cost <= part.least(top.at) {
            break;
        }
        let Ok(prices) = master.model.prices() else { break };
        let price = |row: Row| (prices.thousandths(row) + 500).div_euclid(1000);
        let mut of_turns = vec![0; part.layout.open.len()];
        for (turn, row) in part.turns.iter().zip(&master.turns) {
            of_turns[*turn] = price(*row);
        }
        let now = bound(part, of_turns);
        let mut added = false;
        for (h, list) in ways.iter_mut().enumerate() {
            let gains = now.costs[h] < price(master.hands[h]);
            if gains && !list.contains(&now.paths[h]) {
                list.push(now.paths[h].clone());
                added = true;
            }
        }
        if now.at > top.at {
            top = now;
        }
        if !added {
            dive = whole(part, &master.model, &ways);
            break;
        }
    }
    (top, dive)
}

fn build(part: &Part<'_>, ways: &[Vec<Path>]) -> Master {
    let mut model = Model::new(Direction::Minimise);
    let mut of_turns: Vec<Vec<(crate::lp::Col, i64)>> = vec![Vec::new(); part.layout.open.len()];
    let mut of_hands = Vec::new();
    for (h, list) in ways.iter().enumerate() {
        let mut hand = Vec::new();
        for (i, path) in list.iter().enumerate() {
            let col = model.held_column(format!("way {i} of {h}"), 1, part.path_cost(h, path));
            hand.push((col, 1));
            for turn in part.turns_of(h, path) {
                of_turns[turn].push((col, 1));
            }
        }
        of_hands.push(hand);
    }
    let hands =
        of_hands.into_iter().enumerate().map(|(h, terms)| model.row(format!("one way of {h}"), terms, Relation::Exactly, 1)).collect();
    let mut turns = Vec::new();
    for turn in &part.turns {
        let mut terms = std::mem::take(&mut of_turns[*turn]);
        terms.push((model.column(format!("hole {turn}"), Some(0), None, part.layout.open[*turn].hole()), 1));
        turns.push(model.row(format!("turn {turn}"), terms, Relation::Exactly, 1));
    }
    Master { model, hands, turns }
}

/// The ways that carry most weight in the programme's own answer, heaviest first.
fn whole(part: &Part<'_>, model: &Model, ways: &[Vec<Path>]) -> Option<Vec<(usize, Path)>> {
    let Outcome::Optimal(solution) = model.solve() else { return None };
    let mut columns = model.column_ids();
    let mut weighed: Vec<(i64, usize, usize)> = Vec::new();
    for (h, list) in ways.iter().enumerate() {
        for (i, col) in columns.by_ref().take(list.len()).enumerate() {
            weighed.push((-solution.thousandths(col), h, i));
        }
    }
    weighed.sort_unstable();
    let mut taken = vec![false; part.hands.len()];
    let mut order = Vec::new();
    for (_, h, i) in weighed.into_iter().filter(|(weight, _, _)| *weight < 0) {
        if !std::mem::replace(&mut taken[h], true) {
            order.push((h, ways[h][i].clone()));
        }
    }
    Some(order)
}

/// A roster from the heaviest ways of the programme: each as it is as far as its turns are still free, days with turns
/// already taken left out.
pub(super) fn rounded(part: &mut Part<'_>, heavy: &[(usize, Path)]) -> Ways {
    let mut left = vec![true; part.layout.open.len()];
    let mut paths: Vec<Path> = part.hands.iter().map(|_| vec![0; part.rows.len()]).collect();
    for (h, path) in heavy {
        let mut kept = path.clone();
        for (r, choice) in kept.iter_mut().enumerate() {
            let turns = &part.hands[*h].choices[r][*choice].turns;
            if turns.iter().all(|t| left[*t]) {
                for turn in turns {
                    left[*turn] = false;
                }
            } else {
                *choice = 0;
            }
        }
        if part.legal(*h, &kept) {
            paths[*h] = kept;
        }
    }
    part.ways(paths)
}
