//! The aim "changes to what was told": told work and watches that people do not do as told, dearer the nearer.

use crate::plan::Spell;
use crate::time::{Minutes, Moment, Span, union};
use crate::verify::facts::Facts;
use crate::verify::spans::total;

/// Up to how long after the start a minute of told work counts how often; later ones count once.
const WEIGHTS: [(Minutes, i32); 2] = [(Minutes::hours(24), 4), (Minutes::hours(72), 2)];

/// Over all people, the minutes of task work they were told to do and do not do (not that task at that time), and
/// the minutes of watches that somebody else stands. A minute within 24 hours of the start counts four times, within 72 hours twice, later once. Zero where nothing
/// was told.
pub(super) fn changed(facts: &Facts) -> Minutes {
    let problem = facts.problem;
    let Some(told) = &problem.told else { return Minutes::ZERO };
    let mut sum = Minutes::ZERO;
    for person in problem.people.ids() {
        for task in problem.tasks.ids() {
            let mine = |spells: &[Spell]| -> Vec<Span> {
                let with = spells.iter().filter(|s| s.task == task && s.team.contains(&person));
                union(with.flat_map(|s| s.work.iter().copied()).collect())
            };
            let planned = mine(&facts.plan.spells);
            let lost: Vec<Span> = mine(&told.spells).iter().flat_map(|piece| piece.without(&planned)).collect();
            sum += weighted(problem.start, &lost);
        }
    }
    for (id, turn) in problem.turns.pairs() {
        let (was, now) = (told.turns.get(id), facts.plan.turns.get(id));
        if was.is_some() && was != now {
            sum += weighted(problem.start, &[turn.span]);
        }
    }
    sum
}

fn weighted(start: Moment, lost: &[Span]) -> Minutes {
    let within = |length: Minutes| {
        let near = Span::new(Moment::FAR_PAST, start + length);
        total(&lost.iter().filter_map(|span| near.and_then(|near| span.intersection(near))).collect::<Vec<_>>())
    };
    let mut sum = total(lost).get();
    let mut after = 1;
    for (length, weight) in WEIGHTS.iter().rev() {
        sum += within(*length).get() * (weight - after);
        after = *weight;
    }
    Minutes::new(sum)
}
