//! The record of one person and month, day by day, with the figures an inspector works out.

use std::collections::BTreeSet;
use std::iter::successors;

use chrono::{Datelike, Months, NaiveDate};

use crate::clock::Day;
use crate::hours::check::line_of;
use crate::hours::excuse::excused;
use crate::id::PersonId;
use crate::model::{Person, Problem, RecordKind, Recorded, Stand};
use crate::rest::rule::{Kind, MostWork, TotalRest};
use crate::rest::{Counted, Edge, Emergencies, Finding, RuleSet, ShortGap, Timeline, Windows, findings};
use crate::time::{Minutes, Moment, Span};

/// The record of one month.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Month {
    /// Whose.
    pub person: PersonId,
    /// The first of the month.
    pub first: NaiveDate,
    /// Whether the person stands watches: has them in the record or in the job.
    pub watchkeeper: bool,
    /// Every day of the month, in order.
    pub days: Vec<DayRow>,
}

/// One ship's day.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct DayRow {
    /// The day.
    pub day: Day,
    /// Its date.
    pub date: NaiveDate,
    /// All of it: 24 hours, or more or less where the clock changes.
    pub span: Span,
    /// The part the record covers; `None` where it covers nothing of the day.
    pub known: Option<Span>,
    /// Recorded work that shares time with the day, whole, in time order.
    pub recorded: Vec<Recorded>,
    /// Work of the day; overlaps count once.
    pub work: Minutes,
    /// Rest of the day; gaps too short to be rest are neither.
    pub rest: Minutes,
    /// What is neither.
    pub neither: Vec<Span>,
    /// Not for the seafarer: least rest in any 24 h that end on this day, where all of them are known.
    pub least_24h: Option<Minutes>,
    /// Not for the seafarer: least rest in any 7 days that end on this day, where all of them are known.
    pub least_7d: Option<Minutes>,
    /// Not for the seafarer: most work in any 24 h that end on this day, where all of them are known.
    pub most_24h: Option<Minutes>,
    /// Not for the seafarer: most work in any 7 days that end on this day, where all of them are known.
    pub most_7d: Option<Minutes>,
    /// Findings whose window ends on this day.
    pub findings: Vec<Finding>,
}

/// The months in which something is recorded of `person`, or that a record of rest alone covers, in order, each by its first day.
#[must_use]
pub fn months(problem: &Problem, person: PersonId) -> Vec<NaiveDate> {
    let clock = &problem.clock;
    let first = |moment: Moment| clock.date(clock.day(moment)).with_day(1);
    let last = |span: Span| span.end() - Minutes::new(1);
    let who = &problem.people[person];
    // A record of nothing but rest is one too.
    let rested = known(problem, person).filter(|_| who.recorded.is_empty());
    let recorded = who.recorded.iter().map(|r| r.span).chain(who.on_call.iter().copied()).chain(rested);
    let next = |month: &NaiveDate| month.checked_add_months(Months::new(1));
    let all = |span: Span| {
        let until = first(last(span));
        successors(first(span.start()), next).take_while(move |month| until.is_some_and(|until| *month <= until))
    };
    recorded.flat_map(all).collect::<BTreeSet<NaiveDate>>().into_iter().collect()
}

/// Whether anything is known of `person` in the month that `first` is the first day of: something is recorded, or the record
/// covers some of it.
#[must_use]
pub fn covers(problem: &Problem, person: PersonId, first: NaiveDate) -> bool {
    let day = |date: NaiveDate| i32::try_from(date.signed_duration_since(problem.clock.day_one()).num_days()).ok();
    let next = first.checked_add_months(Months::new(1)).and_then(day);
    let (Some(from), Some(to)) = (day(first), next) else { return false };
    let all = problem.clock.day_span(Day::new(from + 1)).hull(problem.clock.day_span(Day::new(to)));
    let covered = known(problem, person).is_some_and(|known| known.overlaps(all));
    covered || months(problem, person).contains(&first)
}

/// The record of `person` for the month that `first` is the first day of.
#[must_use]
pub fn month(problem: &Problem, person: PersonId, first: NaiveDate) -> Month {
    let who = &problem.people[person];
    let line = line_of(problem, person, None);
    let stands = problem.turns.iter().any(|turn| match &turn.stand {
        Stand::Fixed(one) => *one == person,
        Stand::Open(some) => some.contains(&person),
    });
    let watchkeeper = stands || who.recorded.iter().any(|r| r.kind == RecordKind::Watch);
    let known = known(problem, person);
    let gone = removed(&problem.rule_sets[who.rest], who, &line);
    let mut days = Vec::new();
    let mut date = first;
    while date.month() == first.month() && date.year() == first.year() {
        let since = date.signed_duration_since(problem.clock.day_one()).num_days();
        days.extend(i32::try_from(since).ok().map(|n| row(problem, person, &line, known, gone.as_ref(), Day::new(n + 1))));
        let Some(next) = date.succ_opt() else { break };
        date = next;
    }
    Month { person, first, watchkeeper, days }
}

/// What the record covers: from its beginning to its last entry, and at least to the start of planning, since days
/// off leave no entry.
fn known(problem: &Problem, person: PersonId) -> Option<Span> {
    let who = &problem.people[person];
    let ends = who.recorded.iter().map(|r| r.span.end()).chain(who.on_call.iter().map(|span| span.end()));
    Span::new(who.recorded_from?, ends.fold(problem.start, Moment::max))
}

/// Emergencies that take findings away, where they are read so, with the timeline without them.
struct Removed {
    emergencies: Vec<Span>,
    calm: Timeline,
}

fn removed(set: &RuleSet, who: &Person, line: &Timeline) -> Option<Removed> {
    let with_reason = who.recorded.iter().filter(|r| r.kind == RecordKind::Emergency && !r.note.trim().is_empty());
    let emergencies: Vec<Span> = with_reason.map(|r| r.span).collect();
    if set.readings.emergencies != Emergencies::Removes || emergencies.is_empty() {
        return None;
    }
    let work = line.work().iter().flat_map(|work| work.without(&emergencies)).collect();
    Some(Removed { calm: line.with_work(set, work), emergencies })
}

fn row(problem: &Problem, person: PersonId, line: &Timeline, known: Option<Span>, gone: Option<&Removed>, day: Day) -> DayRow {
    let who = &problem.people[person];
    let set = &problem.rule_sets[who.rest];
    let span = problem.clock.day_span(day);
    let shared = |spans: &[Span]| spans.iter().filter_map(|s| s.intersection(span)).map(Span::length).sum();
    let ends_here = |window: Span| span.start() < window.end() && window.end() <= span.end();
    let pieces = match set.readings.short_gap {
        ShortGap::Neither => line.work(),
        ShortGap::Work => line.filled(),
    };
    let extreme = |kind: Kind, length: Minutes, least: bool| {
        // At whatever minute of the day a window ends, it holds no less than one at a start or end of work, the one that
        // ends with the first minute of the day, or the one that ends with the day: so days off have a figure too.
        let brims = [span.start() + Minutes::new(1), span.end()].map(|end| Span::of(end - length, length));
        let mut measured: Vec<(Span, Minutes)> =
            set.measure(&kind, line, span).into_iter().map(|m| (m.window, m.found)).filter(|(window, _)| ends_here(*window)).collect();
        let worked = |window: Span| pieces.iter().filter_map(|s| s.intersection(window)).map(Span::length).sum();
        let found = |window: Span| if least { set.rest_before(line, window.end(), length) } else { worked(window) };
        measured.extend(brims.into_iter().flatten().map(|window| (window, found(window))));
        let all_known = measured.iter().all(|(window, _)| known.is_some_and(|known| known.covers(*window)));
        let found = measured.into_iter().map(|(_, found)| found);
        if all_known { if least { found.min() } else { found.max() } } else { None }
    };
    let (windows, edge, short_gap) = (Windows::Anchored, Edge::Part, set.readings.short_gap);
    let rest_in = |window| extreme(Kind::TotalRest(TotalRest { window, at_least: Minutes::ZERO, windows, edge }), window, true);
    let work_in = |window| extreme(Kind::MostWork(MostWork { window, at_most: window, windows, short_gap }), window, false);
    let calm = gone.map(|gone| findings(set, &gone.calm, span));
    let is_gone = |f: &Finding| gone.zip(calm.as_ref()).is_some_and(|(gone, calm)| excused(f, &gone.emergencies, calm));
    let gaps = line.blocks().iter().flat_map(|block| block.without(line.work()));
    DayRow {
        day,
        date: problem.clock.date(day),
        span,
        known: known.and_then(|known| known.intersection(span)),
        recorded: who.recorded.iter().filter(|r| r.span.overlaps(span)).cloned().collect(),
        work: shared(line.work()),
        rest: match set.readings.counted {
            Counted::Elapsed => shared(line.rests()),
            Counted::Shown => set.rest_before(line, span.end(), Minutes::DAY),
        },
        neither: gaps.filter_map(|gap| gap.intersection(span)).collect(),
        least_24h: rest_in(Minutes::DAY),
        least_7d: rest_in(Minutes::WEEK),
        most_24h: work_in(Minutes::DAY),
        most_7d: work_in(Minutes::WEEK),
        findings: findings(set, line, span).into_iter().filter(|f| ends_here(f.window) && !is_gone(f)).collect(),
    }
}
