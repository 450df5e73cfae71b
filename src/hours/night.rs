//! Who can be called hour by hour through a night.

use crate::id::{CompetenceId, IdVec, PersonId};
use crate::model::Problem;
use crate::time::{Minutes, Moment};
use crate::verify::{Asked, Bar};

/// One hour of the night.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Hour {
    /// When the call would come.
    pub at: Moment,
    /// Each person then.
    pub people: IdVec<PersonId, Cell>,
    /// Whether different people who can be called fill all places asked for; true where none are asked for.
    pub met: bool,
}

/// One person at one hour: why he cannot be called; `None` where he can.
pub type Cell = Option<Bar>;

/// First hour of a night by ship's clock, and the hour of the next day at which it is over.
const NIGHT: (Minutes, Minutes) = (Minutes::hours(20), Minutes::hours(32));

/// The night that `at` lies in, or else the next one, hour by hour from 20:00 to 08:00 by ship's clock, as far as
/// it lies in the plan and not before `at`: who can be called for `length`, and whether `places` can be filled.
#[must_use]
pub fn night(problem: &Problem, asked: &Asked<'_>, at: Moment, length: Minutes, places: &[CompetenceId]) -> Vec<Hour> {
    let clock = &problem.clock;
    let day = clock.day(at);
    let began_yesterday = clock.minute_of_day(at) + Minutes::DAY < NIGHT.1;
    let yesterday = crate::clock::Day::new(day.number() - 1);
    let evening = if began_yesterday { yesterday } else { day };
    let (first, end) = (clock.at(evening, NIGHT.0), clock.at(evening.next(), NIGHT.1 - Minutes::DAY));
    let mut hours = Vec::new();
    let mut when = first;
    while when < end {
        if asked.time().contains(when) && when + Minutes::hours(1) > at {
            let when = when.max(at);
            let people: IdVec<PersonId, Cell> = problem.people.ids().map(|id| asked.bar(id, when, length)).collect();
            let met = filled(problem, places, &people);
            hours.push(Hour { at: when, people, met });
        }
        when = when + Minutes::hours(1);
    }
    hours
}

/// Whether different callable people fill all places: each place in turn, moving people already placed along
/// where that makes room.
fn filled(problem: &Problem, places: &[CompetenceId], people: &IdVec<PersonId, Cell>) -> bool {
    let mut taken: IdVec<PersonId, Option<usize>> = IdVec::filled(None, people.len());
    (0..places.len()).all(|place| {
        let mut seen = IdVec::filled(false, people.len());
        seat(problem, places, people, place, &mut taken, &mut seen)
    })
}

fn seat(
    problem: &Problem,
    places: &[CompetenceId],
    people: &IdVec<PersonId, Cell>,
    place: usize,
    taken: &mut IdVec<PersonId, Option<usize>>,
    seen: &mut IdVec<PersonId, bool>,
) -> bool {
    for id in problem.people.ids() {
        if people[id].is_some() || seen[id] || !problem.people[id].holds(places[place]) {
            continue;
        }
        seen[id] = true;
        let free = match taken[id] {
            None => true,
            Some(other) => seat(problem, places, people, other, taken, seen),
        };
        if free {
            taken[id] = Some(place);
            return true;
        }
    }
    false
}
