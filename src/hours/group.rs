//! Findings that are one and the same matter, put together: windows a few hours apart find the same short rest.

use crate::hours::check::{Drill, Emergency};
use crate::hours::cure::{self, Cure};
use crate::id::PersonId;
use crate::model::Problem;
use crate::rest::{Finding, Timeline};
use crate::time::{Minutes, Span};

/// Where a finding comes from.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Origin {
    /// The record alone has it, no milder.
    Recorded,
    /// Only what is planned makes it, or makes it worse.
    Planned,
}

/// Findings of one rule and one origin whose windows share at least half their time with that of the worst of them: what
/// has happened does not hide what is still ahead.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Group {
    /// The worst, and the first of those.
    pub worst: Finding,
    /// Where they come from.
    pub origin: Origin,
    /// How many other windows find the same.
    pub others: usize,
    /// The smallest change of one piece of work that would cure all of them.
    pub cure: Option<Cure>,
    /// Drills in the worst window.
    pub drills: Vec<Span>,
    /// The emergency without which there would be no finding, if its reason is on record. The finding stays.
    pub excuse: Option<Emergency>,
}

/// Puts findings of one person together and looks for cures; by start of the worst window, then rule. `record` are the
/// findings of the record alone.
pub(super) fn groups(
    problem: &Problem,
    person: PersonId,
    findings: &[(Finding, Origin)],
    record: &[Finding],
    timeline: &Timeline,
    drills: &[Drill],
) -> Vec<Group> {
    let mut left: Vec<(Finding, Origin)> = findings.to_vec();
    // Worst first; of equally bad ones the earliest.
    left.sort_by_key(|(f, _)| (f.rule, -f.shortfall(), f.window));
    let mut groups = Vec::new();
    while let Some((worst, origin)) = left.first().copied() {
        let before = left.len();
        left.retain(|(f, from)| (f.rule, *from) != (worst.rule, origin) || !same_matter(worst.window, f.window));
        let others = before - left.len() - 1;
        let drills = drills.iter().map(|d| d.span).filter(|span| span.overlaps(worst.window)).collect();
        // No change ahead cures what the record has already.
        let stands = if origin == Origin::Planned { record } else { &[] };
        let cure = cure::find(problem, person, &worst, origin, stands, timeline);
        groups.push(Group { worst, origin, others, cure, drills, excuse: None });
    }
    groups.sort_by_key(|group| (group.worst.window, group.origin, group.worst.rule));
    groups
}

/// Whether two windows share at least half the time of the first.
pub(super) fn same_matter(window: Span, other: Span) -> bool {
    let shared = window.intersection(other).map_or(Minutes::ZERO, Span::length);
    shared + shared >= window.length()
}
