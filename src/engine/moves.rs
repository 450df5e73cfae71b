//! Small changes of what steers a generation.

use std::sync::Arc;

use super::critical;
use super::cross::Course;
use super::field::Found;
use super::freedom::Freedom;
use super::ground::Shape;
use super::make_way;
use super::order;
use super::place::Way;
use super::serial::{Genes, differ};
use super::team::{BARRED, Costs};
use crate::id::{Id, PersonId, TaskId};
use crate::rng::Stream;

/// How many changes in a thousand take a part of another plan over, where there is overtime.
const CROSSED: usize = 300;
/// How often a change that changes nothing is changed again.
const TRIES: u32 = 8;
/// The most steps of one change.
const STEPS: usize = 3;
/// How many steps in a thousand also change whether overtime is used for a task.
const EVENINGS: usize = 250;
/// How many steps in a thousand let a task wait where machines are short, or let one that waits wait no longer.
const WAITING: usize = 300;
/// How many steps in a thousand, shared by the tasks, let a task wait, have shorter spells or keep somebody off it: what
/// helps here and there, and where it does not is in the way.
const RARE: usize = 1000;
/// How many steps in a thousand begin at a task that waited and costs something.
const FOCUS: usize = 800;
/// How many begin, where there is no overtime, at a task on the chain that decides the finish.
const CRITICAL: usize = 600;
/// How many of those change it against the task right before it there, and not against another in its way.
const DIRECT: usize = 500;
/// How many steps in a thousand, where there is no overtime, have a task begin earlier by having others make way for it.
const WAY: usize = 400;
/// So long before a task could start does work of others keep its people from it, for they have to rest.
const REACH: i32 = 10 * 60;

/// Genes a little different from those that led to `from`, and leading elsewhere, unless that is hard to find.
///
/// Tasks keep the order in which they were placed, so that everything before the first change comes out as it was.
/// Nothing is taken over from the own best plan of `island`.
pub(super) fn mutate(island: usize, from: &Found, freedom: &Freedom, random: &mut Stream) -> Genes {
    let mut change = Change::new(from, freedom, random);
    if change.order.is_empty() {
        return change.genes;
    }
    let others = freedom.courses.len().saturating_sub(1);
    if others > 0 && random.chance(CROSSED) {
        let number = random.below(others);
        change.cross(&freedom.courses[number + usize::from(number >= island)], random);
        if differ(&change.genes, from) {
            return change.genes;
        }
    }
    for _ in 0..TRIES {
        for _ in 0..=random.below(STEPS) {
            change.step(random);
        }
        if differ(&change.genes, from) {
            break;
        }
    }
    change.genes
}

/// A change in the making.
struct Change<'f, 'g> {
    from: &'f Found<'g>,
    /// The order in which tasks are to be placed.
    order: Vec<TaskId>,
    genes: Genes,
    /// Tasks that cost energy and waited for somebody or something.
    waited: Vec<TaskId>,
    /// Tasks for which overtime is used.
    late_at_work: Vec<TaskId>,
    /// Whether machines are short.
    short: bool,
    /// Tasks that wait though they could begin.
    held: Vec<TaskId>,
    /// The chain that decides the finish, where there is no overtime.
    critical: Vec<critical::Pair>,
}

impl<'f, 'g> Change<'f, 'g> {
    fn new(from: &'f Found<'g>, freedom: &Freedom, random: &mut Stream) -> Self {
        let ground = from.field.base.ground;
        let waited = ground.tasks.ids().filter(|t| from.field.energy_of(&from.state, *t) > 0 && waited(from, *t));
        let met = from.distance == 0;
        let held = ground.tasks.ids().filter(|t| from.genes.tasks[*t].from > 0).collect();
        let late_at_work = ground.tasks.ids().filter(|t| met && from.state.extra_slots(*t) > 0).collect();
        let critical = if freedom.has_overtime() { Vec::new() } else { critical::pairs(from, random) };
        Self {
            from,
            order: from.sequence.clone(),
            genes: from.genes.clone(),
            waited: waited.collect(),
            late_at_work,
            short: from.machines_short(),
            held,
            critical,
        }
    }

    /// Takes over a part of another plan.
    fn cross(&mut self, other: &Course, random: &mut Stream) {
        let own = Course { order: std::mem::take(&mut self.order), genes: self.genes.clone() };
        Course { order: self.order, genes: self.genes } = own.crossed(other, random);
        self.genes.keep(&self.order);
    }

    fn step(&mut self, random: &mut Stream) {
        let ground = self.from.field.base.ground;
        let tied = self.tied(random);
        let task = if let Some(pair) = tied {
            pair.second
        } else if !self.waited.is_empty() && random.chance(FOCUS) {
            self.waited[random.below(self.waited.len())]
        } else {
            self.order[random.below(self.order.len())]
        };
        let ways = !self.critical.is_empty() && !ground.people.is_empty();
        if ways && random.chance(WAY) && self.make_way(task, random) {
            return;
        }
        if ground.told.is_some() {
            // What is not as told might be, and the other way round.
            for _ in 0..=random.below(3) {
                let task = self.order[random.below(self.order.len())];
                let told = &mut self.genes.tasks[task].as_told;
                *told = !*told;
            }
        }
        if !self.late_at_work.is_empty() && random.chance(EVENINGS) {
            // Overtime only for what needs it.
            if random.chance(700) {
                let task = self.late_at_work[random.below(self.late_at_work.len())];
                self.costs_of(task).overtime = false;
            } else {
                self.costs_of(task).overtime = true;
            }
        }
        let rare = (RARE / self.order.len()).min(WAITING);
        if random.chance(rare) {
            self.split(random);
        }
        if random.chance(rare) {
            self.bar(random);
        }
        // Where nobody is needed everything is best begun as soon as can be.
        let wait = match ground.people.is_empty() {
            _ if self.short => WAITING,
            true => 0,
            false => rare,
        };
        if random.chance(wait) {
            self.wait(random);
        } else if !self.held.is_empty() && random.chance(WAITING) {
            let task = self.held[random.below(self.held.len())];
            self.genes.tasks[task].from = 0;
        }
        let direct = tied.filter(|_| random.chance(DIRECT)).map(|pair| (pair.first, pair.person));
        let other = direct.or_else(|| {
            let in_the_way = self.in_the_way(task);
            (!in_the_way.is_empty()).then(|| in_the_way[random.below(in_the_way.len())])
        });
        match (random.below(20), other) {
            (0..=6, Some((other, _))) => order::pull(&mut self.order, ground, task, other),
            (7..=9, Some((other, _))) => order::push(&mut self.order, ground, other, task),
            (10..=12, Some((other, Some(person)))) => {
                let who = if random.chance(700) { other } else { task };
                self.costs_of(who).of[person] = 2 * self.from.field.dearest.max(1);
            }
            (13, Some((other, _))) => self.costs(other, random),
            (14 | 15, _) => self.costs(task, random),
            (16 | 17, _) => self.shuffle(task, random),
            _ => self.shift(task, random),
        }
        self.genes.keep(&self.order);
    }

    /// Has a task begin earlier, where others can do what is in the way; whether that was found.
    fn make_way(&mut self, task: TaskId, random: &mut Stream) -> bool {
        let Some(overs) = make_way::for_task(self.from, &self.order, task, random) else { return false };
        let dear = 2 * self.from.field.dearest.max(1);
        for over in overs {
            let costs = &mut self.costs_of(over.task).of;
            if let Some(from) = over.from {
                costs[from] = costs[from].max(dear);
            }
            costs[over.to] = 0;
        }
        self.genes.keep(&self.order);
        true
    }

    /// Who is wanted for a task, to be changed.
    fn costs_of(&mut self, task: TaskId) -> &mut Costs {
        Arc::make_mut(&mut self.genes.tasks[task].costs)
    }

    /// Two tasks one after the other on the chain that decides the finish, now and then, where there is one.
    fn tied(&self, random: &mut Stream) -> Option<critical::Pair> {
        let critical = &self.critical;
        (!critical.is_empty() && random.chance(CRITICAL)).then(|| critical[random.below(critical.len())])
    }

    /// Shorter spells of a task that may stop anywhere, or as long as can be again: others may go on with it while who
    /// began it has a break or a watch.
    fn split(&mut self, random: &mut Stream) {
        let tasks = &self.from.field.base.ground.tasks;
        let least = |t: TaskId| match tasks[t].shape {
            Shape::Any(least) if least < tasks[t].length => Some(least),
            Shape::Any(_) | Shape::Chunks(_) => None,
        };
        let some: Vec<(TaskId, usize)> = self.order.iter().filter_map(|t| Some((*t, least(*t)?))).collect();
        let Some((task, least)) = some.get(random.below(some.len())).copied() else { return };
        let longest = &mut self.genes.tasks[task].longest;
        let short = *longest < tasks[task].length;
        *longest = if short && random.chance(500) { usize::MAX } else { least + random.below(tasks[task].length - least) };
    }

    /// Keeps one of those who do a task off it, though it may begin later then, or lets all do it again.
    fn bar(&mut self, random: &mut Stream) {
        let task = self.order[random.below(self.order.len())];
        let team: Vec<PersonId> = self.from.state.placed[task].iter().flat_map(|c| &c.team).copied().collect();
        let dearest = self.from.field.dearest.max(1);
        let costs = &mut self.costs_of(task).of;
        let barred = costs.pairs().filter(|(_, c)| **c == BARRED).count();
        if barred > 0 && random.chance(500) {
            costs.iter_mut().filter(|c| **c == BARRED).for_each(|c| *c = dearest);
        } else if !team.is_empty() {
            costs[team[random.below(team.len())]] = BARRED;
        }
    }

    /// Lets a task wait, most often one that takes a machine out, and until another is able again or, where machines are
    /// short, until another mode asks for others; or no longer.
    fn wait(&mut self, random: &mut Stream) {
        let ground = self.from.field.base.ground;
        let problem = ground.problem;
        let choose = |wanted: &dyn Fn(TaskId) -> bool, random: &mut Stream| {
            let some: Vec<TaskId> = self.order.iter().copied().filter(|t| wanted(*t)).collect();
            if some.is_empty() { None } else { Some(some[random.below(some.len())]) }
        };
        let takers = |t: TaskId| !problem.tasks[t].takes_out.is_empty();
        let task = choose(&takers, random).filter(|_| random.chance(700)).or_else(|| choose(&|_| true, random));
        let Some(task) = task else { return };
        let givers = |t: TaskId| t != task && !problem.tasks[t].hands_back.is_empty();
        let given = choose(&givers, random).and_then(|t| self.from.state.end_of(t));
        let able = problem.units.iter().flat_map(|u| &u.out).map(|out| ground.slot_from(out.end()));
        let modes = problem.mode_spans.iter().filter(|_| self.short).map(|(span, _)| ground.slot_from(span.end()));
        let back: Vec<usize> = given.into_iter().chain(able).chain(modes).collect();
        let until = match back.get(random.below(2 * back.len())) {
            Some(end) => *end,
            None => self.from.state.start_of(task).unwrap_or(0) + 1 + random.below(2 * ground.slots_a_day()),
        };
        let waits = self.genes.tasks[task].from > 0;
        self.genes.tasks[task].from = if waits && random.chance(500) { 0 } else { until };
    }

    /// Tasks placed before `task` that have somebody or something it wants, between the earliest it could start and its
    /// end, each with the person.
    fn in_the_way(&self, task: TaskId) -> Vec<(TaskId, Option<PersonId>)> {
        let state = &self.from.state;
        let ground = state.ground;
        let row = &ground.tasks[task];
        let (from, _) = state.window(task, Way::Forward);
        let from = from.saturating_sub(usize::try_from(REACH / ground.slot).unwrap_or(0));
        let to = state.end_of(task).unwrap_or(0);
        let mut found = Vec::new();
        for other in &self.order {
            if *other == task {
                break;
            }
            if ground.ancestors[task].has(Id::index(*other)) {
                continue;
            }
            let tool = ground.tasks[*other].tools.iter().any(|(tool, _)| row.tools.iter().any(|(t, _)| t == tool));
            for chunk in state.placed[*other].iter().filter(|c| c.start() < to && c.end() > from) {
                if tool {
                    found.push((*other, None));
                }
                let wanted = chunk.team.iter().filter(|p| row.needs.iter().any(|n| n.holders.contains(p)));
                found.extend(wanted.map(|p| (*other, Some(*p))));
            }
        }
        found
    }

    /// Other people wanted for a task.
    fn costs(&mut self, task: TaskId, random: &mut Stream) {
        let scale = usize::try_from(2 * self.from.field.dearest.max(1)).unwrap_or(1);
        for cost in self.costs_of(task).of.iter_mut() {
            *cost = i64::try_from(random.below(scale)).unwrap_or(0);
        }
    }

    /// Everything of about one place in another order.
    fn shuffle(&mut self, task: TaskId, random: &mut Stream) {
        let (at, reach) = (order::place_of(&self.order, task), 2 + random.below(6));
        let (from, to) = (at.saturating_sub(reach), (at + reach).min(self.order.len()));
        for place in (from + 1..to).rev() {
            self.order.swap(place, from + random.below(place - from + 1));
        }
    }

    /// A task somewhere else, not far away.
    fn shift(&mut self, task: TaskId, random: &mut Stream) {
        let at = order::place_of(&self.order, task);
        let reach = 1 + random.below(self.order.len().min(20));
        let to = if random.chance(600) { at.saturating_sub(reach) } else { (at + reach).min(self.order.len() - 1) };
        let task = self.order.remove(at);
        self.order.insert(to, task);
    }
}

/// Whether a task waited for somebody or something before it began, or between its spells.
fn waited(from: &Found, task: TaskId) -> bool {
    let state = &from.state;
    let (earliest, _) = state.window(task, Way::Forward);
    let (Some(start), Some(end)) = (state.start_of(task), state.end_of(task)) else { return false };
    let teams = from.field.alone.teams(task);
    teams.count_range(earliest.min(start), end) > state.ground.tasks[task].length
}
