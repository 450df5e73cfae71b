//! The reserve while tasks are placed: for every slot, people known to be callable who fill all kinds.
//!
//! Whoever is callable at a slot can only cease to be as work is added (the readings are closed
//! downwards, and a call drops everything that comes after it). So one filling per slot is enough: it is
//! looked at again only where one of its people got work that may matter, and looked for anew only where
//! that person is lost. Undoing work never harms it.

use super::state::State;
use crate::id::{CompetenceId, Id, IdVec, PersonId};
use crate::time::Minutes;

/// Nobody in this place.
const NOBODY: u32 = u32::MAX;

/// One filling of the reserve per slot.
#[derive(Clone, Debug)]
pub(super) struct Witnesses {
    /// `stride` places per slot; the person's index, or [`NOBODY`].
    places: Vec<u32>,
    stride: usize,
    /// How many places can be filled with no task placed: less is never reached, more never asked.
    at_best: Vec<u8>,
    /// Everybody, those least wanted for work first.
    order: Vec<PersonId>,
    /// Minutes per day that could stay unbooked with no task placed.
    pub(super) unbooked_at_best: Vec<i32>,
}

impl Witnesses {
    /// No filling yet; `order` is the order in which people are tried.
    pub(super) fn new(slots: usize, stride: usize, order: Vec<PersonId>, unbooked_at_best: Vec<i32>) -> Self {
        Self { places: vec![NOBODY; slots * stride], stride, at_best: vec![0; slots], order, unbooked_at_best }
    }
}

impl State<'_> {
    /// Whether `person` can be called at `slot` for `length`.
    pub(super) fn callable(&self, person: PersonId, slot: usize, length: Minutes) -> bool {
        let state = &self.people[person];
        state.fixed.callable.has(slot)
            && !state.locked.has(slot)
            && state.line.call_fits(self.ground.moment(slot), length, &state.fixed.tail)
    }

    /// Fills the reserve at every slot with no task placed.
    pub(super) fn find_witnesses(&mut self) {
        for slot in 0..self.end {
            let (places, filled) = self.filling(slot);
            self.keep(slot, &places);
            self.reserve.at_best[slot] = u8::try_from(filled).unwrap_or(u8::MAX);
        }
    }

    /// Looks at the reserve again where work of `members` in `[from, to)` may have harmed it.
    ///
    /// # Errors
    /// The first slot whose reserve can no longer be filled as well as with no task placed.
    pub(super) fn reserve_holds(&mut self, members: &[PersonId], from: usize, to: usize) -> Result<(), usize> {
        // A 24 h window that holds both the work and the call starts or ends within a day of the work.
        let reach = usize::try_from(24 * 60 / self.ground.slot).unwrap_or(0) + 1;
        self.check_reserve(Some(members), from, (to + reach).min(self.end))
    }

    /// Looks at the reserve of all slots again.
    ///
    /// # Errors
    /// The first slot whose reserve can no longer be filled as well as with no task placed.
    pub(super) fn reserve_holds_everywhere(&mut self) -> Result<(), usize> {
        self.check_reserve(None, 0, self.end)
    }

    fn check_reserve(&mut self, members: Option<&[PersonId]>, from: usize, to: usize) -> Result<(), usize> {
        let stride = self.reserve.stride;
        for slot in from..to {
            let Some(kinds) = self.ground.reserve.at[slot] else { continue };
            let length = self.ground.reserve.kinds[usize::from(kinds)].1;
            let lost = (slot * stride..(slot + 1) * stride).any(|place| {
                let index = self.reserve.places[place];
                if index == NOBODY {
                    return false;
                }
                let person = PersonId::from_index(index as usize);
                members.is_none_or(|m| m.contains(&person)) && !self.callable(person, slot, length)
            });
            if lost && !self.refill(slot, usize::from(self.reserve.at_best[slot])) {
                return Err(slot);
            }
        }
        Ok(())
    }

    /// Fills the reserve at `slot` anew and keeps the filling if it has at least `least` people; else what
    /// was known stays, as it will be right again once the work just tried is undone.
    fn refill(&mut self, slot: usize, least: usize) -> bool {
        let (places, filled) = self.filling(slot);
        if filled >= least {
            self.keep(slot, &places);
        }
        filled >= least
    }

    fn keep(&mut self, slot: usize, places: &[Option<PersonId>]) {
        let base = slot * self.reserve.stride;
        for (place, who) in places.iter().enumerate() {
            self.reserve.places[base + place] = who.map_or(NOBODY, |p| u32::try_from(p.index()).unwrap_or(NOBODY));
        }
    }

    /// Different callable people for the reserve at `slot`, as far as it goes, and how far that is.
    fn filling(&self, slot: usize) -> (Vec<Option<PersonId>>, usize) {
        let ground = self.ground;
        let Some(index) = ground.reserve.at[slot] else { return (Vec::new(), 0) };
        let (kinds, length) = &ground.reserve.kinds[usize::from(index)];
        let mut known: IdVec<PersonId, Option<bool>> = IdVec::filled(None, self.people.len());
        let mut taken: Vec<Option<PersonId>> = vec![None; kinds.len()];
        let mut filled = 0;
        for kind in 0..kinds.len() {
            let mut seen: IdVec<PersonId, bool> = IdVec::filled(false, self.people.len());
            filled += usize::from(self.fill(slot, *length, kinds, kind, &mut taken, &mut seen, &mut known));
        }
        (taken, filled)
    }

    #[expect(clippy::too_many_arguments, reason = "one step of the augmenting search, called from one place")]
    fn fill(
        &self,
        slot: usize,
        length: Minutes,
        kinds: &[CompetenceId],
        kind: usize,
        taken: &mut [Option<PersonId>],
        seen: &mut IdVec<PersonId, bool>,
        known: &mut IdVec<PersonId, Option<bool>>,
    ) -> bool {
        for person in &self.reserve.order {
            if seen[*person] || !self.ground.problem.people[*person].holds(kinds[kind]) {
                continue;
            }
            seen[*person] = true;
            let callable = known[*person].unwrap_or_else(|| self.callable(*person, slot, length));
            known[*person] = Some(callable);
            if !callable {
                continue;
            }
            let holder = taken.iter().position(|t| *t == Some(*person));
            if holder.is_none_or(|other| self.fill(slot, length, kinds, other, taken, seen, known)) {
                taken[kind] = Some(*person);
                return true;
            }
        }
        false
    }
}
