//! A few people chosen anew at once, exactly, while all others keep what they have.

use crate::roster::choice::{BARRED, Choice};
use crate::roster::layout::UNEVEN;
use crate::roster::part::{Part, TRIES, Ways};
use crate::roster::path::{Guard, Path, guards};

/// Most hands at once.
const HANDS: usize = 3;

/// Most combinations of choices on one day.
const MOST: usize = 160;

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
    if some.iter().all(|h| part.hands[*h].forbidden.is_empty()) {
        return plain(part, some, &days);
    }
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

/// The same where nothing is barred.
fn plain(part: &mut Part<'_>, some: &[usize], days: &[Day]) -> Option<Vec<Path>> {
    let into = |r: usize, to: &[usize]| -> i64 { some.iter().zip(to).map(|(h, c)| part.hands[*h].steps[r][*c]).sum() };
    let mut last: Vec<i64> = days[0].choices.iter().zip(&days[0].costs).map(|(to, cost)| into(0, to) + cost).collect();
    let mut back: Vec<Vec<usize>> = Vec::with_capacity(days.len());
    let mut work = 0;
    for r in 1..days.len() {
        let widths: Vec<usize> = some.iter().map(|h| part.hands[*h].choices[r].len()).collect();
        // Where the steps of each hand from a choice of the day before begin.
        let rows: Vec<Vec<&[i64]>> = (days[r - 1].choices.iter())
            .map(|from| some.iter().zip(from).zip(&widths).map(|((h, c), w)| &part.hands[*h].steps[r][c * w..(c + 1) * w]).collect())
            .collect();
        let mut next = Vec::with_capacity(days[r].choices.len());
        let mut from_of = Vec::with_capacity(days[r].choices.len());
        for (to, cost) in days[r].choices.iter().zip(&days[r].costs) {
            let (mut best, mut by) = (i64::MAX, 0);
            for (i, (rows, sum)) in rows.iter().zip(&last).enumerate() {
                let step = rows.iter().zip(to).fold(*sum, |sum, (row, c)| sum.saturating_add(row[*c]));
                if step < best {
                    (best, by) = (step, i);
                }
            }
            next.push(best.saturating_add(*cost));
            from_of.push(by);
        }
        work += (days[r].choices.len() * rows.len()) as u64;
        back.push(from_of);
        last = next;
    }
    let (cost, mut at) = last.iter().copied().zip(0..).min()?;
    part.work += work * some.len() as u64;
    if cost >= BARRED / 2 {
        return None;
    }
    let mut paths: Vec<Path> = some.iter().map(|_| vec![0; days.len()]).collect();
    for r in (0..days.len()).rev() {
        for (path, choice) in paths.iter_mut().zip(&days[r].choices[at]) {
            path[r] = *choice;
        }
        if r > 0 {
            at = back[r - 1][at];
        }
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
    let open: Vec<usize> =
        part.rows[r].units.iter().flat_map(|u| part.layout.units[*u].turns.iter().copied()).filter(|t| free[*t]).collect();
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
    if count == 1 {
        return anew(part, &now, &[0]).unwrap_or(now);
    }
    let pairs = (0..count).flat_map(|a| (a + 1..count).map(move |b| vec![a, b]));
    let threes = (0..count).flat_map(|a| (a + 1..count).flat_map(move |b| (b + 1..count).map(move |c| vec![a, b, c])));
    let mut sets: Vec<(Vec<usize>, u64)> = pairs.chain(threes).map(|some| (some, 0)).collect();
    // A set that came to nothing is tried again only when one of it, or what nobody has, is no longer as it was then.
    let mut time = 1;
    let mut changed = vec![time; count];
    let mut holes = (part.holes(&now.paths), time);
    let mut next = 0;
    while next < sets.len() {
        let (some, tried) = &mut sets[next];
        next += 1;
        if *tried >= some.iter().map(|h| changed[*h]).max().unwrap_or(0).max(holes.1) {
            continue;
        }
        if part.work > limit {
            break;
        }
        time += 1;
        *tried = time;
        if let Some(better) = anew(part, &now, some) {
            time += 1;
            some.iter().filter(|h| better.paths[**h] != now.paths[**h]).for_each(|h| changed[*h] = time);
            let left = part.holes(&better.paths);
            if left != holes.0 {
                holes = (left, time);
            }
            now = better;
            seen(&now);
            next = 0;
        }
    }
    now
}
