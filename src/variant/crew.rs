//! Changes to people and what is asked of them.

use crate::id::{CompetenceId, PersonId};
use crate::model::Before;
use crate::model::Parts;
use crate::time::{Minutes, Span};
use crate::variant::Refused;

pub(super) fn another(parts: &mut Parts, person: PersonId) {
    let mut copy = parts.people[person].clone();
    copy.code.push('+');
    while parts.people.iter().any(|p| p.code == copy.code) {
        copy.code.push('+');
    }
    copy.name = format!("one more like {}", copy.name);
    copy.answers_for.clear();
    copy.before = Before::default();
    // He comes rested: of what the other one did before nothing is his.
    copy.recorded.clear();
    copy.recorded_from = Some(parts.start - Minutes::hours(8 * 24));
    let _: PersonId = parts.people.push(copy);
}

pub(super) fn learns(parts: &mut Parts, person: PersonId, competence: CompetenceId) -> Result<(), Refused> {
    let can = &mut parts.people[person].competences;
    match can.binary_search(&competence) {
        Ok(_) => Err(Refused::Nothing("the person can do that already")),
        Err(place) => {
            can.insert(place, competence);
            Ok(())
        }
    }
}

/// How long overtime after the last ordinary hour is, where there was none.
const OVERTIME: Minutes = Minutes::hours(2);

pub(super) fn evening(parts: &mut Parts, person: PersonId) -> Result<(), Refused> {
    let row = &mut parts.people[person];
    if row.stretches.is_empty() {
        return Err(Refused::Nothing("the person has no hours on the job"));
    }
    if row.stretches.iter().any(|s| !s.overtime.is_empty()) {
        let Some(evenings) = &mut row.evenings else { return Err(Refused::Nothing("the person's evenings are not limited")) };
        *evenings += 1;
        return Ok(());
    }
    row.evenings = Some(1);
    let starts: Vec<_> = row.stretches.iter().map(|s| s.hull().start()).collect();
    for (i, stretch) in row.stretches.iter_mut().enumerate() {
        let from = stretch.hull().end();
        let to = starts.get(i + 1).map_or(from + OVERTIME, |next| (from + OVERTIME).min(*next));
        stretch.overtime.extend(Span::new(from, to));
    }
    if let Some(cap) = &mut row.job_cap {
        *cap += OVERTIME;
    }
    Ok(())
}

pub(super) fn less_unbooked(parts: &mut Parts) -> Result<(), Refused> {
    let mut changed = false;
    for reserve in parts.modes.iter_mut().filter_map(|m| m.reserve.as_mut()) {
        if reserve.unbooked > Minutes::ZERO {
            reserve.unbooked = Minutes::new((reserve.unbooked.get() - 60).max(0));
            changed = true;
        }
    }
    if changed { Ok(()) } else { Err(Refused::Nothing("no mode asks for unbooked hours")) }
}
