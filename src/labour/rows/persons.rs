//! Row 7: caps, evenings and total rest of people.

use std::collections::BTreeMap;

use super::Meaning;
use crate::calendar::{self, Hours};
use crate::clock::Day;
use crate::id::PersonId;
use crate::labour::build::Built;
use crate::labour::columns::Sum;
use crate::labour::ground::{Ground, int};
use crate::labour::periods::{Belongs, Period};
use crate::lp::Relation;
use crate::rest::rule::Kind;
use crate::rest::{Edge, Windows};
use crate::time::{Minutes, Span};

/// Three kinds of row, for each class, in sums over its people:
///
/// * **Cap.** Task work of a ship's day is at most the cap. True of every plan: that is the rule (work sits
///   on whole slots, a period lies in one ship's day).
/// * **Evenings.** Work in periods of overtime is at most the number of evenings times the most such slots
///   any ship's day has. True of every plan: overtime falls on no more days than that. A first day that had
///   overtime before planning begins has been counted, and is left out.
/// * **Rest.** In a window from 00:00 of a ship's day, task work is at most the window, less the rest that a
///   rule on the total of rest asks for in it, less fixed turns and duties. True of every plan: all of that
///   is no rest, and it never overlaps. Only windows that begin at or after the start of planning count,
///   since what the record holds before is excused from its own findings; and only readings under which the
///   rule speaks about every such window and about no rest outside it.
///
/// Rows that the time of the periods cannot break anyway are left out.
pub(in crate::labour) fn persons(ground: &Ground<'_>, built: &mut Built) {
    for class in 0..ground.classes.len() {
        caps(ground, built, class);
        evenings(ground, built, class);
        rest(ground, built, class);
    }
}

/// What a class gives on each ship's day, with the slots its periods have.
fn by_day(ground: &Ground<'_>, built: &Built, class: usize) -> BTreeMap<Day, (Sum, i64)> {
    let mut days: BTreeMap<Day, (Sum, i64)> = BTreeMap::new();
    for (k, period) in ground.periods.iter().enumerate() {
        let given = built.columns.given(class, k);
        if !given.is_empty() {
            let (list, slots) = days.entry(period.day).or_default();
            list.extend(given);
            *slots += built.columns.time(ground, class, k);
        }
    }
    days
}

fn caps(ground: &Ground<'_>, built: &mut Built, class: usize) {
    let people = &ground.classes[class];
    let Some(cap) = ground.fit.people().cap(people.one()) else { return };
    for (day, (terms, slots)) in by_day(ground, built, class) {
        if slots > int(cap) {
            built.row(Meaning::Cap(class, day), terms, Relation::AtMost, people.size() * int(cap));
        }
    }
}

fn evenings(ground: &Ground<'_>, built: &mut Built, class: usize) {
    let people = &ground.classes[class];
    let Some(evenings) = ground.problem.people[people.one()].evenings else { return };
    if ground.premises.hours == Hours::Ordinary {
        return;
    }
    let problem = ground.problem;
    let begun = people.members.iter().any(|p| problem.people[*p].before.overtime > Minutes::ZERO);
    let counted = begun.then(|| problem.clock.day(problem.start));
    let mut terms: Sum = Vec::new();
    let mut slots: BTreeMap<Day, i64> = BTreeMap::new();
    let overtime = |(_, p): &(usize, &Period)| p.times[class].belongs == Belongs::Overtime && Some(p.day) != counted;
    for (k, period) in ground.periods.iter().enumerate().filter(overtime) {
        let given = built.columns.given(class, k);
        if !given.is_empty() {
            *slots.entry(period.day).or_default() += built.columns.time(ground, class, k);
            terms.extend(given);
        }
    }
    let most = i64::from(evenings) * slots.values().copied().max().unwrap_or(0);
    if slots.values().sum::<i64>() > most {
        built.row(Meaning::Evenings(class), terms, Relation::AtMost, people.size() * most);
    }
}

fn rest(ground: &Ground<'_>, built: &mut Built, class: usize) {
    let problem = ground.problem;
    let people = &ground.classes[class];
    let days = by_day(ground, built, class);
    let rules = &problem.rule_sets[problem.people[people.one()].rest].rules;
    for (position, rule) in rules.iter().enumerate() {
        let Kind::TotalRest(total) = rule.kind else { continue };
        for first in days.keys() {
            let Some(window) = window(ground, *first, total.window, total.windows) else { continue };
            if total.edge != Edge::Part {
                continue;
            }
            let inside = |day: Day| window.covers(problem.clock.day_span(day));
            let mut terms = Vec::new();
            let mut slots = 0;
            for (given, time) in days.range(*first..).filter(|(day, _)| inside(**day)).map(|(_, list)| list) {
                terms.extend(given.iter().map(|(col, times)| (*col, times * ground.minutes(1))));
                slots += time;
            }
            let most = i64::from((total.window - total.at_least - busy(ground, people.one(), window)).get()).max(0);
            if slots * ground.minutes(1) > most {
                built.row(Meaning::Rest(class, position, *first), terms, Relation::AtMost, people.size() * most);
            }
        }
    }
}

/// The window of a rule that starts with ship's day `first`, if the rule speaks about it for sure.
fn window(ground: &Ground<'_>, first: Day, length: Minutes, windows: Windows) -> Option<Span> {
    let problem = ground.problem;
    let day = problem.clock.day_span(first);
    let window = match windows {
        Windows::Anchored | Windows::EveryMinute => Span::of(day.start(), length)?,
        Windows::Calendar => Some(day).filter(|d| length == Minutes::DAY && d.length() == Minutes::DAY)?,
        Windows::AfterRest(_) | Windows::FirstWorkOfDay | Windows::BackFromWorkStart => return None,
    };
    // A window that only begins after the asked finish says nothing about the columns.
    (window.start() >= problem.start && window.end() <= problem.layout_end).then_some(window)
}

/// Fixed turns and duties of a person inside `window`.
fn busy(ground: &Ground<'_>, person: PersonId, window: Span) -> Minutes {
    let busy = calendar::busy(ground.problem, person);
    busy.into_iter().filter_map(|span| span.intersection(window)).map(Span::length).sum()
}
