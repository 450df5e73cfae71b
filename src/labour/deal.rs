//! Deals out what classes fill to tasks and people.

use std::collections::BTreeMap;

use super::answer::{Share, minutes};
use super::build::Built;
use super::columns::Fill;
use super::ground::{Ground, int};
use crate::clock::Day;
use crate::id::{PersonId, TaskId};
use crate::lp::Solution;

/// Thousandths of a slot by task, position, person and day.
pub(super) struct Shared(BTreeMap<(TaskId, usize, PersonId, Day), i64>);

impl Shared {
    /// Deals out what each class fills to the tasks that need it, period by period: to each position first
    /// those who have filled it before, and nobody twice in one task as long as there are others.
    pub(super) fn new(ground: &Ground<'_>, built: &Built, solution: &Solution) -> Self {
        let mut shared: BTreeMap<(TaskId, usize, PersonId, Day), i64> = BTreeMap::new();
        let mut habit: BTreeMap<(TaskId, usize, usize), i64> = BTreeMap::new();
        let mut left: BTreeMap<Fill, i64> = built.columns.fills.iter().map(|(f, col)| (f.clone(), solution.thousandths(*col))).collect();
        let mut work: BTreeMap<usize, Vec<(TaskId, i64)>> = BTreeMap::new();
        for (task, columns) in built.columns.work.pairs() {
            for (k, col) in columns {
                let slots = solution.thousandths(*col);
                if slots > 0 {
                    work.entry(*k).or_default().push((task, slots));
                }
            }
        }
        for (k, tasks) in work {
            for (task, slots) in tasks {
                let data = &ground.problem.tasks[task];
                let mut used: BTreeMap<usize, i64> = BTreeMap::new();
                for (position, need) in data.needs.iter().enumerate() {
                    let pool = ground.pool(k, *need, data.emergency);
                    let mut wanted = slots;
                    // Nobody twice first, then anybody.
                    for apart in [true, false] {
                        let mut classes = pool.clone();
                        classes.sort_by_key(|q| std::cmp::Reverse(habit.get(&(task, position, *q)).copied().unwrap_or(0)));
                        for class in classes {
                            let fill = Fill { period: k, pool: pool.clone(), class };
                            // The one class of a pool gives all that is wanted.
                            let rest = left.entry(fill).or_insert(if pool.len() == 1 { i64::MAX } else { 0 });
                            let taken = used.get(&class).copied().unwrap_or(0);
                            let room = if apart { ground.classes[class].size() * slots - taken } else { i64::MAX };
                            let part = wanted.min(*rest).min(room.max(0));
                            if part > 0 {
                                *rest -= part;
                                wanted -= part;
                                *used.entry(class).or_default() += part;
                                *habit.entry((task, position, class)).or_default() += part;
                                deal(&mut shared, ground, (task, position, class, ground.periods[k].day), part);
                            }
                        }
                    }
                }
            }
        }
        Self(shared)
    }

    /// By task, day and person, in minutes.
    pub(super) fn list(&self, ground: &Ground<'_>) -> Vec<Share> {
        let mut sums: BTreeMap<(TaskId, Day, PersonId), i64> = BTreeMap::new();
        for ((task, _, person, day), part) in &self.0 {
            *sums.entry((*task, *day, *person)).or_default() += part;
        }
        let shares = sums.into_iter().map(|((task, day, person), part)| Share { task, day, person, minutes: minutes(ground, part) });
        shares.filter(|share| !share.minutes.is_zero()).collect()
    }

    /// Who fills most of each position, dearest first, nobody twice.
    pub(super) fn team(&self, ground: &Ground<'_>, task: TaskId) -> Vec<Option<PersonId>> {
        let first = (task, 0, crate::id::Id::from_index(0), Day::new(i32::MIN));
        let mut sums: BTreeMap<(usize, PersonId), i64> = BTreeMap::new();
        for ((_, position, person, _), part) in self.0.range(first..).take_while(|((t, ..), _)| *t == task) {
            *sums.entry((*position, *person)).or_default() += part;
        }
        let mut order: Vec<(std::cmp::Reverse<i64>, usize, PersonId)> =
            sums.into_iter().map(|((position, person), part)| (std::cmp::Reverse(part), position, person)).collect();
        order.sort_unstable();
        let mut team = vec![None; ground.problem.tasks[task].needs.len()];
        for (_, position, person) in order {
            if team[position].is_none() && !team.contains(&Some(person)) {
                team[position] = Some(person);
            }
        }
        team
    }
}

/// Gives the members of a class equal parts of `part`, what is over by index.
fn deal(
    shared: &mut BTreeMap<(TaskId, usize, PersonId, Day), i64>,
    ground: &Ground<'_>,
    (task, position, class, day): (TaskId, usize, usize, Day),
    part: i64,
) {
    let members = &ground.classes[class].members;
    let (each, over) = (part / int(members.len()), part % int(members.len()));
    for (i, person) in members.iter().enumerate() {
        let mine = each + i64::from(int(i) < over);
        if mine > 0 {
            *shared.entry((task, position, *person, day)).or_default() += mine;
        }
    }
}
