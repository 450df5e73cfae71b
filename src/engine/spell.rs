//! One spell at one time: how long it can be, how breaks cut it, and by whom it is done.

use super::ground::{Need, Shape};
use super::place::{Effort, Way};
use super::state::{Refused, State};
use super::team::Costs;
use crate::bits::Bits;
use crate::id::{PersonId, TaskId};

/// How many teams are tried at one time when the reserve refuses them.
const TEAMS_TRIED: usize = 4;

/// A spell that was looked for and the team found for it.
#[derive(Clone, Debug, Default)]
pub(super) struct Offer {
    pieces: Vec<(usize, usize)>,
    team: Vec<PersonId>,
}

/// A spell that is looked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted<'c> {
    pub(super) task: TaskId,
    /// The slot at which it begins.
    pub(super) at: usize,
    /// How many slots of work it is.
    pub(super) length: usize,
    /// The slot by which it is over.
    pub(super) to: usize,
    pub(super) costs: &'c Costs,
}

impl State<'_> {
    /// For how many slots from `slot` on every need could be filled by somebody, each by the one who can be at work for
    /// longest: no spell without a pause is longer.
    pub(super) fn reach(&self, task: TaskId, slot: usize) -> usize {
        let ground = &self.ground.tasks[task];
        if ground.emergency {
            return usize::MAX;
        }
        let longest = |need: &Need| need.holders.iter().map(|p| self.people[*p].run[slot]).max().unwrap_or(0);
        ground.needs.iter().map(longest).min().map_or(usize::MAX, usize::from)
    }

    /// The most slots, from `least` to the length that is wanted, for which a team exists (fewer slots never lose a team),
    /// which is kept for [`State::try_longest`]; 0 where there is none.
    pub(super) fn longest(&mut self, wanted: Wanted<'_>, least: usize, effort: &mut Effort) -> usize {
        let Wanted { task, at, length: most, to, costs } = wanted;
        // Nobody works on past where the run of everybody ends, unless a break comes first that pauses the spell.
        let reach = self.reach(task, at);
        let most = if reach < usize::from(self.ground.to_break[at]) { most.min(reach) } else { most };
        if most < least {
            return 0;
        }
        let mut fits = |length: usize| {
            let mut can = |pieces: &[(usize, usize)]| {
                let free = self.is_free(task, pieces, to);
                effort.attempts += u64::from(free);
                let fits = free && self.team(task, pieces, costs, &[], &mut effort.room) && self.pause_is_theirs(&effort.room.team, pieces);
                if fits {
                    effort.offer.pieces.clear();
                    effort.offer.pieces.extend_from_slice(pieces);
                    std::mem::swap(&mut effort.offer.team, &mut effort.room.team);
                }
                fits
            };
            (length <= reach && can(&[(at, at + length)])) || self.paused(task, at, length).iter().any(|pieces| can(pieces))
        };
        if fits(most) {
            return most;
        }
        if least == most || !fits(least) {
            return 0;
        }
        let (mut low, mut high) = (least, most - 1);
        while low < high {
            let middle = (low + high).div_ceil(2);
            if fits(middle) { low = middle } else { high = middle - 1 }
        }
        low
    }

    /// Tries a spell without a pause, then paused by each break calendar; says where it ends.
    pub(super) fn try_at(&mut self, wanted: Wanted<'_>, effort: &mut Effort) -> Option<usize> {
        let whole = [(wanted.at, wanted.at + wanted.length)];
        self.try_one(wanted, &whole, effort).or_else(|| self.try_paused(wanted, None, effort))
    }

    /// The same for a length that [`State::longest`] has just found: what fits no team is not tried again, and the team
    /// found is the first.
    pub(super) fn try_longest(&mut self, wanted: Wanted<'_>, effort: &mut Effort) -> Option<usize> {
        let mut offer = std::mem::take(&mut effort.offer);
        std::mem::swap(&mut effort.room.team, &mut offer.team);
        let placed = if self.try_pattern(wanted.task, &offer.pieces, wanted.costs, true, effort) {
            offer.pieces.last().map(|(_, end)| *end)
        } else {
            self.try_paused(wanted, Some(&offer.pieces).filter(|pieces| pieces.len() > 1), effort)
        };
        effort.offer = offer;
        placed
    }

    /// Tries a spell paused by each break calendar, from the one after `tried` on.
    fn try_paused(&mut self, wanted: Wanted<'_>, tried: Option<&Vec<(usize, usize)>>, effort: &mut Effort) -> Option<usize> {
        let mut ways = self.paused(wanted.task, wanted.at, wanted.length).into_iter();
        if let Some(tried) = tried {
            ways.find(|pieces| pieces == tried);
        }
        ways.find_map(|pieces| self.try_one(wanted, &pieces, effort))
    }

    fn try_one(&mut self, wanted: Wanted<'_>, pieces: &[(usize, usize)], effort: &mut Effort) -> Option<usize> {
        let free = self.is_free(wanted.task, pieces, wanted.to);
        (free && self.try_pattern(wanted.task, pieces, wanted.costs, false, effort)).then(|| pieces[pieces.len() - 1].1)
    }

    /// Whether nothing but people can be in the way of a spell that is to be over by `to`.
    fn is_free(&self, task: TaskId, pieces: &[(usize, usize)], to: usize) -> bool {
        let (start, end) = (pieces[0].0, pieces[pieces.len() - 1].1);
        end <= to && self.blocked(task, start, end, Way::Forward).is_none()
    }

    /// The ways in which break calendars cut a spell of `length` that starts at `slot`: its pieces.
    pub(super) fn paused(&self, task: TaskId, slot: usize, length: usize) -> Vec<Vec<(usize, usize)>> {
        let ground = self.ground;
        let mut patterns: Vec<Vec<(usize, usize)>> = Vec::new();
        let any = matches!(ground.tasks[task].shape, Shape::Any(_));
        if (!ground.tasks[task].pauses && !any) || usize::from(ground.to_break[slot]) >= length {
            return patterns;
        }
        for calendar in &ground.calendars {
            let Some(pieces) = cut(calendar, slot, length, self.end, ground.most_paused()) else { continue };
            if pieces.len() > 1 && !patterns.contains(&pieces) {
                patterns.push(pieces);
            }
        }
        patterns
    }

    /// Places a spell with the cheapest team for which the reserve is kept; `found`: the first is in `effort` already.
    pub(super) fn try_pattern(&mut self, task: TaskId, pieces: &[(usize, usize)], costs: &Costs, found: bool, effort: &mut Effort) -> bool {
        let mut shut: Vec<PersonId> = Vec::new();
        for round in 0..TEAMS_TRIED {
            if !(found && round == 0) {
                effort.attempts += 1;
                if !self.team(task, pieces, costs, &shut, &mut effort.room) {
                    return false;
                }
            }
            let team = &effort.room.team;
            if !self.pause_is_theirs(team, pieces) {
                return false;
            }
            match self.commit(task, pieces, team, &mut effort.calls) {
                Ok(()) => return true,
                Err(Refused::Unbooked) => return false,
                Err(Refused::Reserve(slot)) => match self.blame(team, slot) {
                    Some(person) => shut.push(person),
                    None => return false,
                },
            }
        }
        false
    }

    /// Whether the pauses between pieces are exactly the named breaks of a team.
    pub(super) fn pause_is_theirs(&self, team: &[PersonId], pieces: &[(usize, usize)]) -> bool {
        let ground = self.ground;
        let calendars = || team.iter().filter_map(|p| ground.people[*p].calendar).map(|c| &ground.calendars[c]);
        let works = |(from, to): &(usize, usize)| calendars().all(|breaks| !breaks.meets_range(*from, *to));
        let rests = |slot: usize| calendars().any(|breaks| breaks.has(slot));
        pieces.iter().all(works) && pieces.windows(2).all(|w| (w[0].1..w[1].0).all(rests))
    }

    /// Who of a team was the reserve at `slot` that it no longer is: the one least wanted elsewhere who
    /// holds what the reserve needs there.
    fn blame(&self, team: &[PersonId], slot: usize) -> Option<PersonId> {
        let ground = self.ground;
        let kinds = &ground.reserve.kinds[usize::from(ground.reserve.at[slot]?)].0;
        team.iter().copied().filter(|p| self.people[*p].fixed.callable.has(slot)).max_by_key(|p| {
            (kinds.iter().filter(|k| ground.problem.people[*p].holds(**k)).count(), std::cmp::Reverse(crate::id::Id::index(*p)))
        })
    }
}

/// Cuts `length` slots of work that start at `slot` around the slots of a break calendar. `None` where the
/// start is a break, the end is passed, or the pauses are longer than `most_paused` in all.
fn cut(calendar: &Bits, slot: usize, length: usize, end: usize, most_paused: usize) -> Option<Vec<(usize, usize)>> {
    if calendar.has(slot) {
        return None;
    }
    let mut pieces = Vec::new();
    let (mut at, mut left, mut paused) = (slot, length, 0);
    while left > 0 {
        let gap = calendar.next(at).unwrap_or(end);
        let work = left.min(gap.saturating_sub(at));
        pieces.push((at, at + work));
        left -= work;
        at += work;
        if left > 0 {
            let goes_on = calendar.next_gap(at)?;
            paused += goes_on - at;
            at = goes_on;
        }
        // At the end with work left, the loop would go on for ever.
        if at > end || (left > 0 && at == end) || paused > most_paused {
            return None;
        }
    }
    Some(pieces)
}

#[cfg(test)]
mod tests;
