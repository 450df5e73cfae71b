//! Who is let off a duty after a call-out, or after work that went on for longer than told, and who cannot go on with a task
//! then: rest comes before a talk that may be missed, and before a part that may be done again.

use crate::id::{PersonId, TaskId};
use crate::model::{Parts, Stand, Stop, Task, UnderWay, When};
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

/// Who is at a part, or at a task that may not stop, and cannot bring it to its end: beside the record, and watches and duties
/// that nobody else can have, it would break a rest rule.
pub(super) fn spent(parts: &Parts, start: Moment) -> Vec<(TaskId, PersonId)> {
    let mut spent = Vec::new();
    for (id, task) in parts.tasks.pairs().filter(|(_, task)| !matches!(task.stop, Stop::Any { .. })) {
        let Some(under_way) = &task.under_way else { continue };
        let rest = goes_on(parts, task, under_way, start);
        let (Some(first), Some(last)) = (rest.first(), rest.last()) else { continue };
        for person in &under_way.team {
            let watches = parts.turns.iter().filter(|turn| turn.stand == Stand::Fixed(*person)).map(|turn| turn.span);
            let duties = parts.duties.iter().filter(|duty| !duty.leavable && duty.who.contains(person)).filter_map(|duty| fixed(duty.when));
            let ahead = watches.chain(duties).filter(|span| span.end() > start);
            let without = union(parts.people[*person].recorded.iter().map(|r| r.span).chain(ahead).collect());
            let with = union(without.iter().copied().chain(rest.iter().copied()).collect());
            if breaks(parts, *person, &with, &without, first.hull(*last)) {
                spent.push((id, *person));
                break;
            }
        }
    }
    spent
}

/// The work that is left of a spell under way, taken up at `start`, without the breaks that pause it.
pub(super) fn goes_on(parts: &Parts, task: &Task, under_way: &UnderWay, start: Moment) -> Vec<Span> {
    let breaks = under_way.team.iter().filter(|_| task.pauses).flat_map(|person| parts.people[*person].breaks.iter().copied());
    let (mut from, mut left) = (start, parts.grid.length(under_way.left));
    let mut pieces = Vec::new();
    for pause in union(breaks.collect()).into_iter().filter(|pause| pause.end() > start) {
        let until = pause.start().min(from + left);
        if let Some(piece) = Span::new(from, until) {
            pieces.push(piece);
            left = left - piece.length();
        }
        if left <= Minutes::ZERO {
            return pieces;
        }
        from = from.max(pause.end());
    }
    pieces.extend(Span::of(from, left));
    pieces
}

/// When a duty is done, where that leaves no choice.
pub(super) fn fixed(when: When) -> Option<Span> {
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
