//! A team for a task at an earlier moment: whoever is in the way is found somebody else for what he does then, and
//! that one in turn, by alternating paths over the spells in the way.
//!
//! What comes of it is a proposal: hours, watches, absence, tools and who is placed before are looked at; rest, caps and
//! the reserve are for the generation that follows to judge.

use super::field::Found;
use super::ground::Shape;
use super::place::Way;
use super::state::Chunk;
use crate::id::{IdVec, PersonId, TaskId};
use crate::rng::Stream;

/// How many moments are tried, from the earliest on.
const MOMENTS: usize = 6;
/// Over how many hand-overs somebody is freed.
const DEPTH: u32 = 3;
/// How many people are looked at in all at one moment.
const LOOKS: u32 = 300;
/// The most spells of one person that are handed over at once.
const SPELLS: usize = 2;

/// Somebody who comes to a task, and for whom.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct HandOver {
    pub(super) task: TaskId,
    /// Who leaves it; nobody where it is the task that is to begin earlier.
    pub(super) from: Option<PersonId>,
    pub(super) to: PersonId,
}

/// One place in the team of one spell.
#[derive(Clone, Copy, Debug)]
struct Place<'f> {
    task: TaskId,
    need: usize,
    pieces: &'f [(usize, usize)],
    /// Who fills it.
    by: Option<PersonId>,
}

impl Place<'_> {
    const fn start(&self) -> usize {
        self.pieces[0].0
    }

    const fn end(&self) -> usize {
        self.pieces[self.pieces.len() - 1].1
    }

    const fn meets(&self, from: usize, to: usize) -> bool {
        self.start() < to && from < self.end()
    }
}

/// The spells placed before a task, and what of them is handed over.
struct Cover<'f, 'g> {
    found: &'f Found<'g>,
    /// Places filled, by who fills them.
    filled: IdVec<PersonId, Vec<Place<'f>>>,
    /// Those handed over: whose, and which of his.
    freed: Vec<(PersonId, usize)>,
    /// Who is taken anew, and from when to when.
    taken: Vec<(PersonId, usize, usize)>,
    overs: Vec<HandOver>,
    looks: u32,
}

/// Who would have to come to which task for `task` to begin earlier than it does in `found`, tasks after it in `order`
/// aside; `None` where that is not found.
pub(super) fn for_task(found: &Found, order: &[TaskId], task: TaskId, random: &mut Stream) -> Option<Vec<HandOver>> {
    let state = &found.state;
    let row = &state.ground.tasks[task];
    let (from, _) = state.window(task, Way::Forward);
    let start = state.start_of(task)?;
    if row.needs.is_empty() || row.start.is_some() || from >= start {
        return None;
    }
    let before: Vec<TaskId> = order.iter().copied().take_while(|t| *t != task).collect();
    let ends = before.iter().flat_map(|t| &state.placed[*t]).map(Chunk::end).filter(|end| *end > from);
    let open = |slot: usize| found.field.alone.teams(task).next(slot).filter(|slot| *slot < start);
    let mut moments: Vec<usize> = ends.chain([from]).filter_map(open).collect();
    moments.sort_unstable();
    moments.dedup();
    let mut cover = Cover::of(found, &before);
    moments.into_iter().take(MOMENTS).find_map(|at| {
        let pieces = pieces(found, task, at)?;
        let (first, last) = (pieces[0].0, pieces[pieces.len() - 1].1);
        let free = state.allowed[task].has_range(first, last) && tools_free(found, &before, task, first, last);
        (free && cover.team(task, &pieces, random)).then(|| std::mem::take(&mut cover.overs))
    })
}

/// The first spell of a task that begins at `at`, as long as people's hours go.
fn pieces(found: &Found, task: TaskId, at: usize) -> Option<Vec<(usize, usize)>> {
    let row = &found.state.ground.tasks[task];
    let run = found.field.alone.run(task, at);
    let length = match &row.shape {
        Shape::Chunks(lengths) => lengths[0],
        Shape::Any(min) if run >= (*min).min(row.length) => row.length.min(run),
        Shape::Any(_) => row.length,
    };
    if run >= length {
        return Some(vec![(at, at + length)]);
    }
    found.field.base.paused(task, at, length).into_iter().next()
}

/// Whether what is placed before leaves a task its tools.
fn tools_free(found: &Found, before: &[TaskId], task: TaskId, first: usize, last: usize) -> bool {
    let ground = found.state.ground;
    ground.tasks[task].tools.iter().all(|(tool, number)| {
        let used = |other: &TaskId| ground.tasks[*other].tools.iter().find(|(t, _)| t == tool).map(|(_, n)| (*other, *n));
        let others: Vec<(TaskId, u16)> = before.iter().filter_map(used).collect();
        let at = |slot: usize, other: TaskId| found.state.placed[other].iter().any(|c| c.start() <= slot && slot < c.end());
        let in_use = |slot: usize| others.iter().filter(|(other, _)| at(slot, *other)).map(|(_, n)| *n).sum::<u16>();
        (first..last).all(|slot| in_use(slot) + number <= found.field.base.tools[*tool][slot])
    })
}

impl<'f, 'g> Cover<'f, 'g> {
    fn of(found: &'f Found<'g>, before: &[TaskId]) -> Self {
        let mut filled = IdVec::filled(Vec::new(), found.state.people.len());
        for task in before {
            for chunk in &found.state.placed[*task] {
                for (need, person) in chunk.team.iter().enumerate() {
                    filled[*person].push(Place { task: *task, need, pieces: &chunk.pieces, by: Some(*person) });
                }
            }
        }
        Self { found, filled, freed: Vec::new(), taken: Vec::new(), overs: Vec::new(), looks: LOOKS }
    }

    /// Whether everybody is found for a spell; `overs` says who.
    fn team(&mut self, task: TaskId, pieces: &[(usize, usize)], random: &mut Stream) -> bool {
        (self.freed, self.taken, self.overs, self.looks) = (Vec::new(), Vec::new(), Vec::new(), LOOKS);
        let needs = self.found.state.ground.tasks[task].needs.len();
        (0..needs).all(|need| self.fill(Place { task, need, pieces, by: None }, DEPTH, random))
    }

    /// Finds somebody for a place, if need be somebody who hands over what he does then, over at most `depth` hand-overs.
    fn fill(&mut self, place: Place, depth: u32, random: &mut Stream) -> bool {
        let holders = &self.found.state.ground.tasks[place.task].needs[place.need].holders;
        let turn = random.below(holders.len());
        let mut busy: Vec<(PersonId, Vec<usize>)> = Vec::new();
        for person in holders[turn..].iter().chain(&holders[..turn]) {
            if self.looks == 0 {
                return false;
            }
            self.looks -= 1;
            if place.by == Some(*person) || !self.in_hours(*person, place.pieces) || self.is_taken(*person, place) {
                continue;
            }
            let in_the_way = self.in_the_way(*person, place);
            if in_the_way.is_empty() {
                self.take(*person, place);
                return true;
            }
            busy.push((*person, in_the_way));
        }
        depth > 0 && busy.into_iter().any(|(person, in_the_way)| self.make_way(person, place, &in_the_way, depth - 1, random))
    }

    /// Gives a place to somebody who hands over all that is in the way; takes all back where that cannot be.
    fn make_way(&mut self, person: PersonId, place: Place, in_the_way: &[usize], depth: u32, random: &mut Stream) -> bool {
        let own: Vec<Place<'f>> = in_the_way.iter().map(|i| self.filled[person][*i]).collect();
        if own.len() > SPELLS || !own.iter().all(|place| self.may_go(place.task)) {
            return false;
        }
        let (taken, freed, overs) = (self.taken.len(), self.freed.len(), self.overs.len());
        self.take(person, place);
        self.freed.extend(in_the_way.iter().map(|i| (person, *i)));
        if own.into_iter().all(|place| self.fill(place, depth, random)) {
            return true;
        }
        self.taken.truncate(taken);
        self.freed.truncate(freed);
        self.overs.truncate(overs);
        false
    }

    fn take(&mut self, person: PersonId, place: Place) {
        self.taken.push((person, place.start(), place.end()));
        self.overs.push(HandOver { task: place.task, from: place.by, to: person });
    }

    /// Whether watches, duties, absence and hours let a person work on all pieces.
    fn in_hours(&self, person: PersonId, pieces: &[(usize, usize)]) -> bool {
        let base = &self.found.field.base.people[person];
        let run = |(from, to): &(usize, usize)| usize::from(base.run[*from]) >= to - from;
        pieces.iter().all(run) && !base.busy.meets_range(pieces[0].0, pieces[pieces.len() - 1].1)
    }

    fn is_taken(&self, person: PersonId, place: Place) -> bool {
        self.taken.iter().any(|(other, from, to)| *other == person && place.meets(*from, *to))
    }

    /// Which of the places a person fills, and has not handed over, are at the time of another.
    fn in_the_way(&self, person: PersonId, place: Place) -> Vec<usize> {
        let stays = |(which, own): &(usize, &Place)| own.meets(place.start(), place.end()) && !self.freed.contains(&(person, *which));
        self.filled[person].iter().enumerate().filter(stays).map(|(which, _)| which).collect()
    }

    /// Whether one person of a task may be another: not where its team is known, nor where it goes on in later spells.
    fn may_go(&self, task: TaskId) -> bool {
        let row = &self.found.state.ground.tasks[task];
        self.found.state.placed[task].len() == 1 && row.start.is_none() && row.under_way.is_none()
    }
}

#[cfg(test)]
mod tests;
