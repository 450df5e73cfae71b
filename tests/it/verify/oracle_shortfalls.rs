//! The second verifier: machinery and reserve.

use turnto::id::{CompetenceId, Id, PersonId, TaskId, UnitId};
use turnto::model::Mode;
use turnto::time::{Minutes, Moment};

use crate::verify::oracle::{SLOT, Table, findings, new_findings, slot_of};

/// The shortfalls.
impl Table<'_> {
    pub(crate) fn machinery(&self) -> i64 {
        let mut missing = 0;
        for (group_id, group) in self.parts.groups.pairs() {
            for t in self.start..self.end {
                let Some(mode) = self.mode(t) else { continue };
                let needed = mode.needs.iter().filter(|(g, _)| *g == group_id).map(|(_, n)| i64::from(*n)).sum::<i64>();
                let able = group.units.iter().filter(|unit| !self.is_out(**unit, t)).count();
                missing += (needed - i64::try_from(able).expect("few")).max(0) * i64::from(mode.weight);
            }
        }
        missing
    }

    pub(crate) fn mode(&self, t: usize) -> Option<&Mode> {
        let now = Moment::new((self.base + i32::try_from(t).expect("few slots")) * SLOT);
        let span = self.parts.mode_spans.iter().find(|(span, _)| span.contains(now));
        span.map(|(_, mode)| &self.parts.modes[*mode])
    }

    pub(crate) fn is_out(&self, unit: UnitId, t: usize) -> bool {
        let broken = self.parts.units[unit].out.iter().any(|s| self.range(*s).contains(&t));
        let tasks = || self.parts.tasks.pairs();
        let takers: Vec<TaskId> = tasks().filter(|(_, task)| task.takes_out.contains(&unit)).map(|(id, _)| id).collect();
        let givers: Vec<TaskId> = tasks().filter(|(_, task)| task.hands_back.contains(&unit)).map(|(id, _)| id).collect();
        let taken = takers.iter().filter_map(|id| self.task(*id)).map(|(from, _)| from).min();
        let back = givers.iter().filter_map(|id| self.task(*id)).map(|(_, to)| to).max();
        let by_plan = match (taken, back) {
            (None, None) => false,
            (None, Some(back)) => t < back,
            (Some(taken), None) => t >= taken,
            (Some(taken), Some(back)) => t >= taken && (t < back || back <= taken),
        };
        broken || by_plan
    }

    pub(crate) fn reserve(&self) -> i64 {
        let mut missing: i64 = (self.start..self.end).map(|t| self.missing_callable(t)).sum();
        // Tiny jobs have one mode, whose clock hours lie in the one ship's day they are planned in.
        if let Some(reserve) = self.mode(self.start).and_then(|mode| mode.reserve.as_ref()) {
            let midnight = slot_of(self.parts.start).div_euclid(48) * 48 - self.base;
            let hour = |m: Minutes| usize::try_from(midnight + m.get() / SLOT).expect("in the table");
            let counts = |t: &usize| (hour(reserve.hours.0)..hour(reserve.hours.1)).contains(t) && (self.start..self.end).contains(t);
            let window = (0..self.slots).filter(counts).count();
            let full = hour(reserve.hours.1) - hour(reserve.hours.0);
            let asked = usize::try_from(reserve.unbooked.get()).expect("positive") * window;
            let needed = asked.div_ceil(full);
            let found: usize = self
                .parts
                .people
                .iter()
                .zip(&self.people)
                .map(|(person, row)| {
                    let taken = |t: usize| row.watch[t] > 0 || row.duty[t] > 0 || row.spell[t] > 0 || row.recorded[t] || row.away[t];
                    let free = (0..self.slots).filter(counts).filter(|&t| row.hull[t] && row.ordinary[t] && !taken(t)).count() * 30;
                    let booked = row.work.iter().filter(|w| **w).count() * 30;
                    person.job_cap.map_or(free, |cap| free.min(usize::try_from(cap.get()).expect("positive").saturating_sub(booked)))
                })
                .sum();
            missing += i64::try_from(needed.saturating_sub(found).div_ceil(30)).expect("few");
        }
        missing
    }

    pub(crate) fn missing_callable(&self, t: usize) -> i64 {
        let Some(reserve) = self.mode(t).and_then(|mode| mode.reserve.as_ref()) else { return 0 };
        let call = usize::try_from(reserve.call.get() / SLOT).expect("positive");
        let callable: Vec<usize> = (0..self.people.len()).filter(|&p| self.callable(p, t, call)).collect();
        let places: Vec<_> = reserve.kinds.iter().flat_map(|k| (0..k.number).map(move |_| k.competence)).collect();
        i64::try_from(places.len() - self.most_filled(&places, &callable)).expect("few")
    }

    /// The most places that different people can fill: every way is tried.
    pub(crate) fn most_filled(&self, places: &[CompetenceId], people: &[usize]) -> usize {
        let Some((first, others)) = places.split_first() else { return 0 };
        let without = self.most_filled(others, people);
        let able = people.iter().filter(|p| self.parts.people[PersonId::from_index(**p)].holds(*first));
        let with = able.map(|p| {
            let left: Vec<usize> = people.iter().copied().filter(|q| q != p).collect();
            1 + self.most_filled(others, &left)
        });
        with.max().unwrap_or(0).max(without)
    }

    pub(crate) fn callable(&self, person: usize, t: usize, call: usize) -> bool {
        let row = &self.people[person];
        let during = t..t + call;
        let bound = row.watch[t] > 0 || row.bound_duty[t] || row.bound_spell[t] || row.kept[t];
        let begins = during.clone().any(|s| row.watch_begins[s] || row.bound_duty_begins[s] || row.kept_begins[s]);
        if bound || begins || during.clone().any(|s| row.away[s]) {
            return false;
        }
        let occupied = Self::occupied(row);
        // No turn and no bound duty begins during the call and none is on at its start, so that whatever of
        // them is marked after it also begins after it.
        let after = |s: usize| row.watch[s] > 0 || row.bound_duty[s] || row.kept[s];
        let without: Vec<bool> = (0..self.slots).map(|s| if s < t { occupied[s] } else { s >= t + call && after(s) }).collect();
        let mut with = without.clone();
        during.for_each(|s| with[s] = true);
        let scope = (t, t + call);
        !new_findings(&findings(&with, &row.breaks, scope), &findings(&without, &row.breaks, scope))
    }
}
