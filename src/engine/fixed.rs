//! The work of a person that no task changes: watches, duties and recorded work that reaches past the start, with what
//! they do to rest.

use super::context::attendance;
use super::ground::Ground;
use crate::id::{DutyId, PersonId};
use crate::model::{Duty, OnWatch, When};
use crate::rest::Line;
use crate::time::Span;

/// Watches and duties of one person.
#[derive(Debug)]
pub(super) struct FixedWork {
    /// Turns and duty attendance.
    pub(super) pieces: Vec<Span>,
    /// Own turns, unleavable duties and recorded work to come, by start: what stays after a call.
    pub(super) tail: Vec<Span>,
    /// Recorded work to come that keeps from tasks.
    pub(super) taken: Vec<Span>,
    /// Per working stretch, from the first minute of work or time on hand to the last.
    pub(super) hulls: Vec<Option<Span>>,
    /// All that as the rest rules see it.
    pub(super) line: Line,
    /// Whether the person can do it all: one thing at a time, aboard, rested enough.
    pub(super) legal: bool,
    /// Where there is one thing too many, if that is all that is wrong.
    pub(super) doubled: Vec<Span>,
    /// When duties are done along with an own watch: one at a time.
    along: Vec<Span>,
}

impl FixedWork {
    /// With these turns, and these duties at these times.
    pub(super) fn new(ground: &Ground, person: PersonId, turns: &[Span], duties: &[(DutyId, Span)], end: usize) -> Self {
        let model = &ground.problem.people[person];
        let mut pieces = turns.to_vec();
        let mut tail = turns.to_vec();
        let mut along = Vec::new();
        let mut legal = true;
        for (id, span) in duties {
            let duty = &ground.problem.duties[*id];
            let times = attendance(duty, *span, turns);
            legal &= duty.on_watch != OnWatch::Clash || !turns.iter().any(|t| t.overlaps(*span));
            pieces.extend(&times);
            along.extend(done_along(duty, *span, turns));
            if !duty.leavable {
                tail.extend(&times);
            }
        }
        let taken: Vec<Span> = model.taken_after(ground.problem.start).collect();
        tail.extend(&taken);
        tail.sort_unstable();
        let mut sorted = pieces.clone();
        sorted.sort_unstable();
        along.sort_unstable();
        let doubled: Vec<Span> = sorted.windows(2).chain(along.windows(2)).filter_map(|w| w[0].intersection(w[1])).collect();
        legal &= pieces.iter().all(|p| model.aboard(*p) && !called(ground, person, *p));
        let recorded: Vec<Span> = model.recorded.iter().map(|r| r.span).collect();
        let mut line = ground.line(person, &recorded, &pieces, end);
        let hulls: Vec<Option<Span>> = ground.people[person].ordinary_hulls.iter().map(|o| hull_in(*o, &pieces, None)).collect();
        for hull in hulls.iter().flatten() {
            line.insert_on_hand(*hull);
        }
        let hulls = hulls.into_iter().zip(&model.stretches).map(|(hull, stretch)| {
            // What lies before planning begins joins only once there is work after it.
            let before = model.before.hull.filter(|b| stretch.hull().overlaps(*b));
            match (hull, before) {
                (Some(hull), Some(before)) => {
                    line.insert_on_hand(hull.hull(before));
                    Some(hull.hull(before))
                }
                (hull, before) => hull.or(before),
            }
        });
        let hulls = hulls.collect();
        legal &= line.is_clean();
        let doubled = if legal { doubled } else { Vec::new() };
        Self { pieces, tail, taken, hulls, line, legal: legal && doubled.is_empty(), doubled, along }
    }

    /// Whether the person, who has `turns`, could attend `duty` at `span` too.
    pub(super) fn accepts(&mut self, ground: &Ground, person: PersonId, turns: &[Span], duty: &Duty, span: Span) -> bool {
        let model = &ground.problem.people[person];
        if duty.on_watch == OnWatch::Clash && turns.iter().any(|turn| turn.overlaps(span)) {
            return false;
        }
        if done_along(duty, span, turns).iter().any(|time| self.along.iter().any(|other| other.overlaps(*time))) {
            return false;
        }
        let times = &attendance(duty, span, turns);
        let free = |t: &Span| !self.pieces.iter().any(|p| p.overlaps(*t)) && model.aboard(*t) && !called(ground, person, *t);
        if !self.legal || !times.iter().all(free) {
            return false;
        }
        let mark = self.line.mark();
        for time in times {
            self.line.insert(*time);
        }
        for (ordinary, known) in ground.people[person].ordinary_hulls.iter().zip(&self.hulls) {
            if let Some(hull) = hull_in(*ordinary, times, *known).filter(|h| Some(*h) != *known) {
                self.line.insert_on_hand(hull);
            }
        }
        let accepts = self.line.is_clean();
        self.line.undo(mark);
        accepts
    }
}

/// When a duty is done along with one of the `turns` of who has it.
fn done_along(duty: &Duty, span: Span, turns: &[Span]) -> Vec<Span> {
    let turns = turns.iter().filter(|_| duty.on_watch == OnWatch::DoneOnWatch);
    turns.filter_map(|turn| turn.intersection(span)).collect()
}

/// Whether the person is on a recorded call for some of `span`.
fn called(ground: &Ground, person: PersonId, span: Span) -> bool {
    ground.problem.people[person].called_after(ground.problem.start).any(|call| call.overlaps(span))
}

/// The hull of a stretch that the pieces inside its ordinary hours make, `known` included. (Overtime not yet used
/// does not belong to the working stretch.)
fn hull_in(ordinary: Option<Span>, pieces: &[Span], known: Option<Span>) -> Option<Span> {
    let ordinary = ordinary?;
    pieces.iter().filter_map(|p| p.intersection(ordinary)).chain(known).reduce(Span::hull)
}

/// The fixed duties that `person` attends.
pub(super) fn fixed_duties(ground: &Ground, person: PersonId) -> Vec<(DutyId, Span)> {
    let duties = ground.problem.duties.pairs().filter(|(_, d)| d.who.contains(&person));
    duties
        .filter_map(|(id, d)| match d.when {
            When::Fixed(span) => Some((id, span)),
            When::Movable { .. } => None,
        })
        .collect()
}
