//! The reserve while tasks are placed: in every slot, enough callable people of every kind.
//!
//! Different people fill all kinds exactly if for every set of kinds at least as many people who hold one of them
//! can be called as they are asked for (the marriage theorem), so that 64 slots are tested with a few operations on
//! words. Whoever is callable in a slot can only cease to be as work is added (the readings are closed downwards,
//! and a call drops everything that comes after it).

use std::sync::Arc;

use super::asked_reserve::Demand;
use super::calls::{CHUNK, Calls};
use super::ground::Ground;
use super::state::{Member, State};
use crate::id::PersonId;

/// Chunks in a word.
const CHUNKS: usize = 64 / CHUNK;

/// The reserve with no task placed: less is never reached, more never asked. Where it need not be kept nothing is asked.
#[derive(Clone, Debug, Default)]
pub(super) struct AtBest {
    /// How many places can be filled, per slot.
    filled: Vec<u8>,
    /// Slots in which not all can be filled, as words.
    short: Vec<u64>,
    /// Minutes per day that could stay unbooked.
    pub(super) unbooked: Vec<i32>,
}

/// What was changed in who can be called, to take it back in the other order.
type Changed = Vec<(PersonId, usize, u64)>;

impl State<'_> {
    /// Finds who can be called when with no task placed, and how far that fills the reserve.
    pub(super) fn find_reserve(&mut self, unbooked: Vec<i32>, calls: &mut Calls) {
        let words = self.ground.len.div_ceil(64);
        self.find_all_calls(calls);
        let unbooked = if self.ground.keeps_reserve { unbooked } else { vec![i32::MIN; unbooked.len()] };
        let mut best = AtBest { filled: vec![0; self.ground.len], short: vec![0; words], unbooked };
        for slot in 0..self.end {
            let Some(kinds) = self.ground.reserve.at[slot] else { continue };
            let asked = self.ground.reserve.kinds[usize::from(kinds)].0.len();
            let filled = if self.ground.keeps_reserve { self.filled(slot, usize::from(kinds)) } else { 0 };
            best.filled[slot] = u8::try_from(filled).unwrap_or(u8::MAX);
            if filled < asked {
                best.short[slot / 64] |= 1 << (slot % 64);
            }
        }
        self.at_best = Arc::new(best);
    }

    /// Finds anew who of `members` can be called after work of theirs in `[from, to)`, and whether the reserve is
    /// still filled as well as with no task placed.
    ///
    /// # Errors
    /// The first slot in which it is not; who can be called is then what it was.
    pub(super) fn reserve_holds(&mut self, members: &[Member], from: usize, to: usize, calls: &mut Calls) -> Result<(), usize> {
        let mut changed = Changed::new();
        for chunk in self.chunks_after(from, to) {
            let before = changed.len();
            self.find_calls_in(chunk, members, calls, &mut changed);
            if changed.len() > before
                && let Some(slot) = self.missing(chunk / CHUNKS, bits_of(chunk))
            {
                for (person, word, old) in changed.into_iter().rev() {
                    self.people[person].on_call[word] = old;
                }
                return Err(slot);
            }
        }
        Ok(())
    }

    /// Finds anew when `members` can be called after work of theirs in `[from, to)`.
    pub(super) fn find_calls_after(&mut self, members: &[Member], from: usize, to: usize, calls: &mut Calls) {
        for chunk in self.chunks_after(from, to) {
            self.find_calls_in(chunk, members, calls, &mut Changed::new());
        }
    }

    /// The chunks in which work in `[from, to)` may matter to who can be called.
    fn chunks_after(&self, from: usize, to: usize) -> std::ops::Range<usize> {
        // A 24 h window that holds both the work and the call starts or ends within a day of the work.
        let reach = usize::try_from(24 * 60 / self.ground.slot).unwrap_or(0) + 1;
        from / CHUNK..(to + reach).min(self.end).div_ceil(CHUNK)
    }

    /// Finds anew in which slots of a chunk `members` can be called. More work makes nobody callable who was not, and
    /// none at all changes only what cannot be left.
    fn find_calls_in(&mut self, chunk: usize, members: &[Member], calls: &mut Calls, changed: &mut Changed) {
        let (word, bits) = (chunk / CHUNKS, bits_of(chunk));
        for Member { person, longer, reach, .. } in members.iter().filter(|m| self.ground.reserve.asks_for(m.person)) {
            let state = &self.people[*person];
            let old = state.on_call[word];
            let mut now = old & !(state.locked.word(word) & bits);
            let sure = state.ample.as_ref().map_or(0, |ample| ample[word]);
            if *longer && now & bits & !sure != 0 {
                now &= !bits | u64::from(self.call_mask(*person, chunk, *reach, calls)) << (chunk % CHUNKS * CHUNK);
            }
            if now != old {
                changed.push((*person, word, old));
                self.people[*person].on_call[word] = now;
            }
        }
    }

    /// Finds anew who can be called when, in every slot, and whether that fills the reserve as well as with no task
    /// placed: work matters to calls further away than a day too where a week's rest is short.
    ///
    /// # Errors
    /// The first slot in which it does not.
    pub(super) fn reserve_holds_everywhere(&mut self, calls: &mut Calls) -> Result<(), usize> {
        self.find_all_calls(calls);
        (0..self.end.div_ceil(64)).find_map(|word| self.missing(word, u64::MAX)).map_or(Ok(()), Err)
    }

    /// Places of the reserve that nobody can fill in a complete plan, slot by slot. Where the reserve is kept they are the same
    /// with no task placed, so this is a matter of watches and duties alone.
    pub(super) fn uncalled(&mut self, calls: &mut Calls) -> i64 {
        if !self.ground.keeps_reserve {
            // Work matters to calls further away than is looked at while tasks are placed.
            self.find_all_calls(calls);
        }
        let to = self.judged_to().min(self.end);
        let lacks = |slot: usize| {
            let Some(kinds) = self.ground.reserve.at[slot].map(usize::from) else { return 0 };
            let filled = if self.ground.keeps_reserve { usize::from(self.at_best.filled[slot]) } else { self.filled(slot, kinds) };
            i64::try_from(self.ground.reserve.kinds[kinds].0.len() - filled).unwrap_or(0)
        };
        (0..to).filter(|slot| self.at_best.short[slot / 64] >> (slot % 64) & 1 == 1).map(lacks).sum()
    }

    /// Finds anew who can be called when, in every slot.
    pub(super) fn find_all_calls(&mut self, calls: &mut Calls) {
        for person in self.people.ids() {
            self.find_calls(person, calls);
        }
    }

    fn find_calls(&mut self, person: PersonId, calls: &mut Calls) {
        let mut on_call = self.calls_fit(person, calls);
        for (word, now) in on_call.iter_mut().enumerate() {
            *now &= !self.people[person].locked.word(word);
        }
        self.people[person].on_call = on_call;
    }

    /// In which slots a person can be called, locks not asked, as words of 64.
    pub(super) fn calls_fit(&self, person: PersonId, calls: &mut Calls) -> Vec<u64> {
        let mut words = vec![0; self.ground.len.div_ceil(64)];
        let reach = self.call_reach(person);
        for chunk in 0..self.end.div_ceil(CHUNK) {
            words[chunk / CHUNKS] |= u64::from(self.call_mask(person, chunk, reach, calls)) << (chunk % CHUNKS * CHUNK);
        }
        words
    }

    /// The first slot among `bits` of a word in which the reserve is filled worse than with no task placed.
    fn missing(&self, word: usize, bits: u64) -> Option<usize> {
        let ground = self.ground;
        if !ground.keeps_reserve {
            return None;
        }
        let mut bad = 0_u64;
        for (kinds, slots) in &ground.reserve.words[word] {
            let slots = slots & bits;
            let full = slots & !self.at_best.short[word];
            for demand in &ground.reserve.demands[*kinds] {
                bad |= full & !self.at_least(demand, word);
            }
            let mut short = slots & self.at_best.short[word];
            while short != 0 {
                let slot = word * 64 + short.trailing_zeros() as usize;
                if self.filled(slot, *kinds) < usize::from(self.at_best.filled[slot]) {
                    bad |= 1 << (slot % 64);
                }
                short &= short - 1;
            }
        }
        let slot = word * 64 + bad.trailing_zeros() as usize;
        (bad != 0 && slot < self.end).then_some(slot)
    }

    /// The slots of a word in which at least as many people as a set of kinds asks for can be called.
    fn at_least(&self, demand: &Demand, word: usize) -> u64 {
        // Level `i`: slots in which more than `i` of those looked at can be called.
        let mut levels = [0_u64; LEVELS];
        let levels = &mut levels[..demand.number.min(LEVELS)];
        for person in &demand.people {
            let mut rest = self.people[*person].on_call[word];
            for level in levels.iter_mut() {
                let both = *level & rest;
                *level |= rest;
                rest = both;
            }
        }
        levels.last().copied().unwrap_or(u64::MAX)
    }

    /// How many places of the reserve different callable people can fill in `slot`.
    fn filled(&self, slot: usize, kinds: usize) -> usize {
        let asked = self.ground.reserve.kinds[kinds].0.len();
        let callable = |p: &&PersonId| self.people[**p].on_call[slot / 64] >> (slot % 64) & 1 == 1;
        let lacks = |d: &Demand| d.number.saturating_sub(d.people.iter().filter(callable).count());
        asked - self.ground.reserve.demands[kinds].iter().map(lacks).max().unwrap_or(0)
    }
}

/// The bits of a chunk in its word.
const fn bits_of(chunk: usize) -> u64 {
    (u16::MAX as u64) << (chunk % CHUNKS * CHUNK)
}

/// The most people of one set of kinds that are told apart; a reserve asks for a handful.
const LEVELS: usize = 32;

/// What each set of kinds asks for, and who could fill it.
pub(super) fn demands(ground: &Ground, kinds: &[crate::id::CompetenceId]) -> Vec<Demand> {
    let mut distinct = kinds.to_vec();
    distinct.sort_unstable();
    distinct.dedup();
    let all = 1_usize << distinct.len().min(16);
    let demand = |set: usize| {
        let chosen: Vec<_> = distinct.iter().enumerate().filter(|(i, _)| set >> i & 1 == 1).map(|(_, c)| *c).collect();
        let people = ground.problem.people.pairs().filter(|(_, p)| chosen.iter().any(|c| p.holds(*c))).map(|(id, _)| id);
        Demand { people: people.collect(), number: kinds.iter().filter(|c| chosen.contains(c)).count() }
    };
    (1..all).map(demand).collect()
}

#[cfg(test)]
mod tests;
