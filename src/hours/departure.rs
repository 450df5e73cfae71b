//! Whether those are rested who stand the first watches after leaving port.

use crate::hours::check::{line_of, timeline};
use crate::id::{PersonId, TurnId};
use crate::model::{Problem, Stand};
use crate::rest::{Departure, Exactly, Timeline};
use crate::time::{Minutes, Moment, Span};
use crate::verify::{Asked, Bound};

/// The first two watches of every post after leaving port.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Departing {
    /// When the ship leaves.
    pub at: Moment,
    /// Who stands them, by post, then time.
    pub watches: Vec<FirstWatch>,
}

/// One of the first two watches of a post.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct FirstWatch {
    /// The watch.
    pub turn: TurnId,
    /// Who stands it; `None` where that is open.
    pub person: Option<PersonId>,
    /// The time that is looked at: that before leaving.
    pub window: Span,
    /// Rest in it.
    pub found: Minutes,
    /// Rest that is asked for.
    pub required: Minutes,
}

impl FirstWatch {
    /// Whether the person is rested; not where nobody is named.
    #[must_use]
    pub fn rested(&self) -> bool {
        self.person.is_some() && self.found >= self.required
    }
}

/// Who stands the first two watches of every post after `at`, and how rested.
///
/// Watches have to be arranged so that the first at the beginning of a voyage and those that relieve it are rested
/// (STCW Convention regulation VIII/1, which gives no figure). Reading A17 gives one: 10 h in the 24 h before, or 6 h in
/// the 12 h before (46 USC 8104(a), which asks it of deck officers).
#[must_use]
pub fn departing(problem: &Problem, asked: Option<&Asked<'_>>, at: Moment) -> Departing {
    let stands = |turn: TurnId| match (&problem.turns[turn].stand, asked) {
        (_, Some(asked)) => problem.people.ids().find(|id| asked.bound(*id).iter().any(|(bound, _)| *bound == Bound::Turn(turn))),
        (Stand::Fixed(person), None) => Some(*person),
        (Stand::Open(_), None) => None,
    };
    let mut watches = Vec::new();
    for post in problem.posts.ids() {
        let mut turns: Vec<(Span, TurnId)> =
            problem.turns.pairs().filter(|(_, turn)| turn.post == post && turn.span.end() > at).map(|(id, turn)| (turn.span, id)).collect();
        turns.sort_unstable();
        for (_, turn) in turns.into_iter().take(2) {
            watches.extend(first_watch(problem, asked, at, turn, stands(turn)));
        }
    }
    Departing { at, watches }
}

/// The hours of a person: of record and plan, or without a plan of record and watches that are given to him.
fn line(problem: &Problem, id: PersonId, asked: Option<&Asked<'_>>) -> Timeline {
    if asked.is_some() {
        return line_of(problem, id, asked);
    }
    let own = problem.turns.iter().filter(|turn| turn.stand == Stand::Fixed(id)).map(|turn| turn.span);
    let work = problem.people[id].recorded.iter().map(|r| r.span).chain(own).collect();
    timeline(problem, &problem.people[id], work)
}

fn first_watch(problem: &Problem, asked: Option<&Asked<'_>>, at: Moment, turn: TurnId, person: Option<PersonId>) -> Option<FirstWatch> {
    let reading = person.map_or(Departure::default(), |id| problem.rule_sets[problem.people[id].rest].readings.departure);
    let (length, required) = match reading {
        Departure::Rested => (Minutes::DAY, Minutes::hours(10)),
        Departure::SixInTwelve => (Minutes::hours(12), Minutes::hours(6)),
    };
    let exactly = person.map_or(Exactly::default(), |id| problem.rule_sets[problem.people[id].rest].readings.exactly);
    let (window, required) = (Span::of(at - length, length)?, exactly.least(required));
    let found = person.map_or(Minutes::ZERO, |id| {
        line(problem, id, asked).rests().iter().filter_map(|rest| rest.intersection(window)).map(Span::length).sum()
    });
    Some(FirstWatch { turn, person, window, found, required })
}
