//! The table of shipboard working arrangements: who works when on a usual day of the job.

use std::collections::BTreeMap;

use crate::clock::Day;
use crate::hours::check::timeline;
use crate::id::PersonId;
use crate::model::{Problem, Stand};
use crate::rest::{Finding, findings};
use crate::time::{Minutes, Moment, Span, union};
use crate::verify::{Asked, Bound};

/// One person's row of the table.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Arrangement {
    /// Who.
    pub person: PersonId,
    /// Watches of a usual day, in minutes of the ship's day.
    pub watches: Vec<Hours>,
    /// Ordinary hours of a usual day beside them.
    pub duties: Vec<Hours>,
    /// Work of such a day.
    pub work: Minutes,
    /// Rest of such a day, where one follows the other.
    pub rest: Minutes,
    /// On how many whole days of the job it is so.
    pub days: usize,
    /// Days on which it is otherwise, with their work.
    pub others: Vec<OtherDay>,
    /// The most overtime that may be added on a day.
    pub overtime: Minutes,
    /// Whether there are watches of which the job does not say who stands them.
    pub open: bool,
    /// What such days, one after the other for three weeks, break.
    pub findings: Vec<Finding>,
}

/// A whole day of other hours than the usual ones.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OtherDay {
    /// The day.
    pub day: Day,
    /// All its hours.
    pub hours: Vec<Hours>,
    /// Those of them on watch.
    pub watches: Vec<Hours>,
}

/// Hours of the ship's day, from and to in minutes from 00:00; `to` is at most 24:00.
pub type Hours = (Minutes, Minutes);

/// The arrangements of everybody, in table order: of the plan where there is one, else of the job folder alone.
#[must_use]
pub fn arrangements(problem: &Problem, asked: Option<&Asked<'_>>) -> Vec<Arrangement> {
    problem.people.ids().map(|id| arrangement(problem, id, asked)).collect()
}

fn arrangement(problem: &Problem, id: PersonId, asked: Option<&Asked<'_>>) -> Arrangement {
    let who = &problem.people[id];
    let fixed = || problem.turns.iter().filter(|turn| turn.stand == Stand::Fixed(id)).map(|turn| turn.span).collect::<Vec<_>>();
    let watches = asked.map_or_else(fixed, |asked| {
        asked.bound(id).into_iter().filter(|(bound, _)| matches!(bound, Bound::Turn(_))).map(|(_, span)| span).collect()
    });
    let watches = union(watches);
    let ordinary: Vec<Span> = union(who.stretches.iter().flat_map(|s| s.ordinary.iter().copied()).collect());
    let duties: Vec<Span> = ordinary.iter().flat_map(|span| span.without(&watches)).collect();
    let end = asked.map_or(problem.end, |asked| asked.time().end());
    let mut days: Vec<(Day, Vec<Hours>, Vec<Hours>)> = Vec::new();
    let mut day = problem.clock.day(problem.start);
    while problem.clock.day_span(day).start() < end {
        let span = problem.clock.day_span(day);
        // Days that the job has only a part of, that are not of 24 h or are spent ashore say nothing of a usual one.
        let whole = problem.start <= span.start() && span.end() <= end && span.length() == Minutes::DAY;
        if whole && who.aboard(span) {
            days.push((day, on(&watches, span), on(&duties, span)));
        }
        day = day.next();
    }
    let mut counts: BTreeMap<(&[Hours], &[Hours]), usize> = BTreeMap::new();
    for (_, watches, duties) in &days {
        *counts.entry((watches, duties)).or_default() += 1;
    }
    let number = |row: &(Day, Vec<Hours>, Vec<Hours>)| counts.get(&(row.1.as_slice(), row.2.as_slice())).copied().unwrap_or(0);
    // The commonest; of equally common ones the first.
    let usual = days.iter().rev().max_by_key(|row| number(row)).cloned();
    let (_, watches, duties) = usual.unwrap_or((day, Vec::new(), Vec::new()));
    let same = days.iter().filter(|row| row.1 == watches && row.2 == duties).count();
    let others = days.iter().filter(|row| row.1 != watches || row.2 != duties);
    let overtime = who.stretches.iter().map(|s| s.overtime.iter().map(|span| span.length()).sum()).max().unwrap_or(Minutes::ZERO);
    let open = asked.is_none() && problem.turns.iter().any(|turn| matches!(&turn.stand, Stand::Open(people) if people.contains(&id)));
    let hours: Vec<Hours> = watches.iter().chain(&duties).copied().collect();
    let (rest, findings) = repeated(problem, id, &hours);
    Arrangement {
        person: id,
        work: hours.iter().map(|(from, to)| *to - *from).sum(),
        rest,
        days: same,
        others: others
            .map(|(day, watches, duties)| OtherDay { day: *day, hours: joined(watches, duties), watches: watches.clone() })
            .collect(),
        watches,
        duties,
        overtime,
        open,
        findings,
    }
}

/// The parts of `spans` in the day `span`, from its 00:00.
fn on(spans: &[Span], span: Span) -> Vec<Hours> {
    let inside = spans.iter().filter_map(|s| s.intersection(span));
    inside.map(|s| (s.start() - span.start(), s.end() - span.start())).collect()
}

fn joined(watches: &[Hours], duties: &[Hours]) -> Vec<Hours> {
    let span = |(from, to): &Hours| Span::new(Moment::ORIGIN + *from, Moment::ORIGIN + *to);
    let all = union(watches.iter().chain(duties).filter_map(span).collect());
    all.into_iter().map(|s| (s.start() - Moment::ORIGIN, s.end() - Moment::ORIGIN)).collect()
}

/// Days on end of the same hours.
const REPEATED: i32 = 21;

/// The rest of one of many equal days, and what they break; named breaks are those of the job's first whole day.
fn repeated(problem: &Problem, id: PersonId, hours: &[Hours]) -> (Minutes, Vec<Finding>) {
    let who = &problem.people[id];
    let first = problem.clock.day_span(problem.clock.day(problem.start).next());
    let breaks = on(&who.breaks, first);
    let lay = |hours: &[Hours]| -> Vec<Span> {
        let from = |day: i32| Moment::ORIGIN + Minutes::new(day * Minutes::DAY.get());
        (0..REPEATED).flat_map(|day| hours.iter().filter_map(move |(a, b)| Span::new(from(day) + *a, from(day) + *b))).collect()
    };
    let mut like = who.clone();
    like.breaks = lay(&breaks);
    let laid = timeline(problem, &like, lay(hours));
    let day = Span::of(Moment::ORIGIN + Minutes::new(Minutes::DAY.get() * REPEATED / 2), Minutes::DAY);
    let rest = day.map_or(Minutes::ZERO, |day| laid.rests().iter().filter_map(|rest| rest.intersection(day)).map(Span::length).sum());
    let scope = Span::of(Moment::ORIGIN, Minutes::new(Minutes::DAY.get() * REPEATED));
    (rest, scope.map_or_else(Vec::new, |scope| findings(&problem.rule_sets[who.rest], &laid, scope)))
}
