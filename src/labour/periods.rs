//! Periods: the stretches of time the model counts in.

use super::classes::Class;
use crate::bits::Bits;
use crate::calendar::{Fit, Hours, State, Windows};
use crate::clock::Day;
use crate::id::TaskId;
use crate::model::Problem;
use crate::time::Span;

/// How finely time is cut.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Grain {
    /// Wherever anybody's calendar changes.
    Fine,
    /// Only between ship's days, at the clock hours of the unbooked reserve, where somebody's ordinary hours go
    /// over into overtime, and, while unbooked time counts, where they end and an emergency may go on. Fewer and
    /// longer periods: all rows stay true, but they see less.
    Coarse,
}

/// Which hours the time of a class in a period belongs to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Belongs {
    /// Not to working hours, or there is none.
    Nowhere,
    /// To ordinary hours.
    Ordinary,
    /// To overtime.
    Overtime,
}

/// What time a class has in a period.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Time {
    pub(super) belongs: Belongs,
    /// Slots in which its people may work on tasks that are no emergency.
    pub(super) calm: usize,
    /// Slots in which they may work on an emergency; no fewer.
    pub(super) urgent: usize,
    /// Whether an emergency may take them outside hours: what they give it then is not taken from ordinary time.
    pub(super) called_out: bool,
}

impl Time {
    /// Slots for tasks that are emergencies, or for others.
    pub(super) const fn slots(self, emergency: bool) -> usize {
        if emergency { self.urgent } else { self.calm }
    }
}

/// A stretch of slots of one ship's day which lies wholly inside or wholly outside the clock hours of the
/// unbooked reserve, and in which no class has both ordinary hours and overtime. Where it counts, all that a class
/// with ordinary hours can give is given in those.
#[derive(Clone, Debug)]
pub(super) struct Period {
    /// First slot.
    pub(super) from: usize,
    /// First slot after it.
    pub(super) to: usize,
    /// Its ship's day.
    pub(super) day: Day,
    /// What time each class has.
    pub(super) times: Vec<Time>,
    /// Whether unbooked time counts in all of it, outright; time that counts in a part of a slot is in no
    /// such period.
    pub(super) counts: bool,
}

impl Period {
    /// Its length in slots.
    pub(super) const fn slots(&self) -> usize {
        self.to - self.from
    }
}

/// All periods before slot boundary `finish`, in time order.
pub(super) fn all(problem: &Problem, fit: &Fit<'_>, windows: &Windows, classes: &[Class], finish: usize, grain: Grain) -> Vec<Period> {
    let range = fit.people().range();
    let emergencies: Vec<TaskId> = problem.tasks.pairs().filter(|(_, task)| task.emergency).map(|(id, _)| id).collect();
    let mut counts = Bits::none(range.len());
    for span in counting(problem) {
        let (from, to) = range.inside(span);
        counts.insert_range(from, to);
    }
    let mut periods: Vec<Period> = Vec::new();
    let mut before: Vec<State> = Vec::new();
    for i in 0..finish.min(range.len()) {
        let (day, counts) = (range.day(i), counts.has(i));
        let states: Vec<State> = classes.iter().map(|c| fit.people().state(c.one(), i)).collect();
        let emergency = emergencies.iter().any(|task| windows.of(*task).start <= i && fit.slots(*task).has(i));
        let times: Vec<Time> = states.iter().map(|state| time(*state, fit.hours(), emergency)).collect();
        let joins = |last: &Period| {
            let alike = match grain {
                Grain::Fine => before == states,
                Grain::Coarse => last.times.iter().zip(&times).all(|(a, b)| join(*a, *b, counts).is_some()),
            };
            alike && last.day == day && last.counts == counts
        };
        match periods.last_mut() {
            Some(last) if joins(last) => {
                last.to = i + 1;
                let joined = last.times.iter().zip(&times).filter_map(|(a, b)| join(*a, *b, counts)).collect();
                last.times = joined;
            }
            _ => periods.push(Period { from: i, to: i + 1, day, times, counts }),
        }
        before = states;
    }
    periods
}

/// The time of one slot, in which there may be an emergency to work at.
const fn time(state: State, hours: Hours, emergency: bool) -> Time {
    let belongs = match state {
        State::Ordinary => Belongs::Ordinary,
        State::Overtime => Belongs::Overtime,
        State::Away | State::Taken | State::Break | State::Off => Belongs::Nowhere,
    };
    let urgent = state.works(hours, true);
    let called_out = emergency && urgent && matches!(belongs, Belongs::Nowhere);
    Time { belongs, calm: state.works(hours, false) as usize, urgent: urgent as usize, called_out }
}

/// Both together; `None` where one is ordinary and the other overtime, or, where unbooked time counts, a call outside
/// hours.
fn join(a: Time, b: Time, counts: bool) -> Option<Time> {
    let belongs = match (a.belongs, b.belongs) {
        (Belongs::Nowhere, other) | (other, Belongs::Nowhere) => other,
        (Belongs::Ordinary, Belongs::Ordinary) => Belongs::Ordinary,
        (Belongs::Overtime, Belongs::Overtime) => Belongs::Overtime,
        (Belongs::Ordinary, Belongs::Overtime) | (Belongs::Overtime, Belongs::Ordinary) => return None,
    };
    let called_out = a.called_out || b.called_out;
    let apart = counts && called_out && belongs == Belongs::Ordinary;
    (!apart).then_some(Time { belongs, calm: a.calm + b.calm, urgent: a.urgent + b.urgent, called_out })
}

/// When unbooked time counts: the clock hours of each reserve that asks for some, where its mode holds,
/// from the start to the latest end.
pub(super) fn counting(problem: &Problem) -> Vec<Span> {
    let mut spans = Vec::new();
    for (span, mode) in &problem.mode_spans {
        let Some(reserve) = problem.modes[*mode].reserve.as_ref().filter(|r| r.unbooked.get() > 0) else { continue };
        for day in problem.days(problem.latest_end) {
            let hours = Span::new(problem.clock.at(day, reserve.hours.0), problem.clock.at(day, reserve.hours.1));
            spans.extend(hours.and_then(|h| h.intersection(*span)));
        }
    }
    crate::time::union(spans)
}
