//! Which findings an emergency excuses.

use crate::hours::group::same_matter;
use crate::rest::Finding;
use crate::time::Span;

/// Whether `finding` is there only because of an emergency: its window shares time with one, and without any
/// emergency there is none of the same rule in the same matter. `calm` are the findings without emergencies.
///
/// The finding stays, and the rest is owed (STCW Code A-VIII/1 paragraphs 4 and 8, MLC 2006 Standard A2.3 paragraph
/// 14: adequate rest as soon as practicable).
pub(super) fn excused(finding: &Finding, emergencies: &[Span], calm: &[Finding]) -> bool {
    emergencies.iter().any(|span| span.overlaps(finding.window))
        && !calm.iter().any(|other| other.rule == finding.rule && same_matter(finding.window, other.window))
}
