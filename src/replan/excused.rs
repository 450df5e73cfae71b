//! Who is let off a duty after a call-out, or after work that went on for longer than told: rest comes before a talk that may
//! be missed.

use crate::id::PersonId;
use crate::model::{Parts, When};
use crate::replan::Effects;
use crate::rest::{Timeline, judge};
use crate::time::{Minutes, Moment, Span, union};

/// How long before and after a moment call-outs and duties are looked at.
const NEAR: Minutes = Minutes::hours(48);

/// Takes people off the fixed duties of the next two days that may be left, where attending one would break a rest rule that
/// the record alone keeps; says so.
pub(super) fn excuse(parts: &mut Parts, effects: &Effects, start: Moment, notes: &mut Vec<String>) {
    let called = |person| effects.calls.iter().any(|(p, r)| *p == person && r.span.end() + NEAR > start);
    let people: Vec<PersonId> = parts.people.ids().collect();
    for person in people {
        let mut work: Vec<Span> = parts.people[person].recorded.iter().map(|r| r.span).collect();
        let mut duties: Vec<_> = parts.duties.pairs().filter_map(|(id, duty)| Some((fixed(duty.when)?, id))).collect();
        duties.sort_unstable();
        for (span, id) in duties.into_iter().filter(|(span, _)| span.start() < start + NEAR) {
            let duty = &parts.duties[id];
            if !duty.leavable || !duty.who.contains(&person) {
                continue;
            }
            let with: Vec<Span> = union(work.iter().copied().chain([span]).collect());
            if breaks(parts, person, &with, &union(work.clone()), span) {
                let (who, at) = (&parts.people[person].code, parts.clock.day_time(span.start()));
                let why =
                    if called(person) { "rest is owed after the call-out" } else { "else there is too little rest after what was worked" };
                notes.push(format!("{who} is let off {} at {at}: {why}.", duty.code));
                parts.duties[id].who.retain(|p| *p != person);
            } else {
                work = with;
            }
        }
    }
}

fn fixed(when: When) -> Option<Span> {
    match when {
        When::Fixed(span) => Some(span),
        When::Movable { .. } => None,
    }
}

/// Whether work `with` a duty breaks a rule around it that the record without it keeps.
fn breaks(parts: &Parts, person: PersonId, with: &[Span], without: &[Span], duty: Span) -> bool {
    let row = &parts.people[person];
    let set = &parts.rule_sets[row.rest];
    let named = union(row.breaks.clone());
    let timeline = |work: &[Span]| Timeline::new(set, work.to_vec(), &named).on_clock(parts.clock.clone());
    !judge(set, &timeline(with), &timeline(without), duty).counting.is_empty()
}
