//! Every plan of a tiny job on its slots, judged by the verifier alone: the least finish of those that fall short of
//! nothing. Ways of single tasks that break a rule by themselves are left out first, then those of some tasks together:
//! more work mends no breach but that of a task not being done.

use turnto::account::ShortOf;
use turnto::id::{PersonId, TaskId};
use turnto::model::{Problem, Stop, Task};
use turnto::plan::{OnHand, Plan, Spell};
use turnto::time::{Moment, Span};
use turnto::verify::{Clause, verify};

use crate::verify::brute::{bad_roster, rosters};

use super::job::{LENGTH, moment, slots};

/// More plans than that are not looked at.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct TooMany;

/// One way to do a task: its spells, and the slot at which the last of them ends.
#[derive(Clone, Debug)]
struct Way {
    end: i32,
    spells: Vec<Spell>,
}

/// The enumeration of one job.
pub(crate) struct Every<'a> {
    problem: &'a Problem,
    /// How many more plans may be looked at.
    left: usize,
}

impl<'a> Every<'a> {
    /// Of `problem`, with at most so many looks at a plan, parts of plans included.
    pub(crate) const fn new(problem: &'a Problem, most: usize) -> Self {
        Self { problem, left: most }
    }

    /// The least finish among the plans that end by `upto` and fall short of nothing, with one of them.
    pub(crate) fn least(&mut self, upto: Moment) -> Result<Option<(Moment, Plan)>, TooMany> {
        let legal: Vec<Plan> = rosters(self.problem).into_iter().filter(|plan| !bad_roster(self.problem, plan)).collect();
        let mut ways = Vec::new();
        for bare in &legal {
            let order = self.problem.order().iter();
            ways.push(order.map(|task| self.ways(bare, *task)).collect::<Result<Vec<_>, _>>()?);
        }
        for end in (1..=LENGTH).filter(|end| moment(*end) <= upto) {
            for (bare, ways) in legal.iter().zip(&ways) {
                if let Some(plan) = self.ends_at(bare, ways, end)? {
                    return Ok(Some((moment(end), plan)));
                }
            }
        }
        Ok(None)
    }

    /// What the verifier says of a plan in which tasks may be missing.
    fn stands(&mut self, plan: &Plan) -> Result<bool, TooMany> {
        self.left = self.left.checked_sub(1).ok_or(TooMany)?;
        let breaches = verify(self.problem, plan.clone()).map_or_else(|rejected| rejected.breaches, |_| Vec::new());
        Ok(breaches.iter().all(|breach| breach.clause == Clause::NotDone))
    }

    /// Every way to do a task that is legal beside watches and duties alone.
    fn ways(&mut self, bare: &Plan, id: TaskId) -> Result<Vec<Way>, TooMany> {
        let row = &self.problem.tasks[id];
        let mut whole: Vec<Vec<Spell>> = Vec::new();
        for lengths in splits(row) {
            let mut so_far: Vec<Vec<Spell>> = vec![Vec::new()];
            for (n, length) in lengths.iter().enumerate() {
                let part = if matches!(row.stop, Stop::Parts(_)) { u32::try_from(n).expect("few parts") } else { 0 };
                let spells = self.spells(id, part, *length);
                let after = |all: &Vec<Spell>, next: &Spell| all.last().is_none_or(|last| last.span().end() <= next.span().start());
                let longer = |all: &Vec<Spell>| {
                    let next = spells.iter().filter(|next| after(all, next));
                    next.map(|next| [all.as_slice(), std::slice::from_ref(next)].concat()).collect::<Vec<_>>()
                };
                so_far = so_far.iter().flat_map(longer).collect();
            }
            whole.extend(so_far);
        }
        let mut ways = Vec::new();
        for spells in whole {
            let alone = Plan { spells: spells.clone(), ..bare.clone() };
            if self.stands(&alone)? {
                let last = spells.last().expect("a task has spells").span().end();
                ways.push(Way { end: (last - moment(0)).get() / 60, spells });
            }
        }
        Ok(ways)
    }

    /// Every spell of so many slots of work, by every team, that does not lie outside the hours or over the breaks of
    /// its team.
    fn spells(&self, id: TaskId, part: u32, work: i32) -> Vec<Spell> {
        let row = &self.problem.tasks[id];
        let mut all = Vec::new();
        for team in teams(self.problem, row) {
            for from in 0..LENGTH {
                for pieces in pieces(from, work) {
                    let spell = Spell { work: pieces, task: id, part, team: team.clone() };
                    if spell.span().end() <= moment(LENGTH) && self.hours_allow(row, &spell) {
                        all.push(spell);
                    }
                }
            }
        }
        all
    }

    /// A first sieve: nobody works where he has no hours or a break, and pauses are somebody's break.
    fn hours_allow(&self, row: &Task, spell: &Spell) -> bool {
        let people = || spell.team.iter().map(|p| &self.problem.people[*p]);
        let mut hours = people().map(|p| p.stretches.iter().flat_map(turnto::model::Stretch::hours).collect::<Vec<Span>>());
        let at_work = row.emergency || hours.all(|hours| spell.work.iter().all(|piece| piece.without(&hours).is_empty()));
        let breaks: Vec<Span> = people().flat_map(|p| p.breaks.iter().copied()).collect();
        let over = spell.work.iter().any(|piece| breaks.iter().any(|pause| pause.overlaps(*piece)));
        let idle = spell.span().without(&spell.work).into_iter().any(|pause| !pause.without(&breaks).is_empty());
        at_work && !over && !idle
    }

    /// A plan that ends exactly at slot `end` and falls short of nothing.
    fn ends_at(&mut self, bare: &Plan, ways: &[Vec<Way>], end: i32) -> Result<Option<Plan>, TooMany> {
        let mut plan = bare.clone();
        self.go_on(&mut plan, ways, end, false)
    }

    fn go_on(&mut self, plan: &mut Plan, ways: &[Vec<Way>], end: i32, ended: bool) -> Result<Option<Plan>, TooMany> {
        let Some((first, rest)) = ways.split_first() else {
            return if ended { self.whole(plan) } else { Ok(None) };
        };
        let can_end = |ways: &[Vec<Way>]| ways.iter().flatten().any(|way| way.end == end);
        let before = plan.spells.len();
        for way in first.iter().filter(|way| way.end <= end) {
            let ended = ended || way.end == end;
            if (!ended && !can_end(rest)) || clash(plan, way) {
                continue;
            }
            plan.spells.extend(way.spells.iter().cloned());
            let found = if rest.is_empty() || self.stands(plan)? { self.go_on(plan, rest, end, ended)? } else { None };
            plan.spells.truncate(before);
            if found.is_some() {
                return Ok(found);
            }
        }
        Ok(None)
    }

    /// A plan in which everything is done: itself, or with people put on hand, where it falls short of nothing.
    fn whole(&mut self, plan: &Plan) -> Result<Option<Plan>, TooMany> {
        self.left = self.left.checked_sub(1).ok_or(TooMany)?;
        let Ok(verified) = verify(self.problem, plan.clone()) else { return Ok(None) };
        let account = verified.account();
        if account.machinery_shortfall + account.reserve_shortfall == 0 {
            return Ok(Some(plan.clone()));
        }
        // Whoever is on hand rests less, so it only helps where nothing but unbooked hours are missing.
        if account.shortfalls.iter().any(|short| !matches!(short.of, ShortOf::Unbooked { .. })) {
            return Ok(None);
        }
        self.on_hand(plan, self.problem.people.ids().collect())
    }

    /// The same with every stretch of hours in which any of `people` may be on hand.
    fn on_hand(&mut self, plan: &Plan, mut people: Vec<PersonId>) -> Result<Option<Plan>, TooMany> {
        let Some(person) = people.pop() else {
            self.left = self.left.checked_sub(1).ok_or(TooMany)?;
            let account = verify(self.problem, plan.clone()).ok().map(|verified| verified.account().clone());
            let enough = account.is_some_and(|a| a.machinery_shortfall + a.reserve_shortfall == 0);
            return Ok(enough.then(|| plan.clone()));
        };
        let row = &self.problem.people[person];
        let mut ways = vec![Vec::new()];
        for from in 0..LENGTH {
            for to in from + 1..=LENGTH {
                let span = slots(from, to);
                let hull = row.stretches[0].ordinary[0].hull(*row.stretches[0].ordinary.last().expect("hours"));
                if hull.covers(span) {
                    ways.push(span.without(&row.away));
                }
            }
        }
        for spans in ways {
            let mut next = plan.clone();
            next.on_hand.extend(spans.into_iter().map(|span| OnHand { person, span }));
            if self.stands(&next)?
                && let Some(found) = self.on_hand(&next, people.clone())?
            {
                return Ok(Some(found));
            }
        }
        Ok(None)
    }
}

/// Whether somebody would do two things at once.
fn clash(plan: &Plan, way: &Way) -> bool {
    let both = |a: &Spell, b: &Spell| a.span().overlaps(b.span()) && a.team.iter().any(|p| b.team.contains(p));
    way.spells.iter().any(|new| plan.spells.iter().any(|old| both(new, old)))
}

/// Into which lengths of spells a task may be split.
fn splits(row: &Task) -> Vec<Vec<i32>> {
    let length = row.length.count();
    match row.stop {
        _ if row.needs.is_empty() => vec![vec![length]],
        Stop::Never => vec![vec![length]],
        Stop::Parts(parts) => {
            let parts = i32::try_from(parts).expect("few parts");
            vec![(0..parts).map(|n| length / parts + i32::from(n < length % parts)).collect()]
        }
        Stop::Any { .. } => summing_to(length),
    }
}

/// All lists of positive numbers that come to `sum`.
fn summing_to(sum: i32) -> Vec<Vec<i32>> {
    if sum == 0 {
        return vec![Vec::new()];
    }
    let after = |first: i32| summing_to(sum - first).into_iter().map(move |rest| [vec![first], rest].concat());
    (1..=sum).flat_map(after).collect()
}

/// Pieces of work that start at slot `from` and come to `work` slots, with up to two slots of pause between.
fn pieces(from: i32, work: i32) -> Vec<Vec<Span>> {
    let mut all = Vec::new();
    for length in work..=if work == 1 { 1 } else { work + 2 } {
        // A bit for every slot of work; the first and the last are work.
        for mask in 0..1_u32 << length {
            let has = |slot: i32| mask >> slot & 1 == 1;
            if mask.count_ones() == work.unsigned_abs() && has(0) && has(length - 1) {
                let worked: Vec<Span> = (0..length).filter(|n| has(*n)).map(|n| slots(from + n, from + n + 1)).collect();
                all.push(turnto::time::union(worked));
            }
        }
    }
    all
}

/// Every team of different people who hold what the task needs; one empty team where it needs nobody.
fn teams(problem: &Problem, row: &Task) -> Vec<Vec<PersonId>> {
    row.needs.iter().fold(vec![Vec::new()], |teams: Vec<Vec<PersonId>>, need| {
        let more = |team: &Vec<PersonId>| {
            let able = problem.people.pairs().filter(|(id, p)| p.holds(*need) && !team.contains(id));
            able.map(|(id, _)| [team.as_slice(), &[id]].concat()).collect::<Vec<_>>()
        };
        teams.iter().flat_map(more).collect()
    })
}

/// If this fails, ways of doing a task are missing from the enumeration.
#[test]
fn all_ways_are_there() {
    assert_eq!(summing_to(3), vec![vec![1, 1, 1], vec![1, 2], vec![2, 1], vec![3]]);
    // One slot; two slots with none, one or two of pause.
    assert_eq!((pieces(0, 1).len(), pieces(4, 2).len()), (1, 3));
    // Three slots: whole, a pause of one slot in two places, pauses of two slots in three.
    assert_eq!(pieces(0, 3).len(), 1 + 2 + 3);
}
