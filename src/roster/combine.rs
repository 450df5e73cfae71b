//! A few people chosen anew at once, exactly, while all others keep what they have.

use crate::roster::choice::{BARRED, Choice};
use crate::roster::layout::UNEVEN;
use crate::roster::part::{Part, TRIES, Ways};
use crate::roster::path::{Guard, Path, guards};

/// Most hands at once.
const HANDS: usize = 3;

/// Most combinations of choices on one day.
const MOST: usize = 400;

/// Combinations of choices on one day, with what each costs by itself.
struct Day {
    /// One choice for each hand.
    choices: Vec<Vec<usize>>,
    costs: Vec<i64>,
}

/// The best way of `some` hands (one to three) through the turns that they have now or nobody has, all others as they
/// are; `None` where it is no better, or too large to be tried. Load over the share steers by its price for those who
/// have it now, and is counted truly in the end.
pub(super) fn anew(part: &mut Part<'_>, now: &Ways, some: &[usize]) -> Option<Ways> {
    for _ in 0..TRIES {
        let mut all = now.paths.clone();
        for (hand, path) in some.iter().zip(joint(part, now, some)?) {
            all[*hand] = path;
        }
        let ways = part.ways(all);
        if ways.cost >= now.cost {
            return None;
        }
        let mut legal = true;
        for hand in some {
            legal &= part.legal(*hand, &ways.paths[*hand]);
        }
        if legal {
            return Some(ways);
        }
    }
    None
}

/// One joint way so far: its cost, the barred sets each hand has followed, where it came from.
#[derive(Clone, Copy)]
struct Label {
    cost: i64,
    following: [u64; HANDS],
    from: (usize, usize),
}

/// Most labels of one combination; what is over is left out, so that a way may be missed, but none is wrong.
const MOST_LABELS: usize = 12;

fn joint(part: &mut Part<'_>, now: &Ways, some: &[usize]) -> Option<Vec<Path>> {
    let mut free = vec![false; part.layout.open.len()];
    for turn in part.holes(&now.paths) {
        free[turn] = true;
    }
    let mut load = vec![0; part.hands.len()];
    for hand in some {
        for turn in part.turns_of(*hand, &now.paths[*hand]) {
            free[turn] = true;
        }
        load[*hand] = if part.hands[*hand].load(&now.paths[*hand]) > part.hands[*hand].share { UNEVEN } else { 0 };
    }
    let days: Vec<Day> = (0..part.rows.len()).map(|r| day(part, r, some, &free, &load)).collect::<Option<_>>()?;
    let step = |r: usize, from: Option<&[usize]>, to: &[usize]| -> i64 {
        let own = some.iter().enumerate().map(|(i, hand)| part.hands[*hand].step(r, from.map_or(0, |f| f[i]), to[i]));
        own.fold(0, i64::saturating_add).min(BARRED)
    };
    let mut work = 0;
    let mut all: Vec<Vec<Vec<Label>>> = Vec::with_capacity(days.len());
    for (r, day) in days.iter().enumerate() {
        let mut row = Vec::with_capacity(day.choices.len());
        for (to, cost) in day.choices.iter().zip(&day.costs) {
            let guards: Vec<Guard> = some.iter().zip(to).map(|(h, c)| guards(&part.hands[*h], r, *c)).collect();
            let mut labels: Vec<Label> = Vec::new();
            let mut reach = |sum: i64, before: [u64; HANDS], from: (usize, usize)| {
                let mut following = [0; HANDS];
                for (i, guard) in guards.iter().enumerate() {
                    match guard.pass(before[i]) {
                        Some(next) => following[i] = next,
                        None => return,
                    }
                }
                if sum < BARRED {
                    keep(&mut labels, Label { cost: sum, following, from });
                }
            };
            if r == 0 {
                reach(step(0, None, to) + cost, [0; HANDS], (0, 0));
            } else {
                for (c, from) in days[r - 1].choices.iter().enumerate() {
                    let step = step(r, Some(from), to) + cost;
                    for (i, label) in all[r - 1][c].iter().enumerate() {
                        reach(label.cost + step, label.following, (c, i));
                    }
                    work += all[r - 1][c].len() as u64 + 1;
                }
            }
            row.push(labels);
        }
        all.push(row);
    }
    part.work += work * some.len() as u64;
    let last = all.last()?;
    let ends = last.iter().enumerate().flat_map(|(c, labels)| labels.iter().enumerate().map(move |(i, l)| (l.cost, c, i)));
    let (_, mut at, mut label) = ends.min()?;
    let mut paths: Vec<Path> = some.iter().map(|_| vec![0; days.len()]).collect();
    for r in (0..days.len()).rev() {
        for (path, choice) in paths.iter_mut().zip(&days[r].choices[at]) {
            path[r] = *choice;
        }
        (at, label) = all[r][at][label].from;
    }
    Some(paths)
}

/// Keeps a label unless another is as cheap and follows no more barred sets.
fn keep(labels: &mut Vec<Label>, new: Label) {
    let better = |a: &Label, b: &Label| a.cost <= b.cost && a.following.iter().zip(&b.following).all(|(a, b)| a & !b == 0);
    if !labels.iter().any(|old| better(old, &new)) {
        labels.retain(|old| !better(&new, old));
        let place = labels.partition_point(|l| l.cost <= new.cost);
        labels.insert(place, new);
        labels.truncate(MOST_LABELS);
    }
}

/// All combinations on row `r` that stand no turn twice.
fn day(part: &Part<'_>, r: usize, some: &[usize], free: &[bool], load: &[i64]) -> Option<Day> {
    let allowed = |c: &Choice| c.turns.iter().all(|t| free[*t]);
    let open: Vec<usize> = part.rows[r].units.iter().flat_map(|u| part.layout.units[*u].turns.iter().copied()).filter(|t| free[*t]).collect();
    let all_holes: i64 = open.iter().map(|t| part.layout.open[*t].hole()).sum();
    let mut combined: Vec<(Vec<usize>, Vec<usize>, i64)> = vec![(Vec::new(), Vec::new(), all_holes)];
    for hand in some {
        let choices = &part.hands[*hand].choices[r];
        let mut next = Vec::new();
        for (i, choice) in choices.iter().enumerate().filter(|(_, c)| allowed(c)) {
            let own = choice.cost + choice.load * load[*hand] - choice.turns.iter().map(|t| part.layout.open[*t].hole()).sum::<i64>();
            for (set, taken, cost) in &combined {
                if choice.turns.iter().any(|t| taken.contains(t)) {
                    continue;
                }
                let mut set = set.clone();
                set.push(i);
                next.push((set, taken.iter().chain(&choice.turns).copied().collect(), cost + own));
            }
            if next.len() > MOST {
                return None;
            }
        }
        combined = next;
    }
    let (choices, costs) = combined.into_iter().map(|(set, _, cost)| (set, cost)).unzip();
    Some(Day { choices, costs })
}

/// Two at a time, then three, until nothing is gained or `limit` is reached. Every roster passed through is given to
/// `seen`.
pub(super) fn improve(part: &mut Part<'_>, mut now: Ways, limit: u64, seen: &mut impl FnMut(&Ways)) -> Ways {
    let count = part.hands.len();
    seen(&now);
    let pairs: Vec<Vec<usize>> = (0..count).flat_map(|a| (a + 1..count).map(move |b| vec![a, b])).collect();
    let threes = (0..count).flat_map(|a| (a + 1..count).flat_map(move |b| (b + 1..count).map(move |c| vec![a, b, c])));
    let threes: Vec<Vec<usize>> = threes.collect();
    if count == 1 {
        return anew(part, &now, &[0]).unwrap_or(now);
    }
    loop {
        let mut gained = false;
        for sets in [&pairs, &threes] {
            for some in sets {
                if part.work > limit {
                    return now;
                }
                if let Some(better) = anew(part, &now, some) {
                    now = better;
                    seen(&now);
                    gained = true;
                }
            }
            if gained {
                break;
            }
        }
        if !gained {
            return now;
        }
    }
}
