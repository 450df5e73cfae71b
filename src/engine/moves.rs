//! Small changes of what steers a generation.

use std::sync::Arc;

use super::context::Context;
use super::field::{Found, KEY};
use super::roster::starts;
use super::serial::Genes;
use crate::id::{DutyId, PersonId, TaskId, TurnId};
use crate::model::{Stand, When};
use crate::rng::Stream;

/// What contexts may be changed in.
#[derive(Clone, Debug)]
pub(super) struct Freedom {
    pub(super) turns: Vec<TurnId>,
    pub(super) duties: Vec<DutyId>,
    /// Days of people with overtime, and how many slots of it.
    pub(super) overtime: Vec<(PersonId, usize, u16)>,
}

impl Freedom {
    pub(super) fn new(found: &Found) -> Self {
        let ground = found.field.base.ground;
        let problem = ground.problem;
        let turns = problem.turns.pairs().filter(|(_, t)| matches!(&t.stand, Stand::Open(p) if p.len() > 1)).map(|(id, _)| id).collect();
        let duties = problem.duties.pairs().filter(|(_, d)| matches!(d.when, When::Movable { .. })).map(|(id, _)| id).collect();
        let mut overtime = Vec::new();
        let last = found.field.base.end;
        for person in problem.people.ids() {
            let mut slots = vec![0_u16; ground.n_days];
            for s in ground.people[person].overtime.iter().take_while(|s| *s < last) {
                slots[ground.day[s] as usize] += 1;
            }
            overtime.extend(slots.into_iter().enumerate().filter(|(_, n)| *n > 0).map(|(day, n)| (person, day, n)));
        }
        Self { turns, duties, overtime }
    }

    /// A context a little different from `from`; `None` where nothing may be changed. With `overtime`,
    /// evenings are opened and closed too.
    pub(super) fn change(&self, from: &Found, overtime: bool, random: &mut Stream) -> Option<Arc<Context>> {
        let ground = from.field.base.ground;
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
        if let Some(turn) = self.turns.get(pick) {
            let Stand::Open(people) = &ground.problem.turns[*turn].stand else { return None };
            context.turns[*turn] = people[random.below(people.len())];
        } else if let Some(duty) = self.duties.get(pick - self.turns.len()) {
            let starts = starts(ground, &context, *duty, from.field.base.end);
            context.duties[*duty] = *starts.get(random.below(starts.len()))?;
        } else {
            let (person, day, most) = self.overtime[pick - self.turns.len() - self.duties.len()];
            let open = &mut context.overtime[person];
            open[day] = if open[day] == 0 { most } else { u16::try_from(random.below(usize::from(open[day]))).unwrap_or(0) };
            Self::keep_evenings(&mut context, from, person, day, random);
        }
        (context != *from.state.context).then(|| Arc::new(context))
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

    /// Every evening open, for those with a limit the last ones before the plan's end.
    pub(super) fn all_overtime(&self, from: &Found) -> Arc<Context> {
        let mut context = (*from.state.context).clone();
        for (person, day, most) in self.overtime.iter().rev() {
            let open = &mut context.overtime[*person];
            let ground = from.field.base.ground;
            let limit = ground.problem.people[*person].evenings.map_or(usize::MAX, |e| e as usize);
            let free = usize::from(ground.people[*person].evening_before);
            if (*day < free) || open.iter().skip(free).filter(|n| **n > 0).count() < limit {
                open[*day] = *most;
            }
        }
        Arc::new(context)
    }
}

/// Keys and costs a little different from those that led to `from`.
///
/// The rest of the genes is what made `from`, so that everything before the first change comes out as it
/// was. (Keys made anew from the starts would not do: a long task with gaps would take them first.)
pub(super) fn mutate(from: &Found, random: &mut Stream) -> Genes {
    let ground = from.field.base.ground;
    let mut genes = from.genes.clone();
    let tasks: Vec<TaskId> = ground.tasks.ids().collect();
    let late: Vec<TaskId> = tasks.iter().copied().filter(|t| from.state.end_of(*t).is_some_and(|e| e > from.field.latest[*t])).collect();
    let scale = from.field.dearest.max(1);
    let slot = KEY;
    let day = i64::from(24 * 60 / ground.slot.max(1));
    let far = |random: &mut Stream, most: i64| i64::try_from(random.below(usize::try_from(most.max(1)).unwrap_or(1))).unwrap_or(0);
    // Half of the time what changes lies close together in time: a day or so, most often one in which
    // something is late that was not late before it.
    let near: Vec<TaskId> = {
        let pool = if late.is_empty() { &tasks } else { &late };
        let middle = pool.get(random.below(pool.len())).and_then(|t| from.state.start_of(*t)).unwrap_or(0);
        let reach = usize::try_from(day).unwrap_or(48) * (1 + random.below(3)) / 2;
        tasks.iter().copied().filter(|t| from.state.start_of(*t).is_some_and(|s| s <= middle && s + reach > middle)).collect()
    };
    let together = !near.is_empty() && random.chance(500);
    if ground.told.is_some() {
        // What is not as told might be, and the other way round.
        for _ in 0..=random.below(3) {
            let task = tasks[random.below(tasks.len())];
            genes.as_told[task] = !genes.as_told[task];
        }
    }
    for _ in 0..=random.below(4) {
        let pool = if together {
            &near
        } else if !late.is_empty() && random.chance(500) {
            &late
        } else {
            &tasks
        };
        let Some(task) = pool.get(random.below(pool.len())).copied() else { continue };
        match random.below(12) {
            0..=2 => genes.keys[task] -= far(random, day * slot),
            3 => genes.keys[task] += far(random, day * slot),
            4 | 5 => {
                // A segment of what leads to it, all sooner.
                let back = far(random, day * slot);
                let mut at = Some(task);
                for _ in 0..=random.below(5) {
                    let Some(this) = at else { break };
                    genes.keys[this] -= back;
                    at = ground.tasks[this].after.iter().map(|(t, _)| *t).max_by_key(|t| (from.state.end_of(*t), *t));
                }
            }
            6 | 7 => {
                // Everything of about one time in another order.
                let middle = genes.keys[task];
                let reach = far(random, day * slot / 2);
                for other in &tasks {
                    if (genes.keys[*other] - middle).abs() <= reach {
                        genes.keys[*other] = middle - reach + far(random, 2 * reach + 1);
                    }
                }
            }
            8 => {
                // Whoever works on it, others do.
                for person in from.state.placed[task].iter().flat_map(|c| &c.team) {
                    if random.chance(500) {
                        genes.costs[task][*person] = 2 * scale;
                    }
                }
            }
            _ => {
                for cost in genes.costs[task].iter_mut() {
                    *cost = far(random, 2 * scale);
                }
            }
        }
    }
    genes
}
