//! What each person's own calendar allows, slot by slot.

use super::range::Range;
use crate::bits::Bits;
use crate::id::{DutyId, IdVec, PersonId};
use crate::model::{Problem, Stand};
use crate::time::Span;

/// Which hours may be worked.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Hours {
    /// Ordinary hours alone.
    Ordinary,
    /// Ordinary hours and overtime windows.
    WithOvertime,
}

/// What a person's own calendar says about a slot.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum State {
    /// Away for some of it.
    Away,
    /// On a fixed turn, at a duty, or at recorded work that reaches past the start, for some of it.
    Taken,
    /// In a named break for some of it.
    Break,
    /// Free, but outside working hours for some of it.
    Off,
    /// Free and wholly inside ordinary hours.
    Ordinary,
    /// Free and wholly inside working hours, some of them overtime.
    Overtime,
}

/// Marks a slot outside every working stretch.
const NOWHERE: u32 = u32::MAX;

/// One person's calendar.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Own {
    pub(super) states: Vec<State>,
    /// The working stretch of each slot that lies inside the hull of one.
    pub(super) stretch: Vec<u32>,
    /// Most slots of task work in a ship's day.
    pub(super) cap: Option<usize>,
}

/// Everybody's calendar.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct People {
    range: Range,
    own: IdVec<PersonId, Own>,
    /// Slots that overlap a named break of somebody.
    breaks: Bits,
}

impl People {
    /// The calendars of a problem's people.
    #[must_use]
    pub fn new(problem: &Problem) -> Self {
        let range = Range::new(problem);
        let mut breaks = Bits::none(range.len());
        for pause in problem.people.iter().flat_map(|p| &p.breaks) {
            let (from, to) = range.touching(*pause);
            breaks.insert_range(from, to);
        }
        let own = problem.people.ids().map(|p| own(problem, &range, p)).collect();
        Self { range, own, breaks }
    }

    /// The slots all this is about.
    #[must_use]
    pub const fn range(&self) -> &Range {
        &self.range
    }

    /// What the calendar of `person` says about slot `i`; [`State::Away`] behind the range.
    #[must_use]
    pub fn state(&self, person: PersonId, i: usize) -> State {
        self.own[person].states.get(i).copied().unwrap_or(State::Away)
    }

    /// Most slots of task work of `person` in a ship's day, if there is a cap. Work sits on whole slots, so
    /// a part of a slot left over is of no use.
    #[must_use]
    pub fn cap(&self, person: PersonId) -> Option<usize> {
        self.own[person].cap
    }

    /// The working stretch in whose hull slot `i` lies, if it lies in one.
    pub(super) fn stretch(&self, person: PersonId, i: usize) -> Option<u32> {
        self.own[person].stretch.get(i).copied().filter(|s| *s != NOWHERE)
    }

    /// How many slots of `from..to` overlap a named break of somebody.
    pub(super) fn breaks_in(&self, from: usize, to: usize) -> usize {
        self.breaks.count_range(from, to)
    }
}

impl State {
    /// Whether task work may be done in such a slot; an emergency may be worked at outside hours too.
    #[must_use]
    pub const fn works(self, hours: Hours, emergency: bool) -> bool {
        match self {
            Self::Ordinary => true,
            Self::Overtime => emergency || matches!(hours, Hours::WithOvertime),
            Self::Off => emergency,
            Self::Away | Self::Taken | Self::Break => false,
        }
    }

    /// Whether a spell may be paused in such a slot: the person has nothing else to do then.
    #[must_use]
    pub const fn pauses(self) -> bool {
        match self {
            Self::Ordinary | Self::Overtime | Self::Off | Self::Break => true,
            Self::Away | Self::Taken => false,
        }
    }
}

/// The time for which `duty` is sure to take those who attend it: all of a fixed one; of a movable one
/// what it covers wherever in its window it is put, if it fills more than half of it.
#[must_use]
pub(super) fn sure_span(problem: &Problem, duty: DutyId) -> Option<Span> {
    let when = problem.duties[duty].when;
    Span::new(when.latest_start(), when.earliest_end())
}

fn own(problem: &Problem, range: &Range, id: PersonId) -> Own {
    let person = &problem.people[id];
    let mut states = vec![State::Off; range.len()];
    let mut stretch = vec![NOWHERE; range.len()];
    let mut put = |(from, to): (usize, usize), state: State| states[from..to].fill(state);
    for (number, working) in person.stretches.iter().enumerate() {
        for piece in working.hours() {
            put(range.inside(piece), State::Overtime);
        }
        for piece in &working.ordinary {
            put(range.inside(*piece), State::Ordinary);
        }
        let (from, to) = range.inside(working.hull());
        stretch[from..to].fill(u32::try_from(number).unwrap_or(NOWHERE));
    }
    for pause in &person.breaks {
        put(range.touching(*pause), State::Break);
    }
    // Whether a duty is excused, done along with the watch, or attended: the person is busy in all of it
    // either way, with the one or with the other.
    for span in busy(problem, id) {
        put(range.touching(span), State::Taken);
    }
    for away in &person.away {
        put(range.touching(*away), State::Away);
    }
    let cap = person.job_cap.map(|cap| range.to(range.moment(0) + cap));
    Own { states, stretch, cap }
}

/// The time for which a person is sure to be on a turn, at a duty or at recorded work that reaches past the start:
/// fixed turns, the sure part of duties and that work, joined where they touch or overlap; to the end of the layout.
#[must_use]
pub fn busy(problem: &Problem, person: PersonId) -> Vec<Span> {
    let turns = problem.turns.iter().filter(|t| only(&t.stand) == Some(person)).map(|t| t.span);
    let duties = problem.duties.pairs().filter(|(_, d)| d.who.binary_search(&person).is_ok());
    let recorded = problem.people[person].taken_after(problem.start);
    crate::time::union(turns.chain(duties.filter_map(|(id, _)| sure_span(problem, id))).chain(recorded).collect())
}

/// The one person who can stand a turn, if there is one alone.
fn only(stand: &Stand) -> Option<PersonId> {
    match stand {
        Stand::Fixed(who) => Some(*who),
        Stand::Open(people) => people.first().copied().filter(|_| people.len() == 1),
    }
}
