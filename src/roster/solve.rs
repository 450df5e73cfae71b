//! From a problem to rosters: the time of the job first and as well as can be, then the days laid out after it.

use std::collections::BTreeMap;

use crate::id::{IdVec, PersonId, TurnId};
use crate::model::{Problem, RecordKind, Stand};
use crate::roster::Options;
use crate::roster::answer::{Costs, Outcome, Proof, Roster};
use crate::roster::check::Checker;
use crate::roster::choice::Hand;
use crate::roster::close::{Closed, close};
use crate::roster::combine::improve;
use crate::roster::hole::holes;
use crate::roster::layout::{AGAIN, CHANGE, Key, Layout, MINUTE, Parted, Row};
use crate::roster::master::{refine, rounded};
use crate::roster::part::{Part, Ways};
use crate::roster::path::Path;
use crate::roster::price::{Bound, ascend};
use crate::roster::worth::Worth;
use crate::time::{Minutes, Moment, Span};

/// Days that are rostered at once after the end of the job.
const TAIL: Minutes = Minutes::WEEK;

/// Who stands which open turn.
type Given = BTreeMap<TurnId, PersonId>;

/// What came of one stretch of time.
struct Stretch {
    /// Rosters, best first, each with its cost.
    few: Vec<(i64, Given)>,
    costs: Costs,
    bound: i64,
    work: u64,
    /// Whether some choices were left out, so that the bound is not one.
    cut: bool,
}

/// Rosters the open turns of a problem. A turn is a hole only where whoever may stand it is away, at something else,
/// or would break his rest; what fills a hole is named and not chosen.
#[must_use]
pub fn solve(problem: &Problem, options: &Options) -> Outcome {
    let core = Span::new(problem.start, problem.end);
    let fixed = |stand: &Stand| match stand {
        Stand::Fixed(person) => Some(*person),
        Stand::Open(_) => None,
    };
    let mut stands: IdVec<TurnId, Option<PersonId>> = problem.turns.iter().map(|t| fixed(&t.stand)).collect();
    let Some(core) = core.filter(|_| problem.turns.iter().any(|t| matches!(t.stand, Stand::Open(_)) && t.span.end() > problem.start))
    else {
        let roster = Roster { stands, costs: Costs::default(), total: 0 };
        return Outcome { rosters: vec![roster], proof: Proof::NothingOpen, holes: Vec::new(), work: 0 };
    };
    let mut worth = Worth::new(problem);
    let first = stretch(problem, core, &Given::new(), &recorded(problem), &mut worth, options, true);
    let mut rosters = Vec::new();
    let mut work = first.work;
    let mut after: Option<Given> = None;
    for (cost, given) in &first.few {
        // The days after the job only have to be legal and steady; what suits the best roster often suits the others.
        let known = after.as_ref().map(|rest| given.iter().chain(rest).map(|(t, p)| (*t, *p)).collect::<Given>());
        let all = if let Some(all) = known.filter(|all| legal(problem, all)) {
            all
        } else {
            let (rest, steps) = tail(problem, given, core.end(), &mut worth, options);
            work += steps;
            after.get_or_insert_with(|| rest.clone());
            given.iter().chain(&rest).map(|(t, p)| (*t, *p)).collect()
        };
        let mut own = stands.clone();
        for (turn, person) in &all {
            own[*turn] = Some(*person);
        }
        rosters.push(Roster { stands: own, costs: first.costs, total: *cost });
    }
    // What the others cost in detail is not kept: only the best is explained.
    stands.clone_from(&rosters[0].stands);
    let proof = if first.cut || rosters[0].total > first.bound {
        Proof::Within { bound: if first.cut { 0 } else { first.bound } }
    } else {
        Proof::Proven
    };
    Outcome { holes: holes(problem, &stands), rosters, proof, work }
}

/// Who stands what after `from`, a week at a time, each beside all that is given before; with the steps counted.
fn tail(problem: &Problem, given: &Given, from: Moment, worth: &mut Worth, options: &Options) -> (Given, u64) {
    let mut all = given.clone();
    let mut from = from;
    let mut work = 0;
    while let Some(time) = Span::new(from, (from + TAIL).min(problem.layout_end)) {
        let before = latest(problem, &all, from);
        let rest = Options { few: 1, effort: options.effort / 20 };
        let next = stretch(problem, time, &all, &before, worth, &rest, false);
        work += next.work;
        all.extend(next.few.into_iter().next().map(|(_, given)| given).unwrap_or_default());
        from = time.end();
    }
    all.retain(|turn, _| !given.contains_key(turn));
    (all, work)
}

/// Whether nobody's rest is broken by what he is given.
fn legal(problem: &Problem, given: &Given) -> bool {
    let mut of: BTreeMap<PersonId, Vec<Span>> = BTreeMap::new();
    for (turn, person) in given {
        of.entry(*person).or_default().push(problem.turns[*turn].span);
    }
    of.into_iter().all(|(person, turns)| Checker::new(problem, person, &turns).is_some())
}

/// Who had which line on the day before the start, by the watches in the record.
fn recorded(problem: &Problem) -> Vec<(Key, PersonId)> {
    let Some(day) = Span::of(problem.start, Minutes::DAY) else { return Vec::new() };
    let layout = Layout::new(problem, day, &Parted::new());
    let mut known = Vec::new();
    for unit in layout.units.iter().filter(|u| !u.rota) {
        let before: Vec<Span> = unit
            .turns
            .iter()
            .filter_map(|t| {
                let span = layout.open[*t].span;
                Span::new(span.start() - Minutes::DAY, span.end() - Minutes::DAY)
            })
            .collect();
        let all: i32 = before.iter().map(|s| s.length().get()).sum();
        let stood = |id: PersonId| -> i32 {
            let watches = problem.people[id].recorded.iter().filter(|r| r.kind == RecordKind::Watch);
            watches.flat_map(|r| before.iter().filter_map(|b| b.intersection(r.span))).map(|s| s.length().get()).sum()
        };
        let people = layout.open[unit.turns[0]].people.iter().copied();
        known.extend(people.filter(|p| 2 * stood(*p) >= all).map(|p| (layout.series[unit.series].clone(), p)));
    }
    known
}

/// Who has which line on the day before `from`.
fn latest(problem: &Problem, given: &Given, from: Moment) -> Vec<(Key, PersonId)> {
    let Some(time) = Span::new(from - Minutes::DAY, from) else { return Vec::new() };
    let layout = Layout::new(problem, time, &Parted::new());
    let unit = |u: &crate::roster::layout::Unit| {
        let person = u.turns.iter().find_map(|t| given.get(&layout.open[*t].id))?;
        Some((layout.series[u.series].clone(), *person))
    };
    layout.units.iter().filter(|u| !u.rota).filter_map(unit).collect()
}

/// Rosters the open turns that start in `time`, beside those already given.
fn stretch(
    problem: &Problem,
    time: Span,
    given: &Given,
    before: &[(Key, PersonId)],
    worth: &mut Worth,
    options: &Options,
    prove: bool,
) -> Stretch {
    let mut parted = Parted::new();
    loop {
        let layout = Layout::new(problem, time, &parted);
        let mut solved = whole(problem, &layout, given, before, worth, options, prove);
        // Lines that nobody can stand whole are parted, if that is not yet done, and everything is done again.
        let open: Vec<TurnId> = solved.few.first().map_or(Vec::new(), |(_, best)| {
            let hole = |turns: &[usize]| turns.iter().any(|t| !best.contains_key(&layout.open[*t].id));
            let units = layout.units.iter().filter(|u| u.turns.len() > 1 && hole(&u.turns));
            units.flat_map(|u| u.turns.iter().map(|t| layout.open[*t].id)).collect()
        });
        if open.is_empty() {
            solved.few.truncate(options.few.max(1));
            return solved;
        }
        parted.extend(open);
    }
}

fn whole(
    problem: &Problem,
    layout: &Layout,
    given: &Given,
    before: &[(Key, PersonId)],
    worth: &mut Worth,
    options: &Options,
    prove: bool,
) -> Stretch {
    let parts = parts(problem, layout, given, before, worth);
    let mut total = Stretch { few: vec![(0, Given::new())], costs: Costs::default(), bound: 0, work: 0, cut: false };
    let limit = options.effort * 1000 / parts.len().max(1) as u64;
    let alone: Vec<usize> = (0..layout.open.len()).filter(|t| !parts.iter().any(|p| p.turns.contains(t))).collect();
    for turn in alone {
        total.costs.uncovered += layout.open[turn].span.length();
        total.bound += layout.open[turn].hole();
        total.few[0].0 += layout.open[turn].hole();
    }
    for mut part in parts {
        let (pool, bound) = solve_part(&mut part, options.few, limit, prove);
        total.bound += bound;
        total.work += part.work;
        total.cut |= part.hands.iter().any(|h| h.cut);
        account(&part, &pool[0], &mut total.costs);
        // Each roster so far with each of this part; the cheapest are kept.
        let mut joined: Vec<(i64, Given)> = Vec::new();
        for (cost, so_far) in &total.few {
            for ways in &pool {
                let mut all = so_far.clone();
                for (h, path) in ways.paths.iter().enumerate() {
                    all.extend(part.turns_of(h, path).into_iter().map(|t| (layout.open[t].id, part.hands[h].id())));
                }
                joined.push((cost + ways.cost, all));
            }
        }
        joined.sort();
        joined.truncate(options.few.max(1));
        total.few = joined;
    }
    total
}

/// What the best way of a part comes to, in the words of the answer.
fn account(part: &Part<'_>, ways: &Ways, costs: &mut Costs) {
    for (h, path) in ways.paths.iter().enumerate() {
        let hand = &part.hands[h];
        let mut lost = 0;
        for (r, choice) in path.iter().enumerate() {
            let step = hand.step(r, if r == 0 { 0 } else { path[r - 1] }, *choice);
            costs.changes += u32::try_from(step / CHANGE).unwrap_or(0);
            costs.running += u32::try_from(step % CHANGE / AGAIN).unwrap_or(0);
            lost += hand.choices[r][*choice].cost;
        }
        costs.lost += Minutes::new(i32::try_from(lost / MINUTE).unwrap_or(i32::MAX));
        costs.uneven += Minutes::new(i32::try_from((hand.load(path) - hand.share).max(0)).unwrap_or(i32::MAX));
    }
    costs.uncovered += part.holes(&ways.paths).iter().map(|t| part.layout.open[*t].span.length()).sum();
}

/// Parts that no person joins, each with everybody's choices.
fn parts<'p>(problem: &'p Problem, layout: &'p Layout, given: &Given, before: &[(Key, PersonId)], worth: &mut Worth) -> Vec<Part<'p>> {
    let mut people: Vec<PersonId> = layout.open.iter().flat_map(|o| o.people.iter().copied()).collect();
    people.sort_unstable();
    people.dedup();
    let mut hands = Vec::new();
    for id in people {
        let own: Vec<Span> = given.iter().filter(|(_, p)| **p == id).map(|(t, _)| problem.turns[*t].span).collect();
        let Some(checker) = Checker::new(problem, id, &own) else { continue };
        let mut hand = Hand::new(problem, layout, &layout.rows, checker, worth);
        let series = |list: &[&(Key, PersonId)]| -> Vec<usize> {
            list.iter().filter_map(|(key, _)| layout.series.iter().position(|k| k == key)).collect()
        };
        let own_lines: Vec<&(Key, PersonId)> = before.iter().filter(|(_, p)| *p == id).collect();
        let known: Vec<&(Key, PersonId)> = before.iter().collect();
        hand.link(problem, layout, &layout.rows, &series(&own_lines), &series(&known));
        hands.push(hand);
    }
    // Joined by a turn that both may stand.
    let mut group: Vec<usize> = (0..hands.len()).collect();
    let able: Vec<Vec<usize>> = hands
        .iter()
        .map(|h| {
            let mut turns: Vec<usize> = h.choices.iter().flatten().flat_map(|c| c.turns.iter().copied()).collect();
            turns.sort_unstable();
            turns.dedup();
            turns
        })
        .collect();
    for a in 0..hands.len() {
        for b in 0..a {
            if group[a] != group[b] && able[a].iter().any(|t| able[b].binary_search(t).is_ok()) {
                let (from, to) = (group[a].max(group[b]), group[a].min(group[b]));
                group.iter_mut().filter(|g| **g == from).for_each(|g| *g = to);
            }
        }
    }
    let mut by_group: BTreeMap<usize, Vec<(Hand<'p>, Vec<usize>)>> = BTreeMap::new();
    for ((hand, group), able) in hands.into_iter().zip(&group).zip(able) {
        if !able.is_empty() {
            by_group.entry(*group).or_default().push((hand, able));
        }
    }
    by_group.into_values().map(|members| part(layout, members)).collect()
}

/// The parts of the job's own time, with nothing barred yet, for those who want to see the programme itself.
pub(super) fn core_parts<'p>(problem: &'p Problem, layout: &'p mut Layout) -> Vec<Part<'p>> {
    let Some(core) = Span::new(problem.start, problem.end) else { return Vec::new() };
    *layout = Layout::new(problem, core, &Parted::new());
    parts(problem, layout, &Given::new(), &recorded(problem), &mut Worth::new(problem))
}

/// A part of its members: only the days on which it has turns.
fn part<'p>(layout: &'p Layout, members: Vec<(Hand<'p>, Vec<usize>)>) -> Part<'p> {
    let mut turns: Vec<usize> = members.iter().flat_map(|(_, able)| able.iter().copied()).collect();
    turns.sort_unstable();
    turns.dedup();
    let mine = |u: &usize| layout.units[*u].turns.iter().any(|t| turns.binary_search(t).is_ok());
    let rows: Vec<Row> =
        layout.rows.iter().map(|r| Row { day: r.day, units: r.units.iter().copied().filter(|u| mine(u)).collect() }).collect();
    let units = rows.iter().flat_map(|r| &r.units).map(|u| &layout.units[*u]);
    let (all, most) = units.fold((0, 1), |(sum, most), u| (sum + u.load, most.max(u.load)));
    let count = i64::try_from(members.len()).unwrap_or(1);
    // Whole watches: what cannot be shared evenly is over for somebody in any roster.
    let share = all / (count * most) * most;
    let hands = members.into_iter().map(|(hand, _)| Hand { share, whole: most, ..hand }).collect();
    Part::new(layout, rows, turns, hands)
}

/// The cheapest ways that came up, no two alike.
struct Pool {
    few: usize,
    ways: Vec<Ways>,
}

impl Pool {
    fn add(&mut self, ways: &Ways) {
        if let Err(place) = self.ways.binary_search(ways)
            && place < self.few
        {
            self.ways.insert(place, ways.clone());
            self.ways.truncate(self.few);
        }
    }
}

/// The best ways of a part, at least one, and a bound on what any costs.
fn solve_part(part: &mut Part<'_>, few: usize, limit: u64, prove: bool) -> (Vec<Ways>, i64) {
    let mut pool = Pool { few: few.max(1), ways: Vec::new() };
    let forwards: Vec<usize> = (0..part.hands.len()).collect();
    let backwards: Vec<usize> = forwards.iter().rev().copied().collect();
    if !prove {
        let mut ways = part.greedy(&forwards, None);
        if !part.holes(&ways.paths).is_empty() {
            ways = improve(part, ways, limit, &mut |_| ());
        }
        return (vec![ways], 0);
    }
    for (order, upto) in [(&forwards, limit / 4), (&backwards, limit * 2 / 5)] {
        let start = part.greedy(order, None);
        let ways = improve(part, start, upto, &mut |w| pool.add(w));
        pool.add(&ways);
    }
    let mut best = pool.ways[0].clone();
    let mut listed: Vec<Vec<Path>> = vec![Vec::new(); part.hands.len()];
    let mut top = ascend(part, &mut best, limit * 7 / 10, |part, now, round| {
        if round >= 20 {
            for (list, path) in listed.iter_mut().zip(&now.paths) {
                if list.len() < 40 && !list.contains(path) {
                    list.push(path.clone());
                }
            }
        }
        (round % 16 == 15).then(|| by_price(part, now))
    });
    best = improve(part, best, limit * 8 / 10, &mut |w| pool.add(w));
    if best.cost > part.least(top.at) {
        let (better, heavy) = refine(part, top, &best, listed);
        top = better;
        if let Some(heavy) = heavy {
            let start = rounded(part, &heavy);
            let ways = improve(part, start, limit * 9 / 10, &mut |w| pool.add(w));
            best = best.min(ways);
        }
    }
    let (found, bound) = match close(part, &best, &top) {
        Closed::Proven(found) => {
            let cost = found.as_ref().map_or(best.cost, |w| w.cost);
            (found, cost)
        }
        Closed::Open(found) => (found, part.least(top.at)),
    };
    if let Some(found) = found {
        best = found;
    }
    pool.add(&best);
    (pool.ways, bound)
}

/// A roster by prices: those whose way is cheapest under them choose first.
fn by_price(part: &mut Part<'_>, now: &Bound) -> Ways {
    let mut order: Vec<usize> = (0..part.hands.len()).collect();
    order.sort_by_key(|h| (now.costs[*h], *h));
    part.greedy(&order, Some(&now.prices))
}
