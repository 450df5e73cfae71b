//! What a plan makes wait for what, and how much comes after each task.

use super::critical::Pair;
use super::state::State;
use crate::id::{Id, IdVec, PersonId, TaskId, ToolId};

/// Why one task comes right before another.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Why {
    /// The job asks for it.
    Job,
    /// Both want it, and it is there for one after the other.
    Tool(ToolId),
    Person(PersonId),
}

/// A task right before another, or right after it.
#[derive(Clone, Copy, Debug)]
struct Link {
    task: TaskId,
    /// Slots between the end of the one and the start of the other, at least.
    lag: usize,
    why: Why,
}

/// When a task is at work, from its first start to its last end: sorted, a queue.
type Stay = (usize, usize, TaskId);

/// What comes right before and right after each task of a plan.
#[derive(Debug)]
pub(super) struct Links<'s, 'g> {
    state: &'s State<'g>,
    before: IdVec<TaskId, Vec<Link>>,
    after: IdVec<TaskId, Vec<Link>>,
    /// Slots of work of the longest chain that comes after each task.
    tail: IdVec<TaskId, usize>,
}

impl<'s, 'g> Links<'s, 'g> {
    /// Those of a plan with every task in it.
    pub(super) fn of(state: &'s State<'g>) -> Self {
        let ground = state.ground;
        let job = |(task, lag): &(TaskId, usize)| Link { task: *task, lag: *lag, why: Why::Job };
        let mut links = Self {
            state,
            before: ground.tasks.iter().map(|t| t.after.iter().map(job).collect()).collect(),
            after: ground.tasks.iter().map(|t| t.before.iter().map(job).collect()).collect(),
            tail: IdVec::filled(0, ground.tasks.len()),
        };
        let stay = |t: TaskId| Some((state.start_of(t)?, state.end_of(t)?, t));
        let mut stays: Vec<Stay> = ground.tasks.ids().filter_map(stay).collect();
        stays.sort_unstable();
        let mut tools: IdVec<ToolId, Vec<Stay>> = IdVec::filled(Vec::new(), ground.tools.len());
        let mut people: IdVec<PersonId, Vec<Stay>> = IdVec::filled(Vec::new(), ground.people.len());
        for stay in &stays {
            for (tool, _) in &ground.tasks[stay.2].tools {
                tools[*tool].push(*stay);
            }
        }
        for (task, chunks) in state.placed.pairs() {
            for chunk in chunks {
                for person in &chunk.team {
                    people[*person].push((chunk.start(), chunk.end(), task));
                }
            }
        }
        for (tool, queue) in tools.pairs() {
            if ground.is_single(tool) {
                links.stand(queue, Why::Tool(tool));
            } else {
                links.give_way(queue, Why::Tool(tool));
            }
        }
        for (person, queue) in people.iter_mut().enumerate() {
            queue.sort_unstable();
            links.stand(queue, Why::Person(PersonId::from_index(person)));
        }
        // What comes after a task starts after it, but for what somebody does between two spells of another.
        for (_, _, task) in stays.iter().rev() {
            links.tail[*task] = links.comes_after(&links.after[*task], |_| true);
        }
        links
    }

    /// A queue of which there is one at a time.
    fn stand(&mut self, queue: &[Stay], why: Why) {
        for pair in queue.windows(2) {
            self.link(pair[0].2, pair[1].2, why);
        }
    }

    /// Of several at a time, those that started as soon as others had ended.
    fn give_way(&mut self, queue: &[Stay], why: Why) {
        for (start, _, second) in queue {
            for (_, _, first) in queue.iter().filter(|(_, end, _)| end == start) {
                self.link(*first, *second, why);
            }
        }
    }

    fn link(&mut self, first: TaskId, second: TaskId, why: Why) {
        if first != second {
            self.after[first].push(Link { task: second, lag: 0, why });
            self.before[second].push(Link { task: first, lag: 0, why });
        }
    }

    fn length(&self, task: TaskId) -> usize {
        self.state.ground.tasks[task].length
    }

    /// Slots of work of the longest chain that begins with one of those `links` that count.
    fn comes_after(&self, links: &[Link], counts: impl Fn(&Link) -> bool) -> usize {
        links.iter().filter(|l| counts(l)).map(|l| l.lag + self.length(l.task) + self.tail[l.task]).max().unwrap_or(0)
    }

    /// The earliest start after those of `links` that count.
    fn comes_before(&self, links: &[Link], counts: impl Fn(&Link) -> bool) -> usize {
        links.iter().filter(|l| counts(l)).map(|l| l.lag + self.state.end_of(l.task).unwrap_or(0)).max().unwrap_or(0)
    }

    /// Where the longest chain through either of a pair would end, were the second done before the first and everything
    /// else in the order it is in (Balas and Vazacopoulos, "Guided local search with shifting bottleneck for job shop
    /// scheduling", 1998; from memory). Exact where every task may be at work at all hours and there is one of every tool; else
    /// a hint.
    pub(super) fn swapped(&self, pair: &Pair) -> usize {
        let (first, second) = (pair.first, pair.second);
        let both = |why: Why| self.after[first].iter().any(|l| l.task == second && l.why == why);
        let but = |task: TaskId| move |link: &Link| link.task != task;
        // What the first waited for where both want the same, the second waits for then; and what came after the
        // second there comes after the first.
        let start = self.comes_before(&self.before[second], but(first)).max(self.comes_before(&self.before[first], |l| both(l.why)));
        let end = start + self.length(second);
        let later = end.max(self.comes_before(&self.before[first], |_| true)) + self.length(first);
        let tail = self.comes_after(&self.after[first], but(second)).max(self.comes_after(&self.after[second], |l| both(l.why)));
        let after = self.comes_after(&self.after[second], |l| !both(l.why));
        (end + after).max(later + tail)
    }
}

#[cfg(test)]
pub(super) mod tests;
