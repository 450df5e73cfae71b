//! When a person can be called, remembered by what the answer depends on.
//!
//! Whether a call fits depends on what the person did in the day or so before it and on what may not be dropped
//! after it. The same days come back in generation after generation, so answers are kept, sixteen slots at a
//! time, in a table of fixed size; a newer answer takes the place of an older one. What is kept is what would be
//! found again, so the table changes how fast a plan is made, never which.

use super::state::State;
use crate::id::{Id, PersonId};
use crate::time::{Minutes, Moment, Span};

/// Slots to an answer.
pub(super) const CHUNK: usize = 16;

/// Answers kept; a power of two.
const PLACES: usize = 1 << 18;

/// What an answer depends on, in 128 bits.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Key(u64, u64);

/// Answers kept.
#[derive(Clone, Debug, Default)]
pub(super) struct Calls {
    table: Vec<(Key, u16)>,
}

impl Calls {
    fn place(&mut self, key: Key) -> &mut (Key, u16) {
        if self.table.is_empty() {
            self.table = vec![(Key(0, 0), 0); PLACES];
        }
        let place = usize::try_from(key.0 % PLACES as u64).unwrap_or(0);
        &mut self.table[place]
    }
}

impl Key {
    const fn new() -> Self {
        Self(0x243F_6A88_85A3_08D3, 0x1319_8A2E_0370_7344)
    }

    fn add(&mut self, word: u64) {
        self.0 = (self.0 ^ word).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        self.0 ^= self.0 >> 29;
        self.1 = (self.1.rotate_left(23) ^ word).wrapping_mul(0xC2B2_AE3D_27D4_EB4F);
        self.1 ^= self.1 >> 31;
    }

    fn add_span(&mut self, span: Span) {
        self.add(u64::from(span.start().minutes().cast_unsigned()) << 32 | u64::from(span.end().minutes().cast_unsigned()));
    }
}

/// The bits of the slots `[first, last)`, which lie in one word, in it.
const fn mask_of(first: usize, last: usize) -> u64 {
    (1_u64 << (last - first)).wrapping_sub(1) << (first % 64)
}

/// A number that stands for some spans, the same for the same spans.
pub(super) fn print_of(spans: &[Span]) -> u64 {
    let mut key = Key::new();
    for span in spans {
        key.add_span(*span);
    }
    key.0 ^ key.1
}

impl State<'_> {
    /// How long before a call work of a person can matter to it.
    pub(super) fn call_reach(&self, person: PersonId) -> Minutes {
        self.people[person].line.call_reach(self.ground.reserve.longest_call)
    }

    /// In which slots of chunk `chunk` the person can be called, locks not asked: bit `i` for slot `16 chunk + i`. `reach` is
    /// [`State::call_reach`].
    pub(super) fn call_mask(&self, person: PersonId, chunk: usize, reach: Minutes, calls: &mut Calls) -> u16 {
        let (first, last) = (chunk * CHUNK, ((chunk + 1) * CHUNK).min(self.end));
        let fixed = &self.people[person].fixed;
        let bits = self.ground.reserve.asked.word(first / 64) & fixed.callable.word(first / 64) & mask_of(first, last);
        if bits == 0 {
            return 0;
        }
        let slot = first / 64 * 64 + bits.trailing_zeros() as usize;
        let asked = |slot: &usize| bits >> (slot % 64) & 1 == 1;
        let key = self.key(person, chunk, slot, reach);
        let (known, mask) = *calls.place(key);
        if known == key {
            return mask;
        }
        let line = &self.people[person].line;
        let mut mask = 0;
        for slot in (slot..last).filter(asked) {
            let Some(kinds) = self.ground.reserve.at[slot] else { continue };
            let length = self.ground.reserve.kinds[usize::from(kinds)].1;
            mask |= u16::from(line.call_fits(self.moment(slot), length, &fixed.tail)) << (slot - first);
        }
        *calls.place(key) = (key, mask);
        mask
    }

    /// All that the answers from `slot` to the end of the chunk depend on.
    fn key(&self, person: PersonId, chunk: usize, slot: usize, reach: Minutes) -> Key {
        let state = &self.people[person];
        let (from, to) = (self.moment(slot), self.moment(((chunk + 1) * CHUNK).min(self.end)));
        let mut key = Key::new();
        key.add(u64::try_from(person.index() << 32 | chunk).unwrap_or(u64::MAX));
        key.add(u64::try_from(self.end).unwrap_or(u64::MAX));
        key.add(state.fixed.print);
        key.add(u64::from(reach.get().cast_unsigned()));
        let since = from - reach;
        add_spans(&mut key, state.line.blocks(), since, to);
        add_spans(&mut key, state.line.work(), since, to);
        key
    }
}

/// Those of `spans` (in time order, apart) that share time with what lies from `since` to `to`.
fn add_spans(key: &mut Key, spans: &[Span], since: Moment, to: Moment) {
    let first = spans.partition_point(|span| span.end() <= since);
    for span in spans[first..].iter().take_while(|span| span.start() < to) {
        key.add_span(*span);
    }
    key.add(1);
}

#[cfg(test)]
pub(in crate::engine) mod tests;
