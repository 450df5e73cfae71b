//! The chain of tasks that decides when the last one ends.

use super::field::Found;
use super::ground::Need;
use super::state::State;
use crate::id::{Id, PersonId, TaskId, ToolId};
use crate::rng::Stream;

/// A task that began as soon as another had ended, whose tools or people it wanted.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Pair {
    pub(super) first: TaskId,
    pub(super) second: TaskId,
    /// Who of the first could do the second.
    pub(super) person: Option<PersonId>,
}

/// What two tasks want of which there is no other, so that one has to wait for the other.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Only {
    Tool(ToolId),
    Person(PersonId),
}

/// Such pairs on one chain that leads up to the last end, between whose tasks nobody could have worked on. Where
/// several chains do, one by chance.
pub(super) fn pairs(found: &Found, random: &mut Stream) -> Vec<Pair> {
    chain(found, random).into_iter().flatten().collect()
}

/// Those of the pairs that want something of which there is no other, at the ends of a queue for it. To swap others in a queue
/// ends nothing sooner, nor do the first of the chain or the last, where it begins or ends with a queue (Nowicki and
/// Smutnicki, "A fast taboo search algorithm for the job shop problem", 1996; from memory).
pub(super) fn borders(found: &Found, random: &mut Stream) -> Vec<Pair> {
    let chain = chain(found, random);
    let only: Vec<Option<Only>> = chain.iter().map(|link| link.and_then(|pair| only(&found.state, &pair))).collect();
    // Beyond its ends the chain goes on as if in the same queue.
    let goes_on = |place: usize, beside: Option<usize>| beside.and_then(|b| only.get(b)).is_none_or(|beside| *beside == only[place]);
    let inner = |place: usize| goes_on(place, place.checked_sub(1)) && goes_on(place, Some(place + 1));
    (0..chain.len()).filter(|place| only[*place].is_some() && !inner(*place)).filter_map(|place| chain[place]).collect()
}

/// One chain from the last end back: what of it is a pair, and what the job asks for.
fn chain(found: &Found, random: &mut Stream) -> Vec<Option<Pair>> {
    let state = &found.state;
    let finish = state.finish();
    let last: Vec<TaskId> = state.placed.ids().filter(|t| state.end_of(*t) == Some(finish)).collect();
    let mut links = Vec::new();
    if last.is_empty() {
        return links;
    }
    let mut task = last[random.below(last.len())];
    loop {
        let before = before(found, task);
        if before.is_empty() {
            return links;
        }
        let (next, pair) = before[random.below(before.len())];
        links.push(pair);
        task = next;
    }
}

/// What `task` began right after: what it comes after, and, as a pair, what it shares tools or people with.
fn before(found: &Found, task: TaskId) -> Vec<(TaskId, Option<Pair>)> {
    let state = &found.state;
    let ground = state.ground;
    let Some(start) = state.start_of(task) else { return Vec::new() };
    let teams = found.field.alone.teams(task);
    let up_to = |end: usize| end == start || (end < start && teams.count_range(end, start) == 0);
    let asked = ground.tasks[task].after.iter();
    let mut before: Vec<(TaskId, Option<Pair>)> =
        asked.filter(|(other, lag)| state.end_of(*other).is_some_and(|end| up_to(end + lag))).map(|(other, _)| (*other, None)).collect();
    for other in ground.tasks.ids().filter(|t| *t != task && !ground.ancestors[task].has(Id::index(*t))) {
        if state.end_of(other).is_some_and(up_to) {
            before.extend(shared(state, other, task).map(|pair| (other, Some(pair))));
        }
    }
    before
}

/// The two as a pair, where `second` wants a tool that `first` wants, or somebody who did it.
fn shared(state: &State, first: TaskId, second: TaskId) -> Option<Pair> {
    let (row, other) = (&state.ground.tasks[second], &state.ground.tasks[first]);
    let wanted = |person: &&PersonId| row.needs.iter().any(|n| n.holders.contains(*person));
    let person = state.placed[first].iter().flat_map(|c| &c.team).find(wanted).copied();
    let tool = other.tools.iter().any(|(tool, _)| row.tools.iter().any(|(t, _)| t == tool));
    (tool || person.is_some()).then_some(Pair { first, second, person })
}

/// What both of a pair want of which there is no other: a tool before a person.
fn only(state: &State, pair: &Pair) -> Option<Only> {
    let ground = state.ground;
    let (first, second) = (&ground.tasks[pair.first], &ground.tasks[pair.second]);
    let mut tools = first.tools.iter().map(|(tool, _)| *tool).filter(|tool| ground.is_single(*tool));
    let tool = tools.find(|tool| second.tools.iter().any(|(other, _)| other == tool));
    let mut people = first.needs.iter().filter_map(Need::only);
    let person = people.find(|person| second.needs.iter().any(|need| need.only() == Some(*person)));
    tool.map(Only::Tool).or(person.map(Only::Person))
}

#[cfg(test)]
pub(in crate::engine) mod tests;
