//! What is shown of a check of hours, for the outputs.

use crate::hours::check::{Of, PersonHours};
use crate::hours::departure::{Departing, FirstWatch};
use crate::model::Problem;
use crate::verify::Asked;

/// A check of hours with what it was made from.
pub struct View<'a> {
    /// The job.
    pub problem: &'a Problem,
    /// Which hours were looked at.
    pub of: Of,
    /// The plan that was looked at, if any.
    pub plan: Option<PlanLooked<'a>>,
    /// Everybody, in table order.
    pub people: &'a [PersonHours],
    /// The first watches after leaving port, where that was asked.
    pub departing: Option<&'a Departing>,
}

/// A plan that was looked at.
pub struct PlanLooked<'a> {
    /// What the plan is called: the name of its folder.
    pub name: &'a str,
    /// Its hours.
    pub asked: &'a Asked<'a>,
    /// How many hard rules other than those of rest it breaks, now that the job folder is as it is.
    pub breaches: usize,
}

impl View<'_> {
    /// Whether anything was found that needs attention: a finding, a plan that no longer keeps its rules, a first
    /// watch at departure that is not rested, rest that was owed and not given in time, or a
    /// plan whose rest cannot be checked for want of a record.
    #[must_use]
    pub fn needs_attention(&self) -> bool {
        let found = self.people.iter().any(|p| !p.findings.is_empty());
        let breached = self.plan.as_ref().is_some_and(|plan| plan.breaches > 0);
        let unknown = self.plan.is_some() && self.people.iter().any(|p| p.uncheckable_before.is_some_and(|b| b > self.problem.start));
        let tired = self.departing.is_some_and(|departing| !departing.watches.iter().all(FirstWatch::rested));
        let owing = self.people.iter().any(PersonHours::overdue);
        found || owing || breached || unknown || tired
    }
}
