//! The reserve that modes ask for, on engine slots.

use super::ground::Ground;
use crate::bits::Bits;
use crate::calendar::Share;
use crate::id::{CompetenceId, Id, PersonId};
use crate::time::{Minutes, Span};

/// The reserve on engine slots.
#[derive(Debug)]
pub(super) struct ReserveGround {
    /// Per slot, an index into `kinds`, if the mode asks for callable people then.
    pub(super) at: Vec<Option<u16>>,
    /// Competences to fill, one entry a person, with the length of the call.
    pub(super) kinds: Vec<(Vec<CompetenceId>, Minutes)>,
    /// For each entry of `kinds`, what every set of its competences asks for.
    pub(super) demands: Vec<Vec<Demand>>,
    /// Who could fill anything that is asked for.
    wanted: Bits,
    /// Slots in which callable people are asked for.
    pub(super) asked: Bits,
    /// For each word of 64 slots, the entries of `kinds` asked for in it, with the slots of each.
    pub(super) words: Vec<Vec<(usize, u64)>>,
    /// The longest call any mode asks for.
    pub(super) longest_call: Minutes,
    /// Slots in which unbooked time counts.
    pub(super) hours: Bits,
    /// Minutes to stay unbooked, per day.
    pub(super) unbooked: Vec<i32>,
}

/// So many different people out of these.
#[derive(Debug)]
pub(super) struct Demand {
    pub(super) people: Vec<PersonId>,
    pub(super) number: usize,
}

impl ReserveGround {
    pub(super) fn none(len: usize) -> Self {
        Self {
            at: Vec::new(),
            kinds: Vec::new(),
            demands: Vec::new(),
            wanted: Bits::none(0),
            asked: Bits::none(len),
            words: Vec::new(),
            longest_call: Minutes::ZERO,
            hours: Bits::none(len),
            unbooked: Vec::new(),
        }
    }

    /// Whether any reserve is asked for at all.
    pub(super) fn is_asked(&self) -> bool {
        !self.kinds.is_empty() || self.unbooked.iter().any(|minutes| *minutes > 0)
    }

    /// Whether a person could fill anything that is asked for.
    pub(super) fn asks_for(&self, person: PersonId) -> bool {
        self.wanted.has(person.index())
    }
}

impl Ground<'_> {
    /// What the modes ask for, slot by slot; nothing while a stand-by has all hands out (one that may be
    /// moved is refused where the job is read).
    pub(super) fn reserve_of(&self) -> ReserveGround {
        let problem = self.problem;
        let mut at = vec![None; self.len];
        let mut kinds: Vec<(Vec<CompetenceId>, Minutes)> = Vec::new();
        let mut hours = Bits::none(self.len);
        let mut unbooked = vec![Share::NONE; self.n_days];
        for (span, mode) in &problem.mode_spans {
            let Some(reserve) = &problem.modes[*mode].reserve else { continue };
            if !reserve.kinds.is_empty() {
                let list: Vec<CompetenceId> =
                    reserve.kinds.iter().flat_map(|k| std::iter::repeat_n(k.competence, k.number as usize)).collect();
                let entry = (list, reserve.call);
                let index = kinds.iter().position(|k| *k == entry).unwrap_or_else(|| {
                    kinds.push(entry);
                    kinds.len() - 1
                });
                // A slot belongs to the mode that holds when it starts.
                let (from, to) = (self.slot_from(span.start()), self.slot_from(span.end()));
                at[from..to].fill(u16::try_from(index).ok());
            }
            if reserve.unbooked > Minutes::ZERO {
                self.unbooked_of(*span, reserve, &mut hours, &mut unbooked);
            }
        }
        for duty in problem.duties.iter().filter(|d| d.all_hands) {
            if let crate::model::When::Fixed(span) = duty.when {
                let (from, to) = self.inside(span);
                at[from..to.max(from)].fill(None);
            }
        }
        let demands: Vec<Vec<Demand>> = kinds.iter().map(|(kinds, _)| super::reserve::demands(self, kinds)).collect();
        let mut wanted = Bits::none(problem.people.len());
        demands.iter().flatten().flat_map(|demand| &demand.people).for_each(|person| wanted.insert(person.index()));
        let mut asked = Bits::none(self.len);
        (0..self.len).filter(|slot| at[*slot].is_some()).for_each(|slot| asked.insert(slot));
        let mut words: Vec<Vec<(usize, u64)>> = vec![Vec::new(); self.len.div_ceil(64)];
        for (slot, index) in at.iter().enumerate().filter_map(|(slot, index)| Some((slot, usize::from((*index)?)))) {
            let word: &mut Vec<(usize, u64)> = &mut words[slot / 64];
            match word.iter_mut().find(|(kinds, _)| *kinds == index) {
                Some((_, slots)) => *slots |= 1 << (slot % 64),
                None => word.push((index, 1 << (slot % 64))),
            }
        }
        let longest_call = kinds.iter().map(|(_, call)| *call).max().unwrap_or(Minutes::ZERO);
        let unbooked = unbooked.iter().map(|share| share.rounded_up().get()).collect();
        ReserveGround { at, kinds, demands, wanted, asked, words, longest_call, hours, unbooked }
    }

    fn unbooked_of(&self, span: Span, reserve: &crate::model::Reserve, hours: &mut Bits, unbooked: &mut [Share]) {
        let clock = &self.problem.clock;
        let horizon = Span::new(self.problem.start, self.problem.latest_end);
        let Some(window) = horizon.and_then(|h| h.intersection(span)) else { return };
        let day_one = clock.day_of(self.problem.start).number();
        for (i, needed) in unbooked.iter_mut().enumerate() {
            let day = crate::clock::Day::new(day_one + i32::try_from(i).unwrap_or(0));
            let Some(counted) = Span::new(clock.at(day, reserve.hours.0), clock.at(day, reserve.hours.1)) else { continue };
            if let Some(part) = counted.intersection(window) {
                // A full day asks for all of it, however long the clock makes it.
                needed.add(reserve.unbooked, part.length(), counted.length());
                let (from, to) = self.inside(part);
                hours.insert_range(from, to);
            }
        }
    }
}

#[cfg(test)]
mod tests;
