//! A verified plan as people ask about it: day by day, in totals, and as a stable document.
//!
//! Pure views: nothing is decided here, nothing is formatted for paper, nothing is read or written.
//! [`wire`] holds the types of `plan.json`; [`read_plan`] goes the other way.

mod aims;
mod answers;
mod bars;
mod day;
mod hours;
mod hull;
mod lines;
mod machinery;
mod names;
mod read;
mod reserve;
mod slack;
mod solved;
mod totals;
mod waits;
pub mod wire;
mod write;

pub use aims::{Proven, aim_values};
pub use answers::{Answers, HeldBy, RestTight};
pub use day::{ByItself, Caution, DaySheet, DutyRow, PersonDay, ToolRow, Waiting, WatchRow};
pub use lines::{Act, Line, Next, TaskLine, tools_of};
pub use machinery::{MachineryDay, MachineryLine, Trip};
pub use names::{RulesInUse, aim_name};
pub use read::{Heading, PlanProblem, read_heading, read_plan};
pub use reserve::{KindPeriod, Part, Period, ReserveDay, Weakest};
pub use solved::{AimValue, Amount, ChainLink, CutBy, ModelHour, ModelHours, Solved};
pub use totals::{CompetenceDay, PersonTotal, PhaseTotal, TaskTotal, Totals};
pub use waits::waited_for;

use crate::account::Account;
use crate::clock::Day;
use crate::id::{IdVec, PersonId};
use crate::model::{Problem, Stretch};
use crate::plan::Plan;
use crate::time::{Moment, Span};
use crate::verify::Verified;

/// A plan with everything that is known about it.
#[derive(Clone, Debug)]
pub struct Report<'a> {
    problem: &'a Problem,
    plan: &'a Plan,
    account: &'a Account,
    solved: &'a Solved,
    hulls: IdVec<PersonId, Vec<(&'a Stretch, Span)>>,
    lines: IdVec<PersonId, Vec<Line>>,
}

impl<'a> Report<'a> {
    /// The report on a verified plan of `problem`.
    #[must_use]
    pub fn new(problem: &'a Problem, verified: &'a Verified, solved: &'a Solved) -> Self {
        let (plan, account) = (verified.plan(), verified.account());
        let hulls: IdVec<PersonId, Vec<_>> = problem.people.ids().map(|p| hull::of(problem, plan, account, p)).collect();
        let lines = problem.people.ids().map(|p| lines::of(problem, plan, account, p, &hulls[p])).collect();
        Self { problem, plan, account, solved, hulls, lines }
    }

    /// The problem.
    #[must_use]
    pub const fn problem(&self) -> &'a Problem {
        self.problem
    }

    /// The plan.
    #[must_use]
    pub const fn plan(&self) -> &'a Plan {
        self.plan
    }

    /// Its figures.
    #[must_use]
    pub const fn account(&self) -> &'a Account {
        self.account
    }

    /// How it came about.
    #[must_use]
    pub const fn solved(&self) -> &'a Solved {
        self.solved
    }

    /// Everything a person does from the start of the plan to its end, in time order, without gap.
    #[must_use]
    pub fn lines(&self, person: PersonId) -> &[Line] {
        &self.lines[person]
    }

    /// From turning to until knocking off, for each working stretch of a ship's day with anything to do but a watch: nobody
    /// knocks off in the middle of one.
    #[must_use]
    pub fn at_work(&self, person: PersonId, day: Day) -> Vec<Span> {
        let works = |act: &Act| match act {
            Act::Task(_) | Act::Duty(_) | Act::Call | Act::OnHand => true,
            Act::Watch(..) | Act::Break | Act::Gap | Act::Rest | Act::Away => false,
        };
        let by_day = |hull: Span| {
            let lines = self.lines[person].iter().filter(|line| works(&line.act));
            let begun = Span::new(hull.start(), self.problem.start);
            lines.filter_map(|line| line.span.intersection(hull)).chain(begun).reduce(Span::hull)
        };
        self.hulls[person].iter().filter(|(stretch, _)| stretch.day == day).filter_map(|(_, hull)| by_day(*hull)).collect()
    }

    /// `span` cut where the person turns to or knocks off, with whether each part lies in between.
    pub(crate) fn split_at_work(&self, person: PersonId, span: Span) -> Vec<(Span, bool)> {
        let hulls: Vec<Span> = self.hulls[person].iter().map(|(_, hull)| *hull).collect();
        let inside = hulls.iter().filter_map(|hull| hull.intersection(span)).map(|part| (part, true));
        let outside = span.without(&hulls).into_iter().map(|part| (part, false));
        let mut parts: Vec<(Span, bool)> = inside.chain(outside).collect();
        parts.sort_unstable();
        parts
    }

    /// From the start of the plan to its end.
    ///
    /// # Panics
    /// If the account ends before the problem starts, which no verified plan does.
    #[must_use]
    pub fn span(&self) -> Span {
        Span::new(self.problem.start, self.account.end).expect("a plan ends after it starts")
    }

    /// The ship's days the plan touches, in order.
    pub fn days(&self) -> impl Iterator<Item = Day> + use<> {
        self.problem.days(self.account.end)
    }

    /// The sheet of one of those days.
    #[must_use]
    pub fn sheet(&self, day: Day) -> DaySheet {
        day::sheet(self, day)
    }

    /// The questions asked first, answered.
    #[must_use]
    pub fn answers(&self) -> Answers {
        answers::of(self)
    }

    /// Sums over the whole plan.
    #[must_use]
    pub fn totals(&self) -> Totals {
        totals::of(self)
    }

    /// The document written as `plan.json`.
    #[must_use]
    pub fn wire(&self) -> wire::PlanFile {
        write::plan_file(self)
    }

    /// Whether something in the plan needs attention: a milestone missed, machinery or reserve short, a
    /// finding in the record, rest that cannot be checked yet, or a search cut by a time cap or a signal.
    #[must_use]
    pub fn needs_attention(&self) -> bool {
        let answers = self.answers();
        let cut = match self.solved.cut_by {
            CutBy::Nothing | CutBy::Work => false,
            CutBy::Time | CutBy::Signal => true,
        };
        answers.late || !self.account.shortfalls.is_empty() || answers.findings > 0 || answers.not_checkable_before.is_some() || cut
    }

    /// The end of the plan.
    #[must_use]
    pub const fn end(&self) -> Moment {
        self.account.end
    }
}
