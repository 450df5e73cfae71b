//! The questions asked of a plan first: when is it ready, is it late, what is short, who breaks rest.

use crate::account::{MilestoneAccount, Shortfall};
use crate::id::{MilestoneId, PersonId};
use crate::report::{ChainLink, Report};
use crate::time::{Minutes, Moment};

/// Answers to the first questions.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Answers {
    /// End of the last task.
    pub finish: Moment,
    /// Before this no plan can finish.
    pub bound: Moment,
    /// How far the finish lies behind the bound; zero where it meets it.
    pub gap: Minutes,
    /// Every milestone, in table order.
    pub milestones: Vec<(MilestoneId, MilestoneAccount)>,
    /// Whether any milestone is late.
    pub late: bool,
    /// What holds the finish.
    pub held_by: HeldBy,
    /// The tasks through which this plan ends when it does, with what each waited for.
    pub waits: Vec<ChainLink>,
    /// Where machinery or reserve falls short.
    pub shortfalls: Vec<Shortfall>,
    /// Whether any mode asks for machines.
    pub machinery_asked: bool,
    /// Whether any mode asks for a reserve.
    pub reserve_asked: bool,
    /// Findings in the record before the plan that are no worse with it, over all people.
    pub findings: usize,
    /// The person with the least rest in any 24 h, if anybody's rest was figured.
    pub least_24h: Option<RestTight>,
    /// The person with the least rest in any 168 h.
    pub least_7d: Option<RestTight>,
    /// The latest moment before which rest cannot be checked for want of a record, and whose it is.
    pub not_checkable_before: Option<(PersonId, Moment)>,
}

/// A tight spot of rest.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct RestTight {
    /// Who.
    pub person: PersonId,
    /// Rest in the window.
    pub rest: Minutes,
    /// Start of the window.
    pub from: Moment,
}

/// What holds the finish.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum HeldBy {
    /// A chain that was proven, first task first.
    Chain(Vec<ChainLink>),
    /// No chain is known; these tasks have no slack by order and waits, by start.
    NoSlack(Vec<crate::id::TaskId>),
}

/// Answers them.
pub(super) fn of(report: &Report<'_>) -> Answers {
    let (problem, account, solved) = (report.problem(), report.account(), report.solved());
    let milestones: Vec<(MilestoneId, MilestoneAccount)> = account.milestones.pairs().map(|(id, m)| (id, *m)).collect();
    let rest = || account.people.pairs().map(|(id, p)| (id, &p.rest));
    Answers {
        finish: account.finish,
        bound: solved.bound,
        gap: (account.finish - solved.bound).max(Minutes::ZERO),
        late: milestones.iter().any(|(_, m)| m.late > Minutes::ZERO),
        milestones,
        held_by: held_by(report),
        waits: super::waited_for(problem, report.plan(), account),
        shortfalls: account.shortfalls.clone(),
        machinery_asked: problem.modes.iter().any(|m| m.needs.iter().any(|(_, n)| *n > 0)),
        reserve_asked: problem
            .modes
            .iter()
            .filter_map(|m| m.reserve.as_ref())
            .any(|r| r.unbooked > Minutes::ZERO || r.kinds.iter().any(|k| k.number > 0)),
        findings: rest().map(|(_, r)| r.recorded_findings.len()).sum(),
        least_24h: rest()
            .filter_map(|(person, r)| Some(RestTight { person, rest: r.least_24h, from: r.least_24h_from? }))
            .min_by_key(|t| (t.rest, t.from, t.person)),
        least_7d: rest()
            .filter_map(|(person, r)| Some(RestTight { person, rest: r.least_7d, from: r.least_7d_from? }))
            .min_by_key(|t| (t.rest, t.from, t.person)),
        not_checkable_before: rest().filter_map(|(person, r)| Some((person, r.not_checkable_before?))).max_by_key(|(p, at)| (*at, *p)),
    }
}

fn held_by(report: &Report<'_>) -> HeldBy {
    if !report.solved().chain.is_empty() {
        return HeldBy::Chain(report.solved().chain.clone());
    }
    let slack = report.slack();
    let mut tight: Vec<_> = slack.pairs().filter(|(_, s)| s.is_zero()).map(|(id, _)| id).collect();
    tight.sort_by_key(|t| (report.account().tasks[*t].start, *t));
    HeldBy::NoSlack(tight)
}
