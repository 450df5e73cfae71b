//! What may be changed before tasks are placed: watches, movable duties, evenings.

use std::sync::Arc;

use super::context::Context;
use super::cross::Course;
use super::field::{Field, Found};
use super::roster::starts;
use crate::id::{DutyId, PersonId, TurnId};
use crate::model::Stand;
use crate::rng::Stream;

/// What contexts may be changed in.
#[derive(Clone, Debug)]
pub(super) struct Freedom {
    pub(super) turns: Vec<TurnId>,
    pub(super) duties: Vec<DutyId>,
    /// Days of people with overtime, and how many slots of it.
    pub(super) overtime: Vec<(PersonId, usize, u16)>,
    /// Plans to take parts over from: the best of each island, then what former starts led to.
    pub(super) courses: Vec<Course>,
}

/// Which evenings are opened at first where somebody may work on so many of them and no more.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Evenings {
    /// The last before the end of the plan.
    Last,
    /// The first.
    First,
    /// The first and the last in turn.
    Ends,
    /// Those around the middle.
    Middle,
}

impl Evenings {
    /// Another choice for each of four islands.
    pub(super) const fn of(island: usize) -> Self {
        [Self::Last, Self::First, Self::Ends, Self::Middle][island % 4]
    }

    /// Days up to `last`, by this the sooner opened the less it is.
    const fn place(self, day: usize, last: usize) -> usize {
        match self {
            Self::Last => last - day,
            Self::First => day,
            Self::Ends if 2 * day > last => 2 * (last - day) + 1,
            Self::Ends => 2 * day,
            Self::Middle => day.abs_diff(last / 2),
        }
    }
}

impl Freedom {
    pub(super) fn new(field: &Field) -> Self {
        let ground = field.base.ground;
        let problem = ground.problem;
        let turns = problem.turns.pairs().filter(|(_, turn)| turn.stand.is_open()).map(|(id, _)| id).collect();
        let duties = problem.duties.pairs().filter(|(_, duty)| duty.when.is_open()).map(|(id, _)| id).collect();
        let mut overtime = Vec::new();
        let last = field.base.end;
        for person in problem.people.ids() {
            let mut slots = vec![0_u16; ground.n_days];
            for s in ground.people[person].overtime.iter().take_while(|s| *s < last) {
                slots[ground.day[s] as usize] += 1;
            }
            overtime.extend(slots.into_iter().enumerate().filter(|(_, n)| *n > 0).map(|(day, n)| (person, day, n)));
        }
        Self { turns, duties, overtime, courses: Vec::new() }
    }

    /// Whether there is overtime that could be used. Where there is none, tasks end late only by their order and by who
    /// does them.
    pub(super) const fn has_overtime(&self) -> bool {
        !self.overtime.is_empty()
    }

    /// A context a little different from `from`; `None` where nothing may be changed. With `overtime`,
    /// evenings are opened and closed too.
    pub(super) fn change(&self, from: &Found, overtime: bool, random: &mut Stream) -> Option<Arc<Context>> {
        let mut context = (*from.state.context).clone();
        let choices = self.turns.len() + self.duties.len() + if overtime { self.overtime.len() } else { 0 };
        if choices == 0 {
            return None;
        }
        let mut pick = random.below(choices);
        // Overtime in use is what there is to gain: look at it more often than at what is closed.
        let used: Vec<usize> = (0..self.overtime.len())
            .filter(|i| {
                let (person, day, _) = self.overtime[*i];
                overtime && from.state.people[person].overtime[day] > 0
            })
            .collect();
        if !used.is_empty() && random.chance(500) {
            pick = self.turns.len() + self.duties.len() + used[random.below(used.len())];
        }
        if pick < self.turns.len() + self.duties.len() {
            self.choose(&mut context, &from.field, pick, random)?;
        } else {
            let (person, day, most) = self.overtime[pick - self.turns.len() - self.duties.len()];
            let open = &mut context.overtime[person];
            open[day] = if open[day] == 0 { most } else { u16::try_from(random.below(usize::from(open[day]))).unwrap_or(0) };
            Self::keep_evenings(&mut context, from, person, day, random);
        }
        (context != *from.state.context).then(|| Arc::new(context))
    }

    /// Chooses anew who stands a turn or when a duty is done: the one numbered `pick` of those that leave a choice.
    fn choose(&self, context: &mut Context, field: &Field, pick: usize, random: &mut Stream) -> Option<()> {
        let ground = field.base.ground;
        if let Some(turn) = self.turns.get(pick) {
            let Stand::Open(people) = &ground.problem.turns[*turn].stand else { return None };
            context.turns[*turn] = people[random.below(people.len())];
        } else {
            let duty = *self.duties.get(pick - self.turns.len())?;
            let starts = starts(ground, context, duty, field.base.end);
            context.duties[duty] = *starts.get(random.below(starts.len()))?;
        }
        Some(())
    }

    /// The context of `field` with a few watches and duties chosen anew; `None` where they leave no choice.
    pub(super) fn others(&self, field: &Field, random: &mut Stream) -> Option<Arc<Context>> {
        let mut context = (*field.base.context).clone();
        for _ in 0..=random.below(3) {
            self.choose(&mut context, field, random.below(self.turns.len() + self.duties.len()), random)?;
        }
        (context != *field.base.context).then(|| Arc::new(context))
    }

    /// Closes other evenings of a person who has too many open.
    fn keep_evenings(context: &mut Context, from: &Found, person: PersonId, keep: usize, random: &mut Stream) {
        let ground = from.field.base.ground;
        let Some(most) = ground.problem.people[person].evenings else { return };
        let open = &mut context.overtime[person];
        let counts = |day: usize| day > 0 || !ground.people[person].evening_before;
        loop {
            let days: Vec<usize> = (0..open.len()).filter(|d| open[*d] > 0 && *d != keep && counts(*d)).collect();
            let kept = usize::from(open[keep] > 0 && counts(keep));
            if days.len() + kept <= most as usize || days.is_empty() {
                break;
            }
            open[days[random.below(days.len())]] = 0;
        }
    }

    /// Every evening open; for those with a limit `evenings`.
    pub(super) fn all_overtime(&self, field: &Field, evenings: Evenings) -> Arc<Context> {
        let mut context = (*field.base.context).clone();
        let last = self.overtime.iter().map(|(_, day, _)| *day).max().unwrap_or(0);
        let mut all = self.overtime.clone();
        all.sort_by_key(|(_, day, _)| evenings.place(*day, last));
        for (person, day, most) in &all {
            let open = &mut context.overtime[*person];
            let ground = field.base.ground;
            let limit = ground.problem.people[*person].evenings.map_or(usize::MAX, |e| e as usize);
            let free = usize::from(ground.people[*person].evening_before);
            if (*day < free) || open.iter().skip(free).filter(|n| **n > 0).count() < limit {
                open[*day] = *most;
            }
        }
        Arc::new(context)
    }
}
