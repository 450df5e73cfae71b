//! The smallest change of one piece of work that cures a finding, found by trying.

use crate::hours::group::{Origin, same_matter};
use crate::id::PersonId;
use crate::model::Problem;
use crate::rest::{Finding, RuleSet, Timeline, findings};
use crate::time::{Minutes, Moment, Slots, Span};

/// A change of one piece of work that cures a finding and makes nothing worse.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Cure {
    /// The piece as it is: unbroken work, whatever it is made of.
    pub piece: Span,
    /// What to do with it.
    pub change: Change,
    /// How much of it falls out.
    pub part: Span,
}

/// What to do with a piece of work.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Change {
    /// Start it then instead.
    StartAt(Moment),
    /// End it then instead.
    EndAt(Moment),
    /// Leave it out.
    LeaveOut,
}

/// Tries, smallest first, to start pieces later, end them earlier, or leave them out, in whole slots. What
/// already happened cannot be changed to cure a finding of the plan. What is found that is no worse than one of `stands` is
/// there in any case.
pub(super) fn find(
    problem: &Problem,
    person: PersonId,
    finding: &Finding,
    origin: Origin,
    stands: &[Finding],
    whole: &Timeline,
) -> Option<Cure> {
    let who = &problem.people[person];
    let set = &problem.rule_sets[who.rest];
    let trial = Trial::new(set, finding, stands, whole);
    let from = match origin {
        Origin::Recorded => Moment::FAR_PAST,
        // What is recorded into the plan tells how far it has come.
        Origin::Planned => who.recorded.iter().map(|r| r.span.end()).fold(problem.start, Moment::max),
    };
    let mut candidates: Vec<Cure> =
        trial.work.iter().filter(|piece| piece.overlaps(finding.window)).flat_map(|piece| changes(problem, *piece)).collect();
    candidates.retain(|cure| cure.part.start() >= from);
    // The least change; of equal ones that of the latest piece, and rather a later start.
    candidates.sort_by_key(|cure| (cure.part.length(), -(cure.piece.start() - Moment::ORIGIN), cure.change));
    candidates.into_iter().find(|cure| trial.cures(cure.part))
}

/// All changes of a piece, on the slot grid.
fn changes(problem: &Problem, piece: Span) -> Vec<Cure> {
    let grid = problem.grid;
    let mut all = Vec::new();
    let mut slot = grid.floor(piece.start()) + Slots::new(1);
    while grid.moment(slot) < piece.end() {
        let moment = grid.moment(slot);
        all.extend(Span::new(piece.start(), moment).map(|part| Cure { piece, change: Change::StartAt(moment), part }));
        all.extend(Span::new(moment, piece.end()).map(|part| Cure { piece, change: Change::EndAt(moment), part }));
        slot = slot + Slots::new(1);
    }
    all.push(Cure { piece, change: Change::LeaveOut, part: piece });
    all
}

/// A finding with all that is needed to try changes: only work near enough to matter is kept.
struct Trial<'a> {
    whole: &'a Timeline,
    set: &'a RuleSet,
    finding: Finding,
    stands: &'a [Finding],
    work: Vec<Span>,
    before: Vec<Finding>,
}

impl<'a> Trial<'a> {
    fn new(set: &'a RuleSet, finding: &Finding, stands: &'a [Finding], whole: &'a Timeline) -> Self {
        let longest = set.rules.iter().filter_map(|rule| rule.kind.window()).max().unwrap_or(Minutes::DAY);
        let reach = longest + Minutes::DAY + Minutes::DAY;
        let window = finding.window;
        let near = |span: &Span| window.start() - reach < span.end() && span.start() < window.end() + reach;
        let work: Vec<Span> = whole.work().iter().copied().filter(near).collect();
        let before = findings(set, &whole.with_work(set, work.clone()), window);
        Self { whole, set, finding: *finding, stands, work, before }
    }

    /// Whether without `part` the matter is settled and no rule is broken by more than before.
    fn cures(&self, part: Span) -> bool {
        let work: Vec<Span> = self.work.iter().flat_map(|piece| piece.without(&[part])).collect();
        let after = findings(self.set, &self.whole.with_work(self.set, work), self.finding.window);
        let open = |f: &Finding| f.rule == self.finding.rule && same_matter(self.finding.window, f.window);
        let settled = !after.iter().any(|f| open(f) && !self.stands.iter().any(|old| f.no_worse_than(old)));
        settled && after.iter().all(|f| f.shortfall() <= worst(&self.before, f.rule))
    }
}

/// By how much a rule is missed at worst; nothing where it is kept.
fn worst(findings: &[Finding], rule: usize) -> Minutes {
    findings.iter().filter(|f| f.rule == rule).map(Finding::shortfall).max().unwrap_or(Minutes::ZERO)
}
