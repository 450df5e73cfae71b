//! What a complete plan is worth, aim by aim.

use super::state::{Chunk, State};
use crate::id::{IdVec, MilestoneId, PersonId, TaskId};
use crate::model::{Aim, Milestone};
use crate::time::Moment;

/// Values of the aims in the problem's order; less is better, the first that differs decides.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Score(pub(super) [i64; AIMS]);

/// Shortfall counts twice (machinery, reserve).
const AIMS: usize = 8;

impl State<'_> {
    /// The slot at which the last task ends.
    pub(super) fn finish(&self) -> usize {
        self.placed.ids().filter_map(|t| self.end_of(t)).max().unwrap_or(0)
    }

    /// Missing units × slots × mode weight (the verifier's figure, from engine slots).
    pub(super) fn machinery_shortfall(&self) -> i64 {
        super::machinery::shortfall(self)
    }

    /// The slot at which the last task of a milestone ends.
    pub(super) fn met(&self, milestone: &Milestone) -> usize {
        milestone.tasks.iter().filter_map(|t| self.end_of(*t)).max().unwrap_or(0)
    }

    /// When each milestone is met.
    pub(super) fn met_at(&self) -> IdVec<MilestoneId, Moment> {
        self.ground.problem.milestones.iter().map(|m| self.moment(self.met(m))).collect()
    }

    /// Weighted minutes late at the milestones.
    pub(super) fn lateness(&self) -> i64 {
        let late = |m: &Milestone| i64::from((self.moment(self.met(m)) - m.due).get().max(0)) * i64::from(m.weight);
        self.ground.problem.milestones.iter().map(late).sum()
    }

    /// Minutes of overtime plus minutes of night work (20:00 to 06:00).
    pub(super) fn night_and_overtime(&self) -> i64 {
        let overtime: i64 = self.people.iter().flat_map(|p| &p.overtime).map(|m| i64::from(*m)).sum();
        let mut night = 0;
        for chunk in self.placed.iter().flatten() {
            let slots: usize = chunk.pieces.iter().map(|(a, b)| self.ground.night.count_range(*a, *b)).sum();
            night += i64::from(self.ground.minutes(slots * chunk.team.len()));
        }
        overtime + night
    }

    /// How unevenly overtime is shared: the sum of squares of each person's overtime in slots, begun slots counted whole.
    fn unfairness(&self) -> i64 {
        let slots = |minutes: i32| i64::from((minutes + self.ground.slot - 1) / self.ground.slot);
        self.people.iter().map(|p| slots(p.overtime.iter().sum())).map(|slots| slots * slots).sum()
    }

    /// Spells of the plan, and people who change between spells of one task.
    fn unsteadiness(&self) -> i64 {
        let new_people = |w: &[Chunk]| w[1].team.iter().filter(|p| !w[0].team.contains(p)).count();
        let of = |(task, chunks): (TaskId, &Vec<Chunk>)| {
            let spells = self.go_on_with_spell(task, chunks).filter(|goes_on| !goes_on).count();
            spells + chunks.windows(2).map(new_people).sum::<usize>()
        };
        i64::try_from(self.placed.pairs().map(of).sum::<usize>()).unwrap_or(i64::MAX)
    }

    /// The score of a complete plan whose machinery and reserve fall short by so much.
    pub(super) fn score(&self, machinery_short: i64, reserve_short: i64) -> Score {
        let mut values = [0; AIMS];
        let mut place = 0;
        let mut push = |value: i64| {
            values[place] = value;
            place += 1;
        };
        for aim in &self.ground.problem.aims {
            match aim {
                Aim::Shortfall => {
                    push(machinery_short);
                    push(reserve_short);
                }
                Aim::Lateness => push(self.lateness()),
                Aim::NightAndOvertime => push(self.night_and_overtime()),
                Aim::Told => push(self.changes_to_told()),
                Aim::Finish => push(i64::try_from(self.finish()).unwrap_or(i64::MAX)),
                Aim::Fairness => push(self.unfairness()),
                Aim::Steady => push(self.unsteadiness()),
            }
        }
        Score(values)
    }

    /// The values of a score as they are given out: the finish in minutes from the start of planning.
    pub(super) fn worth(&self, Score(values): Score) -> Vec<i64> {
        let problem = self.ground.problem;
        let finish = i64::from((self.moment(self.finish()) - problem.start).get());
        let places = problem.aims.iter().flat_map(|aim| std::iter::repeat_n(*aim, if *aim == Aim::Shortfall { 2 } else { 1 }));
        places.zip(values).map(|(aim, value)| if aim == Aim::Finish { finish } else { value }).collect()
    }

    /// A score without what counts only among plans that are as good for people: shares and hand-overs, and what is
    /// less than half an hour of overtime or an hour of what was told.
    pub(super) fn coarse(&self, Score(values): Score) -> [i64; AIMS] {
        let mut coarse = [0; AIMS];
        let mut place = 0;
        for aim in &self.ground.problem.aims {
            let grain = match aim {
                Aim::Shortfall => {
                    coarse[place] = values[place];
                    place += 1;
                    Some(1)
                }
                Aim::Lateness | Aim::Finish => Some(1),
                Aim::NightAndOvertime => Some(30),
                Aim::Told => Some(60),
                Aim::Fairness | Aim::Steady => None,
            };
            coarse[place] = grain.map_or(0, |grain| values[place] / grain);
            place += 1;
        }
        coarse
    }

    /// Slots of people on a task outside ordinary hours, and at night once more.
    pub(super) fn extra_slots(&self, task: TaskId) -> i64 {
        let mut extra = 0;
        for chunk in &self.placed[task] {
            for (a, b) in &chunk.pieces {
                let outside = |p: &PersonId| b - a - self.ground.people[*p].ordinary.count_range(*a, *b);
                extra += chunk.team.iter().map(outside).sum::<usize>() + self.ground.night.count_range(*a, *b) * chunk.team.len();
            }
        }
        i64::try_from(extra).unwrap_or(i64::MAX)
    }
}
