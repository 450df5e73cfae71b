//! A few people chosen anew at once while all others keep what they have: exactly, but for combinations and ways that would
//! be too many.

use crate::roster::choice::{BARRED, Choice, Hand};
use crate::roster::layout::CHANGE;
use crate::roster::part::{Part, TRIES, Ways};
use crate::roster::path::{Guard, MOST_SETS, Path, guards};

/// Most hands at once.
const HANDS: usize = 3;

/// Most combinations of choices on one day.
const MOST: usize = 160;

/// Combinations of choices on one day, with what each costs by itself.
struct Day {
    /// One choice for each hand; the first where there are fewer hands.
    choices: Vec<[usize; HANDS]>,
    costs: Vec<i64>,
    /// What the turns cost that are left then.
    holes: Vec<i64>,
}

/// The best way of `some` hands (one to three) through the turns that they have now or nobody has, all others as they
/// are; `None` where it is no better, or too large to be tried.
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
        let barred = |part: &Part<'_>| -> usize { some.iter().map(|h| part.hands[*h].forbidden.len().min(MOST_SETS)).sum() };
        let before = barred(part);
        let mut legal = true;
        for hand in some {
            legal &= part.legal(*hand, &ways.paths[*hand]);
        }
        if legal {
            return Some(ways);
        }
        if barred(part) == before {
            // The same would come again.
            return None;
        }
    }
    None
}

/// A view of the programme in which a unit of load has one price for each hand, with what that leaves out.
///
/// Load over the share costs ever more the more it is. By the price of the last unit a hand has now, what is left out
/// is least for the load it has now, so a way that is no cheaper by these prices is no cheaper at all. By the highest
/// price there is it does not matter who of them has a load, so that a line that changes hands is seen to cost more.
struct View {
    /// By hand.
    prices: Vec<i64>,
    /// By hand, a load for which what is left out is least.
    best: Vec<i64>,
    /// The least cost by prices from each combination of each day to the end, the combination itself left out.
    ahead: Vec<Vec<i64>>,
}

impl View {
    /// The least that a load costs for hand `i`, its price up to `so_far` and what is beside the price; it may still
    /// grow by `more`.
    fn least(&self, i: usize, hand: &Hand<'_>, so_far: i64, more: i64) -> i64 {
        let load = self.best[i].min(so_far.saturating_add(more)).max(so_far);
        hand.uneven(load) - self.prices[i] * (load - so_far)
    }
}

/// A few hands with all that is needed to choose them anew.
struct Joint<'a, 'p> {
    part: &'a Part<'p>,
    some: &'a [usize],
    days: Vec<Day>,
    /// By day and hand: the most load that can still come after it.
    more: Vec<[i64; HANDS]>,
    /// What they must cost less than.
    least: i64,
    work: u64,
}

/// The cheapest way of some hands, if it is cheaper than what they have, as far as their barred sets say.
fn joint(part: &mut Part<'_>, now: &Ways, some: &[usize]) -> Option<Vec<Path>> {
    let mut free = vec![false; part.layout.open.len()];
    let holes = part.holes(&now.paths);
    let mut least: i64 = holes.iter().map(|t| part.layout.open[*t].hole()).sum();
    for turn in holes {
        free[turn] = true;
    }
    let mut loads = Vec::new();
    for hand in some {
        let path = &now.paths[*hand];
        for turn in part.turns_of(*hand, path) {
            free[turn] = true;
        }
        least += part.path_cost(*hand, path);
        loads.push(part.hands[*hand].load(path));
    }
    let days: Vec<Day> = (0..part.rows.len()).map(|r| day(part, r, some, &free)).collect::<Option<_>>()?;
    let mut all = Joint { part, some, days, more: Vec::new(), least, work: 0 };
    let found = all.solve(loads);
    part.work += all.work * some.len() as u64;
    found
}

/// One joint way so far: its cost without load, the load of each hand, the barred sets each has followed, where it came
/// from.
#[derive(Clone, Copy)]
struct Label {
    cost: i64,
    /// The least it can come to in the end.
    least: i64,
    load: [i64; HANDS],
    /// What that costs if no more comes, and if all comes that can.
    low: [i64; HANDS],
    high: [i64; HANDS],
    following: [u64; HANDS],
    from: (usize, usize),
}

/// Most labels of one combination; what is over is left out, so that a way may be missed, but none is wrong.
const MOST_LABELS: usize = 12;

/// How far over the least by price is looked first.
const NEAR: i64 = 8 * CHANGE;

/// A combination on day `r` that labels go to.
struct Into<'a> {
    r: usize,
    /// By hand: how its barred sets look at it, and its load.
    own: &'a [(Guard, i64)],
    /// By view: what is ahead of it.
    ahead: Vec<(&'a View, i64)>,
}

impl Joint<'_, '_> {
    fn solve(&mut self, loads: Vec<i64>) -> Option<Vec<Path>> {
        self.count_loads();
        let prices = self.hands().zip(&loads).map(|(hand, load)| hand.slope(*load)).collect();
        let own = self.look_ahead(prices, loads);
        let (low, at) = self.cheaper(&own)?;
        let paths = self.by_price(&own, at);
        if self.allowed(&paths) && self.cost(&paths) < self.least {
            return Some(paths);
        }
        let prices = self.hands().map(|hand| hand.slope(i64::MAX)).collect();
        let most = self.hands().map(|hand| hand.share + hand.whole).collect();
        let same = self.look_ahead(prices, most);
        let (other, _) = self.cheaper(&same)?;
        // Most often something not much dearer than by price is found, with little to be looked at.
        let (views, near) = ([own, same], low.max(other) + NEAR);
        let all = self.least;
        self.least = all.min(near);
        self.labelled(&views).or_else(|| {
            self.least = all;
            (near < all).then(|| self.labelled(&views)).flatten()
        })
    }

    /// The least a way can cost by a view and where it begins, if it may be cheap enough.
    fn cheaper(&self, view: &View) -> Option<(i64, usize)> {
        let first = (0..self.days[0].choices.len()).map(|c| {
            let step = self.step(0, None, &self.days[0].choices[c]);
            step.saturating_add(self.priced(view, 0, c) + view.ahead[0][c])
        });
        let (cost, at) = first.zip(0..).min()?;
        let beside: i64 = self.hands().enumerate().map(|(i, hand)| view.least(i, hand, 0, i64::MAX)).sum();
        (cost + beside < self.least).then_some((cost + beside, at))
    }

    /// What a combination of a day costs by a view.
    fn priced(&self, view: &View, r: usize, c: usize) -> i64 {
        let loads = self.hands().zip(&self.days[r].choices[c]).map(|(hand, c)| hand.choices[r][*c].load);
        self.days[r].costs[c] + loads.zip(&view.prices).map(|(load, price)| load * price).sum::<i64>()
    }

    /// By day and hand, the most load that can still come.
    fn count_loads(&mut self) {
        self.more = vec![[0; HANDS]; self.days.len()];
        for r in (1..self.days.len()).rev() {
            for (i, hand) in self.some.iter().enumerate() {
                let loads = self.days[r].choices.iter().map(|to| self.part.hands[*hand].choices[r][to[i]].load);
                self.more[r - 1][i] = self.more[r][i] + loads.max().unwrap_or(0);
            }
        }
    }

    fn hands(&self) -> impl Iterator<Item = &Hand<'_>> {
        self.some.iter().map(|h| &self.part.hands[*h])
    }

    fn step(&self, r: usize, from: Option<&[usize]>, to: &[usize]) -> i64 {
        let own = self.hands().enumerate().map(|(i, hand)| hand.step(r, from.map_or(0, |f| f[i]), to[i]));
        own.fold(0, i64::saturating_add).min(BARRED)
    }

    /// From the last day to the first; barred sets are not looked at.
    fn look_ahead(&mut self, prices: Vec<i64>, best: Vec<i64>) -> View {
        let last = self.days.len() - 1;
        let mut view = View { prices, best, ahead: vec![Vec::new(); self.days.len()] };
        view.ahead[last] = vec![0; self.days[last].choices.len()];
        for r in (0..last).rev() {
            let next = &self.days[r + 1];
            let sums: Vec<i64> = view.ahead[r + 1].iter().enumerate().map(|(c, ahead)| self.priced(&view, r + 1, c) + ahead).collect();
            let widths: Vec<usize> = self.hands().map(|hand| hand.choices[r + 1].len()).collect();
            let best = |from: &[usize; HANDS]| {
                // Where the steps of each hand from its choice begin.
                let mut rows: [&[i64]; HANDS] = [&[0]; HANDS];
                for (i, (hand, width)) in self.hands().zip(&widths).enumerate() {
                    rows[i] = &hand.steps[r + 1][from[i] * width..(from[i] + 1) * width];
                }
                let sum = |(to, sum): (&[usize; HANDS], &i64)| rows.iter().zip(to).fold(*sum, |sum, (row, c)| sum.saturating_add(row[*c]));
                next.choices.iter().zip(&sums).map(sum).min().unwrap_or(BARRED).min(BARRED)
            };
            view.ahead[r] = self.days[r].choices.iter().map(best).collect();
            self.work += (self.days[r].choices.len() * next.choices.len()) as u64;
        }
        view
    }

    /// The cheapest way by a view that begins with a combination of the first day.
    fn by_price(&self, view: &View, mut at: usize) -> Vec<Path> {
        let mut paths: Vec<Path> = self.hands().zip(&self.days[0].choices[at]).map(|(_, c)| vec![*c]).collect();
        for r in 1..self.days.len() {
            let (from, day) = (&self.days[r - 1].choices[at], &self.days[r]);
            let cost = |c: usize| self.step(r, Some(from), &day.choices[c]).saturating_add(self.priced(view, r, c) + view.ahead[r][c]);
            at = (0..day.choices.len()).min_by_key(|c| cost(*c)).unwrap_or(0);
            paths.iter_mut().zip(&day.choices[at]).for_each(|(path, c)| path.push(*c));
        }
        paths
    }

    /// Whether no barred set is on the paths.
    fn allowed(&self, paths: &[Path]) -> bool {
        self.hands().zip(paths).all(|(hand, path)| {
            let mut followed = Some(0);
            for (r, choice) in path.iter().enumerate().filter(|_| !hand.forbidden.is_empty()) {
                followed = followed.and_then(|before| guards(hand, r, *choice).pass(before));
            }
            followed.is_some()
        })
    }

    /// What paths of the hands cost, with the turns that are then left.
    fn cost(&self, paths: &[Path]) -> i64 {
        let mut sum = self.some.iter().zip(paths).map(|(hand, path)| self.part.path_cost(*hand, path)).sum();
        for (r, day) in self.days.iter().enumerate() {
            let holes = day.choices.iter().zip(&day.holes).find(|(c, _)| c.iter().zip(paths).all(|(c, path)| path[r] == *c));
            sum += holes.map_or(0, |(_, holes)| *holes);
        }
        sum
    }

    /// The cheapest way with barred sets looked at and load counted as what it comes to in the end.
    fn labelled(&mut self, views: &[View]) -> Option<Vec<Path>> {
        let mut all: Vec<Vec<Vec<Label>>> = Vec::with_capacity(self.days.len());
        for r in 0..self.days.len() {
            let day = &self.days[r];
            let mut row = Vec::with_capacity(day.choices.len());
            let mut work = 0;
            for (c, (to, cost)) in day.choices.iter().zip(&day.costs).enumerate() {
                let own: Vec<(Guard, i64)> = self.hands().zip(to).map(|(h, c)| (guards(h, r, *c), h.choices[r][*c].load)).collect();
                let into = Into { r, own: &own, ahead: views.iter().map(|view| (view, view.ahead[r][c])).collect() };
                let mut labels: Vec<Label> = Vec::new();
                if r == 0 {
                    let none = [0; HANDS];
                    let start = Label { cost: 0, least: 0, load: none, low: none, high: none, following: [0; HANDS], from: (0, 0) };
                    self.reach(&mut labels, &into, start, self.step(0, None, to).saturating_add(*cost));
                } else {
                    for (c, from) in self.days[r - 1].choices.iter().enumerate().filter(|(c, _)| !all[r - 1][*c].is_empty()) {
                        let step = self.step(r, Some(from), to).saturating_add(*cost);
                        for (i, label) in all[r - 1][c].iter().enumerate().take_while(|_| step < BARRED) {
                            self.reach(&mut labels, &into, Label { from: (c, i), ..*label }, step);
                            work += 1;
                        }
                        work += 1;
                    }
                }
                row.push(labels);
            }
            self.work += work;
            all.push(row);
        }
        let last = all.last()?;
        let ends = last.iter().enumerate().flat_map(|(c, labels)| labels.iter().enumerate().map(move |(i, l)| (l.least, c, i)));
        let (_, mut at, mut label) = ends.min()?;
        let mut paths: Vec<Path> = self.some.iter().map(|_| vec![0; all.len()]).collect();
        for r in (0..all.len()).rev() {
            for (path, choice) in paths.iter_mut().zip(&self.days[r].choices[at]) {
                path[r] = *choice;
            }
            (at, label) = all[r][at][label].from;
        }
        Some(paths)
    }

    /// Goes from a label to a combination, unless that is barred or cannot become cheap enough.
    fn reach(&self, labels: &mut Vec<Label>, into: &Into<'_>, before: Label, step: i64) {
        let mut next = Label { cost: before.cost.saturating_add(step), ..before };
        for (i, (_, load)) in into.own.iter().enumerate() {
            next.load[i] += load;
        }
        let more = &self.more[into.r];
        for (view, ahead) in &into.ahead {
            let load: i64 = self.hands().enumerate().map(|(i, hand)| view.least(i, hand, next.load[i], more[i])).sum();
            next.least = next.least.max(next.cost.saturating_add(*ahead).saturating_add(load));
            if next.least >= self.least {
                return;
            }
        }
        for (i, ((guard, _), hand)) in into.own.iter().zip(self.hands()).enumerate() {
            let Some(following) = guard.pass(before.following[i]) else { return };
            next.following[i] = following;
            next.low[i] = hand.uneven(next.load[i]);
            next.high[i] = hand.uneven(next.load[i] + more[i]);
        }
        Self::keep(labels, next);
    }

    /// Keeps a label unless another is no dearer, whatever load may come to cost, and follows no more barred sets.
    fn keep(labels: &mut Vec<Label>, new: Label) {
        let better = |a: &Label, b: &Label| {
            // More load costs most against less if all comes that can come, less gains least if none comes.
            let cost = |((a_low, a_high), (b_low, b_high)): ((&i64, &i64), (&i64, &i64))| (a_low - b_low).max(a_high - b_high);
            let load: i64 = a.low.iter().zip(&a.high).zip(b.low.iter().zip(&b.high)).map(cost).sum();
            a.cost - b.cost + load <= 0 && a.following.iter().zip(&b.following).all(|(a, b)| a & !b == 0)
        };
        let full = labels.len() == MOST_LABELS && labels[MOST_LABELS - 1].least <= new.least;
        if !full && !labels.iter().any(|old| better(old, &new)) {
            labels.retain(|old| !better(&new, old));
            let place = labels.partition_point(|l| l.least <= new.least);
            labels.insert(place, new);
            labels.truncate(MOST_LABELS);
        }
    }
}

/// All combinations on row `r` that stand no turn twice.
fn day(part: &Part<'_>, r: usize, some: &[usize], free: &[bool]) -> Option<Day> {
    let allowed = |c: &Choice| c.turns.iter().all(|t| free[*t]);
    let open: Vec<usize> =
        part.rows[r].units.iter().flat_map(|u| part.layout.units[*u].turns.iter().copied()).filter(|t| free[*t]).collect();
    let all_holes: i64 = open.iter().map(|t| part.layout.open[*t].hole()).sum();
    let mut combined: Vec<(Vec<usize>, Vec<usize>, i64)> = vec![(Vec::new(), Vec::new(), all_holes)];
    for hand in some {
        let choices = &part.hands[*hand].choices[r];
        let mut next = Vec::new();
        for (i, choice) in choices.iter().enumerate().filter(|(_, c)| allowed(c)) {
            let own = choice.cost - choice.turns.iter().map(|t| part.layout.open[*t].hole()).sum::<i64>();
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
    let mut day = Day { choices: Vec::new(), costs: Vec::new(), holes: Vec::new() };
    for (set, taken, cost) in combined {
        let mut choices = [0; HANDS];
        choices[..set.len()].copy_from_slice(&set);
        day.choices.push(choices);
        day.costs.push(cost);
        day.holes.push(all_holes - taken.iter().map(|t| part.layout.open[*t].hole()).sum::<i64>());
    }
    Some(day)
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
