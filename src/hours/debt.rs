//! Rest that is owed for call-outs, emergencies and exempt drills, set against the rest that was given later.
//!
//! The Codes ask for adequate rest in return and give no figure (STCW Code A-VIII/1 paragraphs 6 and 8). Read here, after
//! the laws that give one: what is owed is rest of equal length (German Seearbeitsgesetz section 45(4), Singapore Merchant
//! Shipping (MLC) Act section 16(4)), beside the least rest of a day, and by the end of the next rest period. So of the rest
//! in each 24 hours from the end of what took it, the least of a day is due anyway; what comes after that is given in
//! return, oldest debt first, and no minute for two.

use crate::hours::check::PersonHours;
use crate::rest::rule::{Kind, TotalRest};
use crate::rest::{CallOuts, Drills, Edge, RuleSet, Timeline, Windows};
use crate::time::{Minutes, Moment, Span};

/// The next rest period that is meant is one of at least this: what is left beside a call-out (German Seearbeitsgesetz
/// section 45(4)), and the longer of a day's two.
const PERIOD: Minutes = Minutes::hours(6);

/// What became of rest that is owed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Balance {
    /// How much was given.
    pub given: Minutes,
    /// When all of it had been given; `None` while some of it is owed.
    pub even_at: Option<Moment>,
    /// By when it is due.
    pub by: By,
    /// Whether some of it is owed though that time has passed.
    pub overdue: bool,
}

/// By when rest that is owed is due.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum By {
    /// The end of the next rest period.
    EndOfRest(Moment),
    /// The end of the rest period that begins then; no work is known after it.
    EndOfRestFrom(Moment),
    /// As soon as practicable.
    Soon,
}

impl Balance {
    /// Nothing given yet, and no time set.
    #[must_use]
    pub(super) const fn open() -> Self {
        Self { given: Minutes::ZERO, even_at: None, by: By::Soon, overdue: false }
    }
}

/// How much is owed for a call-out that took so much rest.
pub(super) fn for_a_call(set: &RuleSet, line: &Timeline, call: Span, rest_lost: Minutes) -> Minutes {
    match set.readings.call_outs {
        CallOuts::RestLost => rest_lost,
        CallOuts::BelowLeast => {
            let (windows, edge) = (Windows::Anchored, Edge::Part);
            let day = Kind::TotalRest(TotalRest { window: Minutes::DAY, at_least: Minutes::ZERO, windows, edge });
            let least = set.measure(&day, line, call).into_iter().map(|m| m.found).min().unwrap_or(Minutes::DAY);
            (least_of_day(set) - least).max(Minutes::ZERO).min(rest_lost)
        }
    }
}

/// Balances all that a person is owed against the rest of `line` up to `end`, after which nothing is known.
pub(super) fn balance(set: &RuleSet, line: &Timeline, end: Moment, hours: &mut PersonHours) {
    let least = least_of_day(set);
    let exempt = set.readings.drills == Drills::Exempt;
    let emergencies = hours.emergencies.iter_mut().map(|e| (e.span, e.owed, true, &mut e.balance));
    let mut debts: Vec<(Span, Minutes, bool, &mut Balance)> = emergencies.collect();
    debts.extend(hours.calls.iter_mut().map(|c| (c.span, c.owed, false, &mut c.balance)));
    for drill in hours.drills.iter_mut().filter(|_| exempt) {
        debts.push((drill.span, drill.rest_lost, false, drill.balance.insert(Balance::open())));
    }
    debts.sort_by_key(|(span, ..)| *span);
    let mut spent: Vec<Span> = Vec::new();
    for (span, owed, soon, balance) in debts {
        let by = if soon { By::Soon } else { due(line, span.end(), end) };
        let (given, even_at) = give(line, Span::new(span.end(), end), least, owed, &mut spent);
        let passed = matches!(by, By::EndOfRest(at) if at <= end);
        let even_at = if owed.is_zero() { Some(span.end()) } else { even_at };
        *balance = Balance { given, even_at, by, overdue: even_at.is_none() && passed };
    }
}

/// By when rest owed from `from` on is due.
fn due(line: &Timeline, from: Moment, end: Moment) -> By {
    let mut rests = line.rests().iter().filter_map(|rest| Span::new(rest.start().max(from), rest.end()));
    match rests.find(|rest| rest.length() >= PERIOD) {
        Some(rest) if rest.end() <= end => By::EndOfRest(rest.end()),
        Some(rest) => By::EndOfRestFrom(rest.start()),
        None => By::Soon,
    }
}

/// How much of `owed` is given in `time`, and when the last of it; minutes that are given are added to `spent`.
fn give(line: &Timeline, time: Option<Span>, least: Minutes, owed: Minutes, spent: &mut Vec<Span>) -> (Minutes, Option<Moment>) {
    let mut left = owed;
    let mut even_at = None;
    let mut ahead = time;
    while let (Some(time), true) = (ahead, left > Minutes::ZERO) {
        let stop = (time.start() + Minutes::DAY).min(time.end());
        let mut anyway = least;
        for rest in Span::new(time.start(), stop).map_or_else(Vec::new, |day| free(line, day, spent)) {
            let first = anyway.min(rest.length());
            anyway = anyway - first;
            let Some(part) = Span::of(rest.start() + first, left.min(rest.length() - first)) else { continue };
            left = left - part.length();
            even_at = Some(part.end());
            spent.push(part);
        }
        spent.sort_unstable();
        ahead = Span::new(stop, time.end());
    }
    (owed - left, even_at.filter(|_| left.is_zero()))
}

/// The rest of a day that was not given for anything yet, in time order.
fn free(line: &Timeline, day: Span, spent: &[Span]) -> Vec<Span> {
    let rests = line.rests().iter().filter_map(|rest| rest.intersection(day));
    rests.flat_map(|rest| rest.without(spent)).collect()
}

/// The least rest of a day that a set asks for; ten hours where it asks for none.
fn least_of_day(set: &RuleSet) -> Minutes {
    let day = |kind: &Kind| match kind {
        Kind::TotalRest(rule) if rule.window == Minutes::DAY => Some(rule.at_least),
        Kind::BestRests(rule) if rule.window == Minutes::DAY => Some(rule.at_least),
        Kind::LongestRest(rule) if rule.window == Minutes::DAY => Some(rule.at_least),
        _ => None,
    };
    set.rules.iter().filter_map(|rule| day(&rule.kind)).max().unwrap_or(Minutes::hours(10))
}
