//! Two ways to plan a generated job for a comparison of finishes.

use turnto::model::{Aim, Problem, Stand, When};
use turnto::rest::RuleSet;

/// Which rules hold.
#[derive(Clone, Copy, PartialEq, Eq, clap::ValueEnum, Debug)]
pub(crate) enum Variant {
    /// All.
    Full,
    /// Without rest rules, reserve, daily caps, open covers and movable duties.
    Bare,
}

impl Variant {
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Full => "full",
            Self::Bare => "bare",
        }
    }

    /// The job planned for its finish, without overtime.
    ///
    /// # Errors
    /// What the model objects to, in words.
    pub(crate) fn of(self, problem: Problem) -> Result<Problem, String> {
        let mut parts = problem.into_parts();
        parts.aims = vec![Aim::Shortfall, Aim::Finish];
        for person in &mut parts.people {
            for stretch in &mut person.stretches {
                stretch.overtime.clear();
            }
        }
        if self == Self::Bare {
            for set in &mut parts.rule_sets {
                let mut bare = set.clone().into_parts();
                bare.rules.clear();
                *set = RuleSet::new(bare).map_err(|errors| format!("{errors:?}"))?;
            }
            for person in &mut parts.people {
                person.job_cap = None;
            }
            for mode in &mut parts.modes {
                mode.reserve = None;
            }
            for turn in &mut parts.turns {
                if let Stand::Open(people) = &turn.stand {
                    turn.stand = Stand::Fixed(people[0]);
                }
            }
            let fixed = parts.duties.iter().filter(|d| matches!(d.when, When::Fixed(_))).cloned().collect();
            parts.duties = fixed;
        }
        Problem::new(parts).map_err(|defects| format!("{defects:?}"))
    }
}
