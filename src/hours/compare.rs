//! The record against the plan: whether people worked when they were told to.
//!
//! A plan that was made while the job ran says nothing of the time before it. There the plan it was made from counts, which is
//! what people had been told then.

use crate::account::What;
use crate::clock::Day;
use crate::id::PersonId;
use crate::model::Problem;
use crate::time::{Minutes, Span, union};
use crate::verify::Asked;

/// The record set against a plan.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Comparison {
    /// The time that is compared: from the start of the first plan to the last recorded minute of anybody; `None` where
    /// nothing is recorded since it begins.
    pub time: Option<Span>,
    /// For each plan, as far as it is compared, when it counts.
    pub counts: Vec<Option<Span>>,
    /// Days on which somebody's record and the plan differ, by how much, the largest difference first.
    pub days: Vec<DayCompared>,
    /// Days of people on which both say the same.
    pub same: usize,
    /// People of whom nothing is recorded since the first plan begins, though they have work.
    pub without: Vec<PersonId>,
}

/// One day of one person.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct DayCompared {
    /// Who.
    pub person: PersonId,
    /// The ship's day.
    pub day: Day,
    /// Work the plan has.
    pub planned: Minutes,
    /// Work the record has.
    pub recorded: Minutes,
    /// Planned and not recorded, in time order.
    pub missing: Vec<Span>,
    /// Recorded and not planned, in time order.
    pub extra: Vec<Span>,
}

impl DayCompared {
    /// How much time is work in one of the two and not in the other.
    #[must_use]
    pub fn difference(&self) -> Minutes {
        self.missing.iter().chain(&self.extra).map(|span| span.length()).sum()
    }
}

/// Sets the record of everybody against what they were told: work is watches, tasks and duties; time on hand is none. `told`
/// are the plans they were told one after the other, each from its start to that of the next; `problem` is the job as it was
/// before any of them, with the record.
#[must_use]
pub fn compare(problem: &Problem, told: &[Asked<'_>]) -> Comparison {
    let recorded_to = problem.people.iter().flat_map(|p| &p.recorded).map(|r| r.span.end()).max();
    let all = told.first().zip(told.last()).map(|(first, last)| (first.time().start(), last.time().end()));
    let time = recorded_to.zip(all).and_then(|(to, (start, end))| Span::new(start, to.min(end)));
    let nexts = told.iter().skip(1).map(|next| Some(next.time().start())).chain([None]);
    let counts: Vec<Option<Span>> = told
        .iter()
        .zip(nexts)
        .map(|(asked, next)| Span::new(asked.time().start(), next.unwrap_or(asked.time().end()))?.intersection(time?))
        .collect();
    let mut comparison = Comparison { time, counts, days: Vec::new(), same: 0, without: Vec::new() };
    let Some(time) = time else { return comparison };
    for id in problem.people.ids() {
        let each = told.iter().zip(&comparison.counts);
        let planned = union(each.flat_map(|(asked, time)| time.iter().flat_map(|time| within(planned(asked, id), *time))).collect());
        let recorded = within(problem.people[id].recorded.iter().map(|r| r.span).collect(), time);
        if recorded.is_empty() && !planned.is_empty() {
            comparison.without.push(id);
        }
        let mut day = problem.clock.day(time.start());
        while let Some(span) = problem.clock.day_span(day).intersection(time) {
            let row = one_day(id, day, span, &planned, &recorded);
            if !row.difference().is_zero() {
                comparison.days.push(row);
            } else if row.planned > Minutes::ZERO {
                comparison.same += 1;
            }
            day = day.next();
        }
    }
    comparison.days.sort_by_key(|row| (-row.difference(), row.day, row.person));
    comparison
}

fn one_day(person: PersonId, day: Day, span: Span, planned: &[Span], recorded: &[Span]) -> DayCompared {
    let on = |spans: &[Span]| spans.iter().filter_map(|s| s.intersection(span)).collect::<Vec<_>>();
    let (planned, recorded) = (on(planned), on(recorded));
    let sum = |spans: &[Span]| spans.iter().map(|s| s.length()).sum();
    let beside = |spans: &[Span], others: &[Span]| spans.iter().flat_map(|s| s.without(others)).collect();
    DayCompared {
        person,
        day,
        planned: sum(&planned),
        recorded: sum(&recorded),
        missing: beside(&planned, &recorded),
        extra: beside(&recorded, &planned),
    }
}

/// What the plan has somebody do that is work, joined.
fn planned(asked: &Asked<'_>, person: PersonId) -> Vec<Span> {
    let work = |what| matches!(what, What::Task(_) | What::Watch(_) | What::Duty(_));
    asked.doings(person).into_iter().filter(|doing| work(doing.what)).map(|doing| doing.span).collect()
}

fn within(spans: Vec<Span>, time: Span) -> Vec<Span> {
    union(spans).into_iter().filter_map(|span| span.intersection(time)).collect()
}
