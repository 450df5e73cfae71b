//! Codes and names of things, for files and paper.

use crate::clock::Day;
use crate::id::{PersonId, TaskId};
use crate::model::Aim;
use crate::report::Report;
use crate::rest::Finding;
use crate::time::{Minutes, Moment};

impl Report<'_> {
    /// Code of a person.
    #[must_use]
    pub fn person_code(&self, person: PersonId) -> String {
        self.problem().people[person].code.clone()
    }

    /// Code of a task.
    #[must_use]
    pub fn task_code(&self, task: TaskId) -> String {
        self.problem().tasks[task].code.clone()
    }

    /// Codes of the units of a set of which only some may be out at once.
    #[must_use]
    pub fn set_units(&self, set: usize) -> Vec<String> {
        let units = self.problem().never_together.get(set).map_or(&[][..], |row| row.units.as_slice());
        units.iter().map(|u| self.problem().units[*u].code.clone()).collect()
    }

    /// A moment as RFC 3339 with the ship's offset then.
    #[must_use]
    pub fn stamp(&self, moment: Moment) -> String {
        self.problem().clock.stamp(moment).to_rfc3339()
    }

    /// A date as `2027-03-01`.
    #[must_use]
    pub fn date(&self, day: Day) -> String {
        self.problem().clock.date(day).to_string()
    }

    /// The rule a finding of `person` breaks.
    #[must_use]
    pub fn rule_name(&self, person: PersonId, finding: &Finding) -> String {
        let set = &self.problem().rule_sets[self.problem().people[person].rest];
        set.rules.get(finding.rule).map_or_else(|| set.code.clone(), |rule| format!("{}: {}", rule.code, rule.kind.text()))
    }
}

/// A set of rest rules with the people under it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RulesInUse {
    /// Code of the set.
    pub code: String,
    /// Name of the set.
    pub name: String,
    /// Where the set is from.
    pub source: String,
    /// Shortest gap that is rest.
    pub min_rest: Minutes,
    /// Number and words of each reading.
    pub readings: Vec<(String, String)>,
    /// Who is under it, in table order.
    pub people: Vec<PersonId>,
}

impl Report<'_> {
    /// The rule sets that somebody is under, in table order.
    #[must_use]
    pub fn rules_in_use(&self) -> Vec<RulesInUse> {
        let problem = self.problem();
        let sets = problem.rule_sets.pairs().map(|(id, set)| RulesInUse {
            code: set.code.clone(),
            name: set.name.clone(),
            source: set.source.clone(),
            min_rest: set.min_rest,
            readings: set.reading_lines().into_iter().map(|(number, text)| (number.to_owned(), text)).collect(),
            people: problem.people.pairs().filter(|(_, p)| p.rest == id).map(|(p, _)| p).collect(),
        });
        sets.filter(|set| !set.people.is_empty()).collect()
    }
}

/// Name of an aim in files.
#[must_use]
pub const fn aim_name(aim: Aim) -> &'static str {
    match aim {
        Aim::Shortfall => "shortfall",
        Aim::Lateness => "lateness",
        Aim::NightAndOvertime => "night-and-overtime",
        Aim::Told => "told",
        Aim::Finish => "finish",
        Aim::Fairness => "fairness",
        Aim::Steady => "steady",
    }
}
