//! Rule 9b: unbooked labour time of each ship's day.

use crate::id::PersonId;
use crate::model::Reserve;
use crate::time::{Minutes, Moment, Span, union};
use crate::verify::caps::before;
use crate::verify::facts::Facts;
use crate::verify::spans::{common, outside, total, within};

/// Unbooked time of one day.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Unbooked {
    /// What there is.
    pub(super) found: Minutes,
    /// What the modes of the day ask for.
    pub(super) needed: Minutes,
}

/// The stretches of a day in which unbooked time counts, each with the reserve that asks for it.
struct Counting<'a> {
    spans: Vec<Span>,
    /// The clock hours of the whole day, as long as they are on that day.
    full: Minutes,
    reserve: &'a Reserve,
}

/// Time on hand of a person in ordinary hours: between the first and the last piece of work of a working
/// stretch, and not at work, at a duty, on watch, in a pause of a spell, or away.
pub(super) fn on_hand(facts: &Facts, id: PersonId) -> Vec<Span> {
    let person = &facts.problem.people[id];
    let own = &facts.people[id];
    let ordinary: Vec<Span> = person.stretches.iter().flat_map(|s| s.ordinary.iter().copied()).collect();
    let turns = own.turns.iter().map(|(_, span)| *span);
    let attended = own.attended.iter().map(|(_, span)| *span);
    let spells = own.spells.iter().map(|s| s.span());
    let recorded = person.recorded.iter().map(|r| r.span);
    let taken: Vec<Span> = turns.chain(attended).chain(spells).chain(recorded).chain(person.away.iter().copied()).collect();
    outside(&common(&own.hulls, &ordinary), &taken)
}

/// Unbooked time of the ship's day `day`; `free` is each person's time on hand.
pub(super) fn of_day(facts: &Facts, day: Span, hours: impl Fn(Minutes) -> Moment, free: &[Vec<Span>]) -> Unbooked {
    let counting = counting(facts, day, hours);
    let window: Vec<Span> = union(counting.iter().flat_map(|c| c.spans.iter().copied()).collect());
    let people = facts.problem.people.pairs().zip(free);
    let found = people.map(|((id, person), free)| {
        let on_hand = total(&common(free, &window));
        let booked = total(&within(&facts.people[id].labour, day)) + before(facts, id, day).worked;
        person.job_cap.map_or(on_hand, |cap| on_hand.min(cap - booked).max(Minutes::ZERO))
    });
    Unbooked { found: found.sum(), needed: needed(&counting) }
}

/// Where unbooked time counts on a day: the clock hours of each mode's reserve, where the mode holds and the
/// plan reaches.
fn counting<'a>(facts: &Facts<'a>, day: Span, hours: impl Fn(Minutes) -> Moment) -> Vec<Counting<'a>> {
    let problem = facts.problem;
    let modes = problem.modes.pairs().filter_map(|(id, mode)| Some((id, mode.reserve.as_ref()?)));
    let asking = modes.filter(|(_, reserve)| reserve.unbooked > Minutes::ZERO && reserve.hours.0 < reserve.hours.1);
    let part = |mode, reserve: &'a Reserve| {
        let clock_hours = Span::new(hours(reserve.hours.0), hours(reserve.hours.1))?;
        let inside = clock_hours.intersection(day)?.intersection(facts.time)?;
        let holds: Vec<Span> = problem.mode_spans.iter().filter(|(_, m)| *m == mode).map(|(span, _)| *span).collect();
        Some(Counting { spans: within(&holds, inside), full: clock_hours.length(), reserve })
    };
    asking.filter_map(|(mode, reserve)| part(mode, reserve)).collect()
}

/// Σ unbooked × counting time ÷ clock hours of the full day, as one fraction, rounded up to a whole minute. Where the
/// clock is changed in those hours they are longer or shorter, and a full day asks for all the same.
fn needed(counting: &[Counting]) -> Minutes {
    let (mut above, mut below) = (0_i128, 1_i128);
    for part in counting {
        let full = i128::from(part.full.get());
        let asked = i128::from(part.reserve.unbooked.get()) * i128::from(total(&part.spans).get());
        above = above * full + asked * below;
        below *= full;
        let common = gcd(above, below);
        (above, below) = (above / common, below / common);
    }
    let up = (above + below - 1).div_euclid(below);
    Minutes::new(i32::try_from(up).unwrap_or(i32::MAX))
}

fn gcd(a: i128, b: i128) -> i128 {
    if b == 0 { a.max(1) } else { gcd(b, a % b) }
}
