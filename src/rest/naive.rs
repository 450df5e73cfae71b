//! The naive checker: every rule in every window, one after the other.

use crate::rest::shown::Shown;
use crate::rest::{Finding, RuleSet, Timeline, Unknown, Windows};
use crate::time::{Minutes, Moment, Span};

/// All findings of `set` in windows that share time with `scope`, sorted by rule, then window.
///
/// Time outside the timeline's work is rest, also before the record begins; [`uncheckable_before`] tries it
/// as work. Where a rule looks at every minute, a run of windows that break it one minute after the other
/// is one finding, in its first worst window.
#[must_use]
pub fn findings(set: &RuleSet, timeline: &Timeline, scope: Span) -> Vec<Finding> {
    let shown = Shown::of(set, timeline);
    let mut all: Vec<Finding> = Vec::new();
    for (number, rule) in set.rules.iter().enumerate() {
        let limit = rule.kind.limit();
        let mut found: Vec<Finding> = Vec::new();
        let measured_all = match &shown {
            Some(shown) => shown.measured(scope, |line, scope| rule.kind.measure(line, scope)),
            None => rule.kind.measure(timeline, scope),
        };
        for measured in measured_all {
            if !limit.passes(measured.found) {
                found.push(Finding { rule: number, window: measured.window, found: measured.found, required: limit.required() });
            }
        }
        if rule.kind.windows() == Some(Windows::EveryMinute) {
            found = worst_of_runs(&found);
        }
        all.extend(found);
    }
    all
}

/// The first worst finding of each run of windows that start a minute apart.
fn worst_of_runs(findings: &[Finding]) -> Vec<Finding> {
    let next_minute = |a: &Finding, b: &Finding| a.window.start() + Minutes::new(1) == b.window.start();
    let worst = |run: &[Finding]| run.iter().copied().reduce(|a, b| if b.shortfall() > a.shortfall() { b } else { a });
    findings.chunk_by(next_minute).filter_map(worst).collect()
}

/// Findings of a plan, parted by whether the record alone already has them.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Judged {
    /// They count against the plan.
    pub counting: Vec<Finding>,
    /// The record alone has them, and no milder: same rule, same window, at least as large a shortfall.
    pub recorded: Vec<Finding>,
}

/// Parts the findings of `timeline` by those of `recorded`, the timeline of recorded work only.
#[must_use]
pub fn judge(set: &RuleSet, timeline: &Timeline, recorded: &Timeline, scope: Span) -> Judged {
    let before = findings(set, recorded, scope);
    let (recorded, counting) =
        findings(set, timeline, scope).into_iter().partition(|finding| before.iter().any(|old| finding.no_worse_than(old)));
    Judged { counting, recorded }
}

/// Up to when findings depend on time that is not known: the end of the last window that reaches back
/// before `known_from` and breaks a rule only if the unknown time was work. `None` where there is no such
/// window in `scope`, or where such time is read as rest.
///
/// `breaks` are the named breaks that `timeline` was made with. With no record at all, `known_from` is the
/// start of the plan.
#[must_use]
pub fn uncheckable_before(set: &RuleSet, timeline: &Timeline, breaks: &[Span], known_from: Moment, scope: Span) -> Option<Moment> {
    if set.readings.unknown == Unknown::Rest {
        return None;
    }
    let longest = set.rules.iter().filter_map(|rule| rule.kind.window()).max().unwrap_or(Minutes::ZERO).max(Minutes::DAY);
    let mut work = timeline.work().to_vec();
    work.extend(Span::new(known_from - longest - longest, known_from));
    let worked = Timeline::new(set, work, breaks).on_clock(timeline.clock().clone());
    let certain = findings(set, timeline, scope);
    let reaches_back = |finding: &Finding| finding.window.start() < known_from && known_from < finding.window.end();
    let is_certain = |finding: &Finding| certain.iter().any(|c| c.rule == finding.rule && c.window == finding.window);
    let doubtful = findings(set, &worked, scope).into_iter().filter(|f| reaches_back(f) && !is_certain(f));
    doubtful.map(|finding| finding.window.end()).max()
}
