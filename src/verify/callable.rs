//! Rule 9a: who can be called at a slot.
//!
//! A person is callable at a slot when aboard for the whole call; not then on watch, in a duty that may not
//! be left, in a spell that may not stop there, or at recorded work that reaches past the start, such as another
//! call; when no watch, no such duty and no such work of his begins during the call; and when the call breaks no
//! rest rule that would not be broken without it. After a call only watches, duties that may not be left and recorded
//! work are still done.

use crate::id::PersonId;
use crate::model::Stop;
use crate::rest::{Finding, RuleSet, Timeline, findings};
use crate::time::{Minutes, Span};
use crate::verify::facts::Facts;
use crate::verify::rest;

/// Everything about one person that does not depend on the slot.
pub(super) struct Candidate<'a> {
    facts: &'a Facts<'a>,
    id: PersonId,
    /// Own turns and unleavable duties, to the end of the layout, and what of the record keeps from tasks, in time order.
    fixed: Vec<Span>,
    /// Spells that may not stop at any slot, pauses included.
    bound: Vec<Span>,
    /// How far from a call a rest rule can look.
    reach: Minutes,
}

impl<'a> Candidate<'a> {
    /// Gathers what is known of `id`.
    pub(super) fn new(facts: &'a Facts<'a>, id: PersonId) -> Self {
        let own = &facts.people[id];
        let turns = own.turns.iter().map(|(_, span)| *span);
        let duties = own.attended.iter().filter(|(duty, _)| !facts.problem.duties[*duty].leavable).map(|(_, span)| *span);
        let recorded = own.recorded.iter().filter(|(kind, _)| kind.keeps_from_tasks()).map(|(_, span)| *span);
        let mut fixed: Vec<Span> = turns.chain(duties).chain(recorded).collect();
        fixed.sort_unstable();
        let bound = own.spells.iter().filter(|s| match facts.problem.tasks[s.task].stop {
            Stop::Any { .. } => false,
            Stop::Parts(_) | Stop::Never => true,
        });
        Self { facts, id, fixed, bound: bound.map(|s| s.span()).collect(), reach: reach(rest::set(facts, id)) }
    }

    /// Whether the person can be called for `call`, at the slot `slot` in which it starts.
    pub(super) fn callable(&self, slot: Span, call: Span) -> bool {
        let busy = |spans: &[Span]| spans.iter().any(|span| span.overlaps(slot));
        let begins = self.fixed.iter().any(|span| call.contains(span.start()));
        let aboard = self.facts.problem.people[self.id].aboard(call);
        aboard && !busy(&self.fixed) && !busy(&self.bound) && !begins && self.new_finding(call).is_none()
    }

    /// The first rest rule, and the window, that the call breaks and that holds without it.
    pub(super) fn new_finding(&self, call: Span) -> Option<Finding> {
        let near = |span: &Span| call.start() - self.reach < span.end() && span.start() < call.end() + self.reach;
        let done = self.facts.people[self.id].occupied.iter().filter_map(|span| Span::new(span.start(), span.end().min(call.start())));
        let still_to_do = self.fixed.iter().copied().filter(|span| call.end() <= span.start());
        let without: Vec<Span> = done.chain(still_to_do).filter(near).collect();
        let mut with = without.clone();
        with.push(call);
        let set = rest::set(self.facts, self.id);
        let found = |work: Vec<Span>| findings(set, &self.timeline(work), call);
        let new = found(with);
        if new.is_empty() {
            return None;
        }
        let old = found(without);
        new.into_iter().find(|finding| !old.iter().any(|before| finding.no_worse_than(before)))
    }

    fn timeline(&self, work: Vec<Span>) -> Timeline {
        rest::timeline(self.facts, self.id, work)
    }
}

/// The longest window of a set and two days more: work further from a call than that cannot matter to any
/// window that touches the call. Rules without windows of fixed length look at unbroken work only, which
/// ends at the first rest.
fn reach(set: &RuleSet) -> Minutes {
    let longest = set.rules.iter().filter_map(|rule| rule.kind.window()).max().unwrap_or(Minutes::DAY);
    longest + Minutes::DAY + Minutes::DAY
}
