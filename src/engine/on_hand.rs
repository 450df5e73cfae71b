//! Hours left unbooked: who turns to earlier or knocks off later so that enough people are on hand.

use super::calls::Calls;
use super::state::State;
use crate::bits::Bits;
use crate::id::{Id, PersonId};
use crate::plan::OnHand;
use crate::time::Span;

impl State<'_> {
    /// Puts people on hand until every day has the unbooked hours it asks for, as far as rest and the
    /// callable reserve allow. Returns who was put on hand and the slots still missing over all days.
    pub(super) fn put_on_hand(&mut self, calls: &mut Calls) -> (Vec<OnHand>, i64) {
        let ground = self.ground;
        let last = self.judged_to();
        let days = if last == 0 { 0 } else { ground.day[last - 1] as usize + 1 };
        let (mut put, mut missing) = (Vec::new(), 0_i64);
        for day in 0..days {
            let needed = ground.reserve.unbooked[day];
            let mut have: i32 = self.people.ids().map(|p| self.on_hand(p, day)).sum();
            while have < needed {
                let Some((person, span)) = self.extend(day, needed - have, calls) else { break };
                put.push(OnHand { person, span });
                have = self.people.ids().map(|p| self.on_hand(p, day)).sum();
            }
            missing += (i64::from((needed - have).max(0)) + i64::from(ground.slot) - 1) / i64::from(ground.slot);
        }
        put.sort_unstable();
        (put, missing)
    }

    /// The slot up to which a complete plan is judged.
    pub(super) fn judged_to(&self) -> usize {
        self.ground.slot_from(self.ground.problem.end_for(self.moment(self.finish())))
    }

    /// Minutes of a day a person is on hand and under the cap, as the reserve counts them.
    fn on_hand(&self, person: PersonId, day: usize) -> i32 {
        let ground = self.ground;
        let state = &self.people[person];
        // Emergency work that lies in two stretches joins them: each has the same hull then.
        let (mut slots, mut counted) = (0, 0);
        for index in &ground.people[person].on_day[day] {
            let Some(hull) = state.hulls[*index] else { continue };
            let (from, to) = ground.inside(hull);
            let part = ground.on_day(day, from.max(counted), to);
            counted = counted.max(to);
            slots += self.free(person, part.start, part.end);
        }
        let minutes = ground.minutes(slots);
        ground.people[person].cap.map_or(minutes, |cap| minutes.min(cap - state.worked[day]).max(0))
    }

    /// Free ordinary slots of a person in `[from, to)`, in the hours that count.
    fn free(&self, person: PersonId, from: usize, to: usize) -> usize {
        let (counted, busy) = (&self.ground.people[person].counted, &self.people[person].busy);
        counted.count_range(from, to) - Bits::count_common([counted, busy], from, to)
    }

    /// Puts one person on hand for up to `wanted` minutes of a day; the longest stretch that is legal, of
    /// the person least wanted for work among equals.
    fn extend(&mut self, day: usize, wanted: i32, calls: &mut Calls) -> Option<(PersonId, Span)> {
        let ground = self.ground;
        let wanted = usize::try_from(wanted).unwrap_or(0).div_ceil(usize::try_from(ground.slot).unwrap_or(1));
        let mut offers: Vec<(usize, usize, usize, PersonId)> = Vec::new();
        for person in self.people.ids() {
            for (from, to) in self.gaps(person, day) {
                let under_cap = ground.people[person].cap.map_or(usize::MAX, |cap| {
                    let left = (cap - self.people[person].worked[day] - self.on_hand(person, day)).max(0);
                    usize::try_from(left / ground.slot).unwrap_or(0)
                });
                let length = (to - from).min(wanted).min(under_cap);
                if length > 0 {
                    offers.push((length, from, to, person));
                }
            }
        }
        offers.sort_by_key(|(length, from, _, person)| (std::cmp::Reverse(*length), *from, person.index()));
        for (length, from, to, person) in offers {
            for length in (1..=length).rev() {
                // Next to the work of the day, so that the rest stays in one piece.
                let early = self.people[person].hulls.get(ground.people[person].stretch[from] as usize).copied().flatten();
                let before_work = early.is_some_and(|h| h.start() >= self.moment(to));
                let (a, b) = if before_work { (to - length, to) } else { (from, from + length) };
                if self.try_on_hand(person, a, b, calls) {
                    return Some((person, ground.span(a, b)));
                }
            }
        }
        None
    }

    /// Free ordinary slots of a day outside the person's hulls, in the hours that count.
    fn gaps(&self, person: PersonId, day: usize) -> Vec<(usize, usize)> {
        let ground = self.ground;
        let state = &self.people[person];
        let stretch = &ground.people[person].stretch;
        let (first, end) = (ground.day_starts[day], ground.day_starts[day + 1].min(self.end));
        let mut open = ground.people[person].counted.clone();
        open.subtract(&state.busy);
        for index in &ground.people[person].on_day[day] {
            let Some(hull) = state.hulls[*index] else { continue };
            let (from, to) = ground.touching(hull);
            ground.on_day(day, from, to).filter(|slot| stretch[*slot] as usize == *index).for_each(|slot| open.remove(slot));
        }
        let mut gaps = Vec::new();
        let mut next = open.next(first);
        while let Some(from) = next.filter(|from| *from < end) {
            let closed = open.next_gap(from).unwrap_or(end).min(end);
            let to = (from..closed).find(|slot| stretch[*slot] != stretch[from]).unwrap_or(closed);
            gaps.push((from, to));
            next = open.next(to);
        }
        gaps
    }

    fn try_on_hand(&mut self, person: PersonId, from: usize, to: usize, calls: &mut Calls) -> bool {
        let hull = self.hull_with(person, from, to);
        let state = &self.people[person];
        if state.ample.is_none() && !state.line.fits_on_hand(hull) {
            return false;
        }
        let member = self.lengthen(person, hull);
        let mark = member.mark;
        if self.reserve_holds(&[member], from, to, calls).is_err() {
            self.people[person].line.undo(mark);
            return false;
        }
        self.keep_hull(person, from, to, hull);
        true
    }
}
