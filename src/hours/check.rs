//! The hours of every person against his rest rules: findings, margins, what cannot be known.

use crate::clock::Day;
use crate::hours::debt::{self, Balance};
use crate::hours::excuse::excused;
use crate::hours::group::{self, Group, Origin};
use crate::id::PersonId;
use crate::model::{Person, Problem, RecordKind, Recorded};
use crate::rest::{Drills, Edge, Emergencies, Figures, Finding, RuleSet, Timeline, figures, findings, uncheckable_before};
use crate::time::{Minutes, Moment, Span};
use crate::verify::Asked;

/// Which hours are looked at.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Of {
    /// What is recorded, and nothing else.
    Records,
    /// The time of the plan, with the record before it.
    Plan,
    /// From the beginning of the record to the end of the plan.
    Both,
}

/// What there is to say about one person.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PersonHours {
    /// Who.
    pub person: PersonId,
    /// All windows that share time with this are looked at; `None` where nothing is recorded.
    pub scope: Option<Span>,
    /// Whether no work is recorded of the person.
    pub no_work: bool,
    /// Runs of whole days of the record without an entry, from the first to the last, while the person was aboard: they are
    /// taken as rest. Not where nothing at all is recorded.
    pub days_without: Vec<(Day, Day)>,
    /// From when on the record is complete; `None` where nothing is known before the plan.
    pub known_from: Option<Moment>,
    /// Every finding, with where it comes from; sorted by rule, then window.
    pub findings: Vec<(Finding, Origin)>,
    /// The same findings put together by what is one and the same matter, by time.
    pub groups: Vec<Group>,
    /// Least margins.
    pub figures: Figures,
    /// Rules that are kept with an hour to spare or less, in the order of the set.
    pub tight: Vec<Tight>,
    /// Windows that end up to here reach into unknown time and break a rule if it was work.
    pub uncheckable_before: Option<Moment>,
    /// Drills, in time order.
    pub drills: Vec<Drill>,
    /// Recorded call-outs, in time order.
    pub calls: Vec<CallOut>,
    /// Recorded emergencies, in time order.
    pub emergencies: Vec<Emergency>,
    /// Rules kept by an exception alone, in the order of the set.
    pub excepted: Vec<Excepted>,
}

impl PersonHours {
    /// Whether rest that is owed was not given in time.
    #[must_use]
    pub fn overdue(&self) -> bool {
        let drills = self.drills.iter().filter_map(|drill| drill.balance);
        self.calls.iter().map(|call| call.balance).chain(drills).any(|balance| balance.overdue)
    }

    /// Rest that is still owed, all together.
    #[must_use]
    pub fn still_owed(&self) -> Minutes {
        let calls = self.calls.iter().map(|call| call.owed - call.balance.given);
        let emergencies = self.emergencies.iter().map(|emergency| emergency.owed - emergency.balance.given);
        let drills = self.drills.iter().filter_map(|drill| drill.balance.map(|balance| drill.rest_lost - balance.given));
        calls.chain(emergencies).chain(drills).sum()
    }
}

/// A recorded emergency.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Emergency {
    /// When.
    pub span: Span,
    /// The reason on record; without one it excuses nothing.
    pub reason: Option<String>,
    /// How much rest it took, which is owed (STCW Code A-VIII/1 paragraph 8).
    pub owed: Minutes,
    /// What became of it.
    pub balance: Balance,
}

/// A rule that is kept by an exception alone.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Excepted {
    /// Position of the rule in its set.
    pub rule: usize,
    /// From the first window that needs the exception to the last.
    pub span: Span,
    /// In how many windows.
    pub windows: usize,
    /// The least found in one of them.
    pub least: Minutes,
}

/// A rule that is kept, but only just.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Tight {
    /// Position of the rule in its set.
    pub rule: usize,
    /// The first window with the least to spare.
    pub window: Span,
    /// What was found there.
    pub found: Minutes,
    /// How much is to spare.
    pub spare: Minutes,
}

/// A drill.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Drill {
    /// When.
    pub span: Span,
    /// How much rest it took.
    pub rest_lost: Minutes,
    /// What became of that rest, where drills are exempt and it is owed.
    pub balance: Option<Balance>,
}

/// A call-out.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct CallOut {
    /// When.
    pub span: Span,
    /// How much rest it took.
    pub rest_lost: Minutes,
    /// How much of that is owed: all of it (German Seearbeitsgesetz section 45(4), Singapore Merchant Shipping (MLC) Act
    /// section 16(4)), or what is missing from the least of a day, as call-outs are read.
    pub owed: Minutes,
    /// What became of it.
    pub balance: Balance,
    /// The longest unbroken rest in the 24 h from its end; where that is less than [`WHOLE_NIGHT`] a warning is due.
    pub then_unbroken: Minutes,
}

/// Unbroken rest that is to be left beside a call-out (German Seearbeitsgesetz section 45(4)).
pub const WHOLE_NIGHT: Minutes = Minutes::hours(6);

/// Up to this much to spare is worth a word.
const TIGHT: Minutes = Minutes::hours(1);

/// Checks everybody, in table order. Without a plan only what is recorded can be looked at, whatever `of` says.
#[must_use]
pub fn check(problem: &Problem, of: Of, asked: Option<&Asked<'_>>) -> Vec<PersonHours> {
    problem.people.ids().map(|id| person(problem, id, of, asked)).collect()
}

fn person(problem: &Problem, id: PersonId, of: Of, asked: Option<&Asked<'_>>) -> PersonHours {
    let who = &problem.people[id];
    let set = &problem.rule_sets[who.rest];
    let record = line_of(problem, id, None);
    let asked = asked.filter(|_| of != Of::Records);
    let whole = asked.map_or_else(|| record.clone(), |asked| line_of(problem, id, Some(asked)));
    let scope = scope(problem, who, of, asked);
    let mut hours = PersonHours {
        person: id,
        scope,
        no_work: who.recorded.is_empty(),
        days_without: if of == Of::Plan { Vec::new() } else { days_without(problem, who) },
        known_from: who.recorded_from,
        findings: Vec::new(),
        groups: Vec::new(),
        figures: figures(&whole, scope.unwrap_or(everything())),
        tight: Vec::new(),
        uncheckable_before: None,
        drills: drills(problem, who, id, asked, &whole),
        calls: calls(problem, who, &whole),
        emergencies: emergencies(problem, who, &whole),
        excepted: Vec::new(),
    };
    let Some(scope) = scope else { return hours };
    debt::balance(set, &whole, scope.end(), &mut hours);
    let before = findings(set, &record, scope);
    let origin = |finding: &Finding| {
        if before.iter().any(|old| finding.no_worse_than(old)) { Origin::Recorded } else { Origin::Planned }
    };
    hours.findings = findings(set, &whole, scope).into_iter().map(|f| (f, origin(&f))).collect();
    hours.groups = group::groups(problem, id, &hours.findings, &before, &whole, &hours.drills);
    excuse(problem, who, &whole, scope, &mut hours);
    hours.excepted = excepted(set, &whole, scope);
    hours.tight = tight(set, &whole, scope);
    let planned = asked.map(|_| who.known_from(problem.start));
    let known = planned.or(who.recorded_from).unwrap_or(problem.start);
    hours.uncheckable_before = uncheckable_before(set, &whole, whole.breaks(), known, scope);
    hours
}

/// Whole days before the start of planning, since the record begins, on which nothing is recorded of somebody aboard.
fn days_without(problem: &Problem, who: &Person) -> Vec<(Day, Day)> {
    let Some(from) = who.recorded_from.filter(|_| !who.recorded.is_empty()) else { return Vec::new() };
    let clock = &problem.clock;
    let entry = |day: Span| who.recorded.iter().map(|r| r.span).chain(who.on_call.iter().copied()).any(|span| span.overlaps(day));
    let aboard = |day: Span| !who.away.iter().any(|away| away.overlaps(day));
    let mut runs: Vec<(Day, Day)> = Vec::new();
    for number in clock.day(from).number()..clock.day(problem.start).number() {
        let day = Day::new(number);
        let span = clock.day_span(day);
        if span.start() < from || entry(span) || !aboard(span) {
            continue;
        }
        match runs.last_mut() {
            Some((_, last)) if last.number() + 1 == number => *last = day,
            _ => runs.push((day, day)),
        }
    }
    runs
}

/// The rest timeline of `work` of a person without a plan.
pub(super) fn timeline(problem: &Problem, who: &Person, work: Vec<Span>) -> Timeline {
    Timeline::new(&problem.rule_sets[who.rest], work, &who.breaks).on_clock(problem.clock.clone())
}

/// The rest timeline of a person under the reading of drills: of the record, and with a plan of both.
pub(super) fn line_of(problem: &Problem, id: PersonId, asked: Option<&Asked<'_>>) -> Timeline {
    let who = &problem.people[id];
    let work = asked.map_or_else(|| who.recorded.iter().map(|r| r.span).collect(), |asked| asked.work(id).to_vec());
    match problem.rule_sets[who.rest].readings.drills {
        Drills::Count => timeline(problem, who, work),
        Drills::Exempt => {
            let drills = drill_spans(who, id, asked);
            let work = work.iter().flat_map(|span| span.without(&drills)).collect();
            let mut like = who.clone();
            like.breaks.extend(drills);
            timeline(problem, &like, work)
        }
    }
}

/// Which windows are looked at: those that share time with the record, with the plan, or with both.
fn scope(problem: &Problem, who: &Person, of: Of, asked: Option<&Asked<'_>>) -> Option<Span> {
    let last = who.recorded.iter().map(|r| r.span.end()).max();
    let first = who.recorded.iter().map(|r| r.span.start()).min();
    // What is recorded before the record is said to be complete was worked all the same.
    let from = who.recorded_from.into_iter().chain(first).min();
    match (of, asked) {
        (Of::Plan, Some(asked)) => Some(asked.time()),
        (Of::Both, Some(asked)) => Span::new(from.unwrap_or(problem.start).min(problem.start), asked.time().end()),
        // A record is taken to be complete up to the start of planning: days off leave no rows.
        (Of::Records, _) | (_, None) => Span::new(from?, last.map_or(problem.start, |last| last.max(problem.start))),
    }
}

/// All time there is.
fn everything() -> Span {
    Span::new(Moment::FAR_PAST, Moment::FAR_FUTURE).expect("the past is before the future")
}

fn tight(set: &RuleSet, timeline: &Timeline, scope: Span) -> Vec<Tight> {
    let mut all = Vec::new();
    for (rule, row) in set.rules.iter().enumerate() {
        let limit = row.kind.limit();
        // Where nothing at all is allowed there is never anything to spare, and that is no news.
        if limit.required().is_zero() {
            continue;
        }
        let least = set.measure(&row.kind, timeline, scope).into_iter().min_by_key(|m| (limit.margin(m.found), m.window));
        let Some(least) = least else { continue };
        let spare = limit.margin(least.found);
        if (Minutes::ZERO..=TIGHT).contains(&spare) {
            all.push(Tight { rule, window: least.window, found: least.found, spare });
        }
    }
    all
}

/// How much of `span` would be rest if there were no work in it.
fn rest_lost(problem: &Problem, who: &Person, whole: &Timeline, span: Span) -> Minutes {
    let without: Vec<Span> = whole.work().iter().flat_map(|work| work.without(&[span])).collect();
    let without = timeline(problem, who, without);
    without.rests().iter().filter_map(|rest| rest.intersection(span)).map(Span::length).sum()
}

/// Drills recorded and planned, in time order, no repeats.
fn drill_spans(who: &Person, id: PersonId, asked: Option<&Asked<'_>>) -> Vec<Span> {
    let recorded = who.recorded.iter().filter(|r| r.kind == RecordKind::Drill).map(|r| r.span);
    let planned = asked.map_or_else(Vec::new, |asked| asked.drills(id));
    let mut spans: Vec<Span> = recorded.chain(planned).collect();
    spans.sort_unstable();
    spans.dedup();
    spans
}

fn drills(problem: &Problem, who: &Person, id: PersonId, asked: Option<&Asked<'_>>, whole: &Timeline) -> Vec<Drill> {
    let drill = |span| Drill { span, rest_lost: rest_lost(problem, who, whole, span), balance: None };
    drill_spans(who, id, asked).into_iter().map(drill).collect()
}

fn calls(problem: &Problem, who: &Person, whole: &Timeline) -> Vec<CallOut> {
    let calls = who.recorded.iter().filter(|r| r.kind == RecordKind::Call).map(|r| r.span);
    let then = |span: Span| {
        let day = Span::of(span.end(), Minutes::DAY).map_or_else(Vec::new, |day| whole.rests_in(day, Edge::Part));
        day.into_iter().max().unwrap_or(Minutes::ZERO)
    };
    let set = &problem.rule_sets[who.rest];
    let call = |span| {
        let rest_lost = rest_lost(problem, who, whole, span);
        let owed = debt::for_a_call(set, whole, span, rest_lost);
        CallOut { span, rest_lost, owed, balance: Balance::open(), then_unbroken: then(span) }
    };
    calls.map(call).collect()
}

fn emergencies(problem: &Problem, who: &Person, whole: &Timeline) -> Vec<Emergency> {
    let rows = who.recorded.iter().filter(|r| r.kind == RecordKind::Emergency);
    let reason = |note: &str| Some(note.trim().to_owned()).filter(|note| !note.is_empty());
    let row = |r: &Recorded| {
        let (span, owed) = (r.span, rest_lost(problem, who, whole, r.span));
        Emergency { span, reason: reason(&r.note), owed, balance: Balance::open() }
    };
    rows.map(row).collect()
}

/// Marks the matters that are there only because of an emergency whose reason is on record.
fn excuse(problem: &Problem, who: &Person, whole: &Timeline, scope: Span, hours: &mut PersonHours) {
    let set = &problem.rule_sets[who.rest];
    let spans: Vec<Span> = hours.emergencies.iter().filter(|e| e.reason.is_some()).map(|e| e.span).collect();
    if spans.is_empty() || set.readings.emergencies == Emergencies::Nothing {
        return;
    }
    let without: Vec<Span> = whole.work().iter().flat_map(|work| work.without(&spans)).collect();
    let calm = findings(set, &whole.with_work(set, without), scope);
    for group in &mut hours.groups {
        if excused(&group.worst, &spans, &calm) {
            group.excuse = hours.emergencies.iter().find(|e| e.reason.is_some() && e.span.overlaps(group.worst.window)).cloned();
        }
    }
    if set.readings.emergencies == Emergencies::Removes {
        hours.groups.retain(|group| group.excuse.is_none());
        hours.findings.retain(|(finding, _)| !excused(finding, &spans, &calm));
    }
}

fn excepted(set: &RuleSet, timeline: &Timeline, scope: Span) -> Vec<Excepted> {
    let mut all = Vec::new();
    for (rule, row) in set.rules.iter().enumerate() {
        let windows = set.excepted(&row.kind, timeline, scope);
        let span = windows.iter().map(|m| m.window).reduce(Span::hull);
        let least = windows.iter().map(|m| m.found).min();
        all.extend(span.zip(least).map(|(span, least)| Excepted { rule, span, windows: windows.len(), least }));
    }
    all
}
