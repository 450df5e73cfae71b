//! The state before any task is placed: watches, duties and hours as a context decides them.

use std::sync::Arc;

use super::calls::{Calls, print_of};
use super::context::{Context, duty_span, turns_of};
use super::fixed::FixedWork;
use super::ground::{Ground, NO_STRETCH};
use super::state::{Fixed, PersonState, State};
use crate::bits::Bits;
use crate::id::{DutyId, IdVec, PersonId, TaskId};
use crate::time::{Minutes, Span};

impl<'g> State<'g> {
    /// The state with no task placed, for a plan that ends at slot `end`.
    pub(super) fn base(ground: &'g Ground<'g>, context: Arc<Context>, end: usize, calls: &mut Calls) -> Self {
        let problem = ground.problem;
        let people: IdVec<PersonId, PersonState> = problem.people.ids().map(|p| person(ground, &context, p, end)).collect();
        let mut allowed: IdVec<TaskId, Bits> = ground.tasks.iter().map(|t| t.allowed.clone()).collect();
        for (id, duty) in problem.duties.pairs().filter(|(_, d)| !d.bans.is_empty()) {
            let (from, to) = ground.touching(duty_span(duty, context.duties[id]));
            for (task, bits) in problem.tasks.ids().zip(allowed.iter_mut()) {
                if problem.tasks[task].tags.iter().any(|t| duty.bans.contains(t)) {
                    bits.remove_range(from, to);
                }
            }
        }
        let mut state = Self {
            ground,
            end,
            context,
            allowed: Arc::new(allowed),
            people,
            tools: ground.tools.clone(),
            attention: problem.posts.iter().map(|post| vec![u16::try_from(post.attends).unwrap_or(u16::MAX); ground.len]).collect(),
            placed: IdVec::filled(Vec::new(), problem.tasks.len()),
            at_best: Arc::default(),
            unbooked: Vec::new(),
        };
        state.unbooked = (0..ground.n_days).map(|day| state.people.ids().map(|p| state.spare_left(p, day)).sum()).collect();
        state.find_reserve(state.unbooked.clone(), calls);
        for person in problem.people.ids() {
            state.find_ample(person, calls);
        }
        state
    }

    /// The same state, no task placed, where only the evenings that `changed` may use are others. (Overtime not used
    /// is rest, so nothing else changes: nobody is callable for other hours.)
    pub(super) fn with_evenings(&self, context: Arc<Context>, changed: &[PersonId], calls: &mut Calls) -> Self {
        let mut state = self.clone();
        for id in changed {
            let run = runs(self.ground, &context, *id, &self.people[*id].busy, self.end);
            state.people[*id].run = run;
            state.find_ample(*id, calls);
        }
        state.context = context;
        state
    }
}

fn person<'g>(ground: &'g Ground<'g>, context: &Context, id: PersonId, end: usize) -> PersonState {
    let problem = ground.problem;
    let (model, fixed) = (&problem.people[id], &ground.people[id]);
    let turns = turns_of(problem, &context.turns, id);
    let duties = problem.duties.pairs().filter(|(_, d)| d.who.contains(&id));
    let duties: Vec<(DutyId, Span)> = duties.map(|(d, duty)| (d, duty_span(duty, context.duties[d]))).collect();
    let FixedWork { pieces, tail, taken, hulls, line, legal, .. } = FixedWork::new(ground, id, &turns, &duties, end);
    let mut busy = Bits::all(ground.len);
    busy.subtract(&fixed.aboard);
    let mut callable = fixed.aboard.clone();
    for span in pieces.iter().chain(&taken) {
        let (from, to) = ground.touching(*span);
        busy.insert_range(from, to);
    }
    let call = ground.reserve.longest_call;
    // A shorter call is judged a little too strictly here, never too mildly.
    for span in tail.iter().chain(&model.away) {
        // Neither in it, nor so near before it that it begins during the call.
        let from = ground.slot_to(span.start() - call + Minutes::new(1));
        let after = ground.moment(from) + call <= span.start();
        callable.remove_range(from + usize::from(after), ground.slot_from(span.end()));
    }
    let run = runs(ground, context, id, &busy, end);
    let mut spare = vec![0_i32; ground.n_days];
    for s in fixed.counted.iter().filter(|s| !busy.has(*s)) {
        spare[ground.day[s] as usize] += ground.slot;
    }
    PersonState {
        fixed: Arc::new(Fixed { callable, print: print_of(&pieces) ^ print_of(&tail).rotate_left(1), tail, pieces, legal }),
        run,
        busy,
        locked: Bits::none(ground.len),
        line,
        ample: None,
        on_call: Vec::new(),
        hulls,
        worked: (0..ground.n_days).map(|day| if day == 0 { fixed.worked_before } else { 0 }).collect(),
        overtime: vec![0; ground.n_days],
        spare,
    }
}

/// From each slot on, how many can be worked without a break, as far as hours, watches and duties go.
fn runs(ground: &Ground, context: &Context, id: PersonId, busy: &Bits, end: usize) -> Vec<u16> {
    let fixed = &ground.people[id];
    let mut open = fixed.ordinary.clone();
    let mut left = context.overtime[id].clone();
    for s in fixed.overtime.iter() {
        let left = &mut left[ground.day[s] as usize];
        if *left > 0 {
            *left -= 1;
            open.insert(s);
        }
    }
    let mut run = vec![0_u16; ground.len];
    for s in (0..end).rev() {
        if open.has(s) && !busy.has(s) {
            let goes_on = s + 1 < end && fixed.stretch[s] == fixed.stretch[s + 1] && fixed.stretch[s] != NO_STRETCH;
            run[s] = if goes_on { run[s + 1].saturating_add(1) } else { 1 };
        }
    }
    run
}

impl State<'_> {
    /// Finds whether rest allows a person to be at work or on hand from the first minute that is open in every working
    /// stretch to the last, all at once, and when calls fit even then. The rules are closed downwards, so that any less
    /// work fits too, and with less work no fewer calls fit.
    fn find_ample(&mut self, person: PersonId, calls: &mut Calls) {
        self.people[person].ample = None;
        let Some(widest) = self.widest(person) else { return };
        let mut line = self.people[person].line.clone();
        for hull in widest.into_iter().flatten() {
            line.insert_on_hand(hull);
        }
        if line.is_clean() {
            let known = std::mem::replace(&mut self.people[person].line, line);
            self.people[person].ample = Some(self.calls_fit(person, calls).into());
            self.people[person].line = known;
        }
    }

    /// Per working stretch the widest hull there may be, emergency work aside; `None` where hours in no stretch are open.
    fn widest(&self, id: PersonId) -> Option<Vec<Option<Span>>> {
        let (ground, person) = (self.ground, &self.people[id]);
        let mut widest = person.hulls.clone();
        for slot in (0..person.run.len()).filter(|s| person.run[*s] > 0) {
            let open = ground.span(slot, slot + 1);
            let hull = widest.get_mut(ground.people[id].stretch[slot] as usize)?;
            *hull = Some(hull.map_or(open, |hull| hull.hull(open)));
        }
        let joined = widest.into_iter().enumerate().map(|(stretch, hull)| hull.map(|h| self.with_overtime(id, stretch, h, h)));
        Some(joined.collect())
    }

    fn spare_left(&self, person: PersonId, day: usize) -> i32 {
        let state = &self.people[person];
        self.ground.people[person].cap.map_or(state.spare[day], |cap| state.spare[day].min(cap - state.worked[day]).max(0))
    }
}

/// How much the tasks want each person: for every need of every task, its length shared among those who
/// hold the competence, in thousandths of a slot.
pub(super) fn demand(ground: &Ground) -> IdVec<PersonId, i64> {
    let mut demand = IdVec::filled(0_i64, ground.problem.people.len());
    for task in ground.tasks.iter() {
        for need in &task.needs {
            let share = i64::try_from(task.length * 1000 / need.holders.len().max(1)).unwrap_or(0);
            for person in &need.holders {
                demand[*person] += share;
            }
        }
    }
    demand
}
