//! Row 8: unbooked time of the reserve.

use std::collections::BTreeMap;

use super::Meaning;
use crate::calendar::{self, Share};
use crate::clock::Day;
use crate::labour::build::Built;
use crate::labour::columns::Sum;
use crate::labour::ground::{Ground, Reserve};
use crate::labour::periods::Belongs;
use crate::lp::Relation;
use crate::model::{Problem, Reserve as Asked};
use crate::time::{Minutes, Moment, Span};

/// On each ship's day, time in ordinary hours and in the clock hours of the reserve that is not booked is at
/// least what the reserve asks for: `Σ (time − booked) ≥ R`, where a class with a cap counts by a column of
/// its own that is at most its time left and at most its cap left; or time is missing, at the price of work that
/// finds no place.
///
/// True of every plan without reserve shortfall: what counts as on hand of a person is ordinary time that is
/// free of turns, duties, spells and time away, so at most the ordinary time outside fixed turns and duties
/// less the task work in it; and it counts at most up to the cap less the task work of the day. (That time
/// outside the first and the last piece of work is off, not on hand, is left out.) Work that is not wholly
/// in such time is not subtracted. Only days whose counting hours end by the first planning end are taken:
/// every plan reaches so far, so what they ask for does not depend on the plan.
pub(in crate::labour) fn unbooked(ground: &Ground<'_>, built: &mut Built) {
    if ground.premises.reserve == Reserve::Open {
        return;
    }
    let problem = ground.problem;
    for day in problem.days(problem.end) {
        let Some(asked) = asked(problem, day) else { continue };
        let mut terms: Sum = Vec::new();
        let mut time = 0;
        for class in 0..ground.classes.len() {
            let size = ground.classes[class].size();
            let free = free(ground, class, &asked.spans);
            let (counted, all) = booked(ground, built, class, day);
            // The cap in minutes as it is given, not in whole slots: that is what the rule subtracts from.
            match problem.people[ground.classes[class].one()].job_cap.map(|cap| size * i64::from(cap.get())) {
                None => {
                    time += size * free;
                    terms.extend(counted.into_iter().map(|(col, times)| (col, -times * ground.minutes(1))));
                }
                Some(cap) => {
                    let name = format!("spare {class} day {}", day.number());
                    let spare = built.model.held_column(name, cap.min(size * free), 0);
                    built.columns.spare.insert((class, day.number()), (spare, size * free, cap));
                    let with = |booked: Sum| {
                        let terms = booked.into_iter().map(|(col, times)| (col, times * ground.minutes(1)));
                        terms.chain([(spare, 1)]).collect::<Sum>()
                    };
                    built.row(Meaning::SpareTime(class, day), with(counted), Relation::AtMost, size * free);
                    built.row(Meaning::SpareCap(class, day), with(all), Relation::AtMost, cap);
                    terms.push((spare, 1));
                }
            }
        }
        // Without this the model might have no answer at all, and there would be nothing to certify.
        let missing = i64::from(asked.minutes.get());
        let name = format!("missing day {}", day.number());
        terms.push((built.model.column(name, Some(0), Some(missing), built.columns.dear), 1));
        built.row(Meaning::Unbooked(day), terms, Relation::AtLeast, i64::from(asked.minutes.get()) - time);
    }
}

/// What a day asks for, and when it counts.
struct Asking {
    minutes: Minutes,
    spans: Vec<Span>,
}

/// What `day` asks for: its reserves' time in proportion to the clock hours their modes hold, rounded up to
/// a whole minute; `None` where it asks for nothing, or where the planning end cuts its hours.
fn asked(problem: &Problem, day: Day) -> Option<Asking> {
    let mut spans = Vec::new();
    let mut share = Share::NONE;
    for (span, mode) in &problem.mode_spans {
        let Some(reserve) = problem.modes[*mode].reserve.as_ref().filter(|r| r.unbooked > Minutes::ZERO) else { continue };
        let Some(hours) = hours(problem, day, reserve) else { continue };
        let Some(part) = hours.intersection(*span).and_then(|h| h.intersection(Span::new(problem.start, Moment::FAR_FUTURE)?)) else {
            continue;
        };
        if part.end() > problem.end {
            return None;
        }
        share.add(reserve.unbooked, part.length(), hours.length());
        spans.push(part);
    }
    let minutes = share.rounded_up();
    (minutes > Minutes::ZERO).then(|| Asking { minutes, spans: crate::time::union(spans) })
}

fn hours(problem: &Problem, day: Day, reserve: &Asked) -> Option<Span> {
    Span::new(problem.clock.at(day, reserve.hours.0), problem.clock.at(day, reserve.hours.1))
}

/// Minutes of ordinary hours of one person of a class in `spans`, outside fixed turns, duties and time away.
fn free(ground: &Ground<'_>, class: usize, spans: &[Span]) -> i64 {
    let id = ground.classes[class].one();
    let person = &ground.problem.people[id];
    let mut taken = calendar::busy(ground.problem, id);
    taken.extend(&person.away);
    let ordinary = person.stretches.iter().flat_map(|s| &s.ordinary);
    let counted = ordinary.flat_map(|piece| spans.iter().filter_map(|span| span.intersection(*piece)));
    let minutes: Minutes = counted.flat_map(|part| part.without(&taken)).map(Span::length).sum();
    i64::from(minutes.get())
}

/// What a class gives on a day: in ordinary time that counts, and in all. A class with ordinary hours in a period
/// that counts gives nothing outside them in it, emergencies included, so that all of it was time on hand.
fn booked(ground: &Ground<'_>, built: &Built, class: usize, day: Day) -> (Sum, Sum) {
    let (mut counted, mut all) = (Vec::new(), Vec::new());
    for (k, period) in ground.periods.iter().enumerate().filter(|(_, p)| p.day == day) {
        let given = built.columns.given(class, k);
        if period.counts && period.times[class].belongs == Belongs::Ordinary {
            counted.extend(&given);
        }
        all.extend(given);
    }
    (counted, all)
}

/// Minutes booked by class and ship's day: in ordinary time that counts, and in all.
pub(in crate::labour) type Booked = BTreeMap<(usize, i32), (i64, i64)>;
