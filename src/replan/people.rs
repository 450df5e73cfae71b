//! The people of a remainder: what they are fit for, what they did, what the day has seen of them.

use crate::id::PersonId;
use crate::model::{Before, Parts, Person, RecordKind, Recorded};
use crate::replan::overrun::Crew;
use crate::replan::run::worked;
use crate::replan::{Effects, Past, Whole};
use crate::time::{Minutes, Moment, Span, union};

/// Fills in the people; `crew` says which hours each has.
pub(super) fn people(parts: &mut Parts, whole: &Whole, crew: &Crew, past: &Past, effects: &Effects, start: Moment) {
    for (id, base) in crew.people.pairs() {
        let calls = effects.calls.iter().filter(|(p, _)| *p == id).map(|(_, r)| r.clone());
        let mut recorded: Vec<Recorded> = base.recorded.iter().cloned().chain(past.rows[id].iter().cloned()).chain(calls).collect();
        recorded.sort_by_key(|r| r.span);
        let away = union(base.away.iter().chain(&effects.unfit[id]).copied().collect());
        let seen = Seen::of(whole, base, past, id, start);
        let person = &mut parts.people[id];
        person.competences.retain(|c| effects.without[id].binary_search(c).is_err());
        person.stretches = base.stretches.iter().filter(|s| s.hull().end() > start).cloned().collect();
        person.away = away.into_iter().filter(|a| a.end() > start).collect();
        person.recorded = recorded;
        // What came before the job is known no further back than it was; the job itself is.
        person.recorded_from = Some(base.known_from(whole.parts.start));
        // Overtime for what may not stop is had whatever was agreed.
        let late = crew.late.contains(&id) && seen.before.overtime == Minutes::ZERO;
        person.evenings = base.evenings.map(|most| most.saturating_sub(seen.evenings).max(u32::from(late)));
        person.before = seen.before;
    }
}

/// What the job has seen of a person.
struct Seen {
    before: Before,
    /// Ship's days with overtime, today included.
    evenings: u32,
}

impl Seen {
    fn of(whole: &Whole, base: &Person, past: &Past, id: PersonId, start: Moment) -> Self {
        let clock = &whole.parts.clock;
        let ordinary: Vec<Span> = union(base.stretches.iter().flat_map(|s| s.ordinary.iter().copied()).collect());
        let spells = || past.spells.iter().filter(|s| s.team.contains(&id));
        let overtime_on = |day: Span| -> Minutes {
            let pieces = spells().flat_map(|s| s.work.iter().filter_map(move |w| w.intersection(day)));
            pieces.flat_map(|w| w.without(&ordinary)).map(Span::length).sum()
        };
        let today = clock.day_of(start);
        let first = clock.day_of(whole.parts.start).number();
        let days = (first..=today.number()).map(|n| clock.day_span(crate::clock::Day::new(n)));
        let evenings = days.filter(|day| overtime_on(*day) > Minutes::ZERO).count();
        let so_far = Span::new(clock.day_span(today).start(), start);
        let before = Before {
            worked: so_far.map_or(Minutes::ZERO, |window| worked(spells(), window)),
            overtime: so_far.map_or(Minutes::ZERO, overtime_on),
            hull: hull(base, past, id, start),
        };
        Self { before, evenings: u32::try_from(evenings).unwrap_or(u32::MAX) }
    }
}

/// From the first to the last piece of work or time on hand before `start` in the working stretch that is not
/// over: its ordinary hours, and overtime of it in which the person was at a task.
fn hull(base: &Person, past: &Past, id: PersonId, start: Moment) -> Option<Span> {
    let stretch = base.stretches.iter().find(|s| s.hull().start() < start && start < s.hull().end())?;
    let labour = |piece: &Span| past.rows[id].iter().any(|r| r.kind == RecordKind::Task && r.span.overlaps(*piece));
    let hours = stretch.ordinary.iter().chain(stretch.overtime.iter().filter(|p| labour(p))).copied().reduce(Span::hull)?;
    past.rows[id].iter().filter_map(|r| r.span.intersection(hours)).reduce(Span::hull)
}
