//! Unbooked hours that are asked for, against those there are.

use crate::diag::Code;
use crate::id::{IdVec, PersonId};
use crate::input::raw::job::Reserve as RawReserve;
use crate::input::sink::Sink;
use crate::input::times::Times;
use crate::model::Person;
use crate::time::{Minutes, Span};

/// Says so where a reserve asks for more unbooked hours than all people together have in ordinary hours on any day of the job,
/// those away and daily caps taken off: every plan falls short of it every day.
pub(in crate::input) fn more_than_there_is(reserves: &[RawReserve], people: &IdVec<PersonId, Person>, times: &Times, sink: &Sink) {
    for reserve in reserves {
        let Some(unbooked) = reserve.unbooked.as_ref().filter(|unbooked| unbooked.value > Minutes::ZERO) else { continue };
        // Of a day that is only partly in the job, in proportion.
        let enough = |day: &Day| {
            i64::from(day.there.get()) * i64::from(day.full.get()) >= i64::from(unbooked.value.get()) * i64::from(day.inside.get())
        };
        let days: Vec<Day> = days(people, reserve.hours(), times);
        if days.is_empty() || days.iter().any(enough) {
            continue;
        }
        let most = days.iter().map(|day| day.there).max().unwrap_or(Minutes::ZERO);
        let message = format!("the reserve asks for {} unbooked a day, and all people together have at most {most}", unbooked.value);
        sink.say(Code::UnbookedTooMuch, message, unbooked.place, "", "lower it, or widen `between`; overtime does not count");
    }
}

/// A day of the job.
struct Day {
    /// The hours between which unbooked time counts, as long as they are.
    full: Minutes,
    /// What of them lies in the job.
    inside: Minutes,
    /// Ordinary hours of all people in that.
    there: Minutes,
}

fn days(people: &IdVec<PersonId, Person>, hours: (Minutes, Minutes), times: &Times) -> Vec<Day> {
    let job = Span::new(times.start, times.end);
    let of_day = |day| {
        let whole = Span::new(times.clock.at(day, hours.0), times.clock.at(day, hours.1))?;
        let inside = whole.intersection(job?)?;
        let there = |person: &Person| {
            let ordinary = person.stretches.iter().flat_map(|stretch| &stretch.ordinary).filter_map(|span| span.intersection(inside));
            let aboard: Minutes = ordinary.flat_map(|span| span.without(&person.away)).map(Span::length).sum();
            person.job_cap.map_or(aboard, |cap| aboard.min(cap))
        };
        Some(Day { full: whole.length(), inside: inside.length(), there: people.iter().map(there).sum() })
    };
    times.days().filter_map(of_day).collect()
}
