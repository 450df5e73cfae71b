//! The state before any task is placed: watches, duties and hours as a context decides them.

use std::sync::Arc;

use super::context::{Context, attendance, duty_span, turns_of};
use super::ground::{Ground, NO_STRETCH};
use super::reserve::Witnesses;
use super::state::{Fixed, PersonState, State};
use crate::bits::Bits;
use crate::id::{DutyId, Id, IdVec, PersonId, TaskId};
use crate::model::{OnWatch, When};
use crate::rest::Line;
use crate::time::{Minutes, Span};

impl<'g> State<'g> {
    /// The state with no task placed, for a plan that ends at slot `end`.
    pub(super) fn base(ground: &'g Ground<'g>, context: Arc<Context>, end: usize) -> Self {
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
        let stride = ground.reserve.kinds.iter().map(|(k, _)| k.len()).max().unwrap_or(0);
        let mut state = Self {
            ground,
            end,
            context,
            allowed: Arc::new(allowed),
            people,
            tools: ground.tools.clone(),
            attended: IdVec::filled(vec![0; ground.len], problem.posts.len()),
            placed: IdVec::filled(Vec::new(), problem.tasks.len()),
            reserve: Witnesses::new(ground.len, stride, by_demand(ground), Vec::new()),
            unbooked: Vec::new(),
        };
        state.unbooked = (0..ground.n_days).map(|day| state.people.ids().map(|p| state.spare_left(p, day)).sum()).collect();
        state.reserve.unbooked_at_best.clone_from(&state.unbooked);
        state.find_witnesses();
        state
    }
}

fn person<'g>(ground: &'g Ground<'g>, context: &Context, id: PersonId, end: usize) -> PersonState {
    let problem = ground.problem;
    let (model, fixed) = (&problem.people[id], &ground.people[id]);
    let turns = turns_of(problem, &context.turns, id);
    let mut pieces = turns.clone();
    let mut tail = turns.clone();
    let mut busy = Bits::all(ground.len);
    busy.subtract(&fixed.aboard);
    let mut callable = fixed.aboard.clone();
    for (duty_id, duty) in problem.duties.pairs().filter(|(_, d)| d.who.contains(&id)) {
        let times = attendance(duty, duty_span(duty, context.duties[duty_id]), &turns);
        pieces.extend(&times);
        if !duty.leavable {
            tail.extend(&times);
        }
    }
    tail.sort_unstable();
    for span in &pieces {
        let (from, to) = ground.touching(*span);
        busy.insert_range(from, to);
    }
    let call = longest_call(ground);
    for span in tail.iter().chain(&model.away) {
        // Neither in it, nor so near before it that it begins during the call.
        let from = ground.slot_to(span.start() - call + Minutes::new(1));
        let after = ground.moment(from) + call <= span.start();
        callable.remove_range(from + usize::from(after), ground.slot_from(span.end()));
    }
    let recorded: Vec<Span> = model.recorded.iter().map(|r| r.span).collect();
    let mut line = ground.line(id, &recorded, &pieces, end);
    let hulls: Vec<Option<Span>> = model
        .stretches
        .iter()
        .map(|stretch| {
            // Overtime not yet used does not belong to the working stretch.
            let ordinary = stretch.ordinary.iter().copied().reduce(Span::hull)?;
            pieces.iter().filter_map(|p| p.intersection(ordinary)).reduce(Span::hull)
        })
        .collect();
    for hull in hulls.iter().flatten() {
        line.insert(*hull);
    }
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
    let mut spare = vec![0_i32; ground.n_days];
    for s in ground.reserve.hours.iter().filter(|s| fixed.ordinary.has(*s) && !busy.has(*s)) {
        spare[ground.day[s] as usize] += ground.slot;
    }
    PersonState {
        fixed: Arc::new(Fixed { callable, tail, pieces }),
        run,
        busy,
        locked: Bits::none(ground.len),
        line,
        hulls,
        worked: vec![0; ground.n_days],
        overtime: vec![0; ground.n_days],
        spare,
    }
}

/// The longest call any mode asks for; a shorter one is then judged a little too strictly, never too mildly.
fn longest_call(ground: &Ground) -> Minutes {
    ground.reserve.kinds.iter().map(|(_, call)| *call).max().unwrap_or(Minutes::ZERO)
}

impl State<'_> {
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

/// Everybody, those least wanted by the tasks first; ties by id.
fn by_demand(ground: &Ground) -> Vec<PersonId> {
    let demand = demand(ground);
    let mut order: Vec<PersonId> = ground.problem.people.ids().collect();
    order.sort_by_key(|p| (demand[*p], p.index()));
    order
}

/// A first context: open turns and movable duties where they suit, no overtime.
///
/// Open turns go, in time order, to the candidate who can stand them with legal rest and loses the least
/// of his own ordinary hours; movable duties to the earliest time that suits all, in everybody's ordinary
/// hours if there is such a time.
pub(super) fn first_context(ground: &Ground) -> Context {
    let problem = ground.problem;
    let mut turns: IdVec<crate::id::TurnId, PersonId> = problem
        .turns
        .iter()
        .map(|t| match &t.stand {
            crate::model::Stand::Fixed(person) => *person,
            crate::model::Stand::Open(people) => people[0],
        })
        .collect();
    let duties: IdVec<DutyId, crate::time::Moment> = problem
        .duties
        .iter()
        .map(|d| match d.when {
            When::Fixed(span) => span.start(),
            When::Movable { window, .. } => problem.grid.moment(problem.grid.ceil(window.start().max(problem.start))),
        })
        .collect();
    let overtime = IdVec::filled(vec![0; ground.n_days], problem.people.len());
    let open: Vec<crate::id::TurnId> =
        problem.turns.pairs().filter(|(_, t)| matches!(t.stand, crate::model::Stand::Open(_))).map(|(id, _)| id).collect();
    // People on open turns not yet decided stand nowhere while others are.
    let mut decided: Vec<(PersonId, Span)> =
        problem.turns.pairs().filter(|(id, _)| !open.contains(id)).map(|(id, t)| (turns[id], t.span)).collect();
    for id in open {
        let turn = &problem.turns[id];
        let crate::model::Stand::Open(people) = &turn.stand else { continue };
        let best = people.iter().copied().min_by_key(|p| (turn_cost(ground, &decided, *p, turn.span), p.index()));
        if let Some(person) = best {
            turns[id] = person;
            decided.push((person, turn.span));
        }
    }
    let mut context = Context { turns, duties, overtime };
    place_duties(ground, &mut context);
    context
}

/// Whether the turn is impossible for the person, and how many of his ordinary slots it takes.
fn turn_cost(ground: &Ground, decided: &[(PersonId, Span)], person: PersonId, span: Span) -> (bool, usize) {
    let problem = ground.problem;
    let model = &problem.people[person];
    let own: Vec<Span> = decided.iter().filter(|(p, _)| *p == person).map(|(_, s)| *s).collect();
    let mut fixed = own.clone();
    for duty in problem.duties.iter().filter(|d| d.who.contains(&person)) {
        if let When::Fixed(time) = duty.when {
            fixed.extend(attendance(duty, time, &own));
            if duty.on_watch == OnWatch::Clash && time.overlaps(span) {
                return (true, usize::MAX);
            }
        }
    }
    let recorded: Vec<Span> = model.recorded.iter().map(|r| r.span).collect();
    let line = ground.line(person, &recorded, &fixed, ground.len);
    let clash = own.iter().any(|t| t.overlaps(span)) || !model.aboard(span);
    let (from, to) = ground.inside(span);
    let lost = ground.people[person].ordinary.count_range(from, to);
    (clash || !line.fits(span), lost)
}

/// Movable duties, one after the other, at the first time that suits all who attend.
fn place_duties(ground: &Ground, context: &mut Context) {
    let problem = ground.problem;
    let movable: Vec<DutyId> = problem.duties.pairs().filter(|(_, d)| matches!(d.when, When::Movable { .. })).map(|(id, _)| id).collect();
    for (index, id) in movable.iter().enumerate() {
        let rest = &movable[index..];
        if let Some(start) = duty_starts(ground, context, *id, rest).first() {
            context.duties[*id] = *start;
        }
    }
}

/// Starts that suit all who attend a movable duty, those in everybody's ordinary hours first, then by
/// time; duties in `ignore` are taken as not placed.
pub(super) fn duty_starts(ground: &Ground, context: &Context, id: DutyId, ignore: &[DutyId]) -> Vec<crate::time::Moment> {
    let problem = ground.problem;
    let duty = &problem.duties[id];
    let When::Movable { window, length } = duty.when else { return Vec::new() };
    let lines: Vec<(PersonId, Line, Vec<Span>, Vec<Span>)> = duty
        .who
        .iter()
        .map(|p| {
            let model = &problem.people[*p];
            let turns = turns_of(problem, &context.turns, *p);
            let mut taken = turns.clone();
            for (other, d) in problem.duties.pairs().filter(|(o, d)| !ignore.contains(o) && *o != id && d.who.contains(p)) {
                taken.extend(attendance(d, duty_span(d, context.duties[other]), &turns));
            }
            let recorded: Vec<Span> = model.recorded.iter().map(|r| r.span).collect();
            (*p, ground.line(*p, &recorded, &taken, ground.len), taken, turns)
        })
        .collect();
    let mut starts: Vec<(bool, crate::time::Moment)> = Vec::new();
    let step = problem.grid.slot();
    let mut at = problem.grid.moment(problem.grid.ceil(window.start().max(problem.start)));
    while at + length <= window.end() {
        let span = Span::of(at, length).expect("a movable duty has a positive length");
        let suits = lines.iter().all(|(p, line, taken, turns)| {
            let free = match duty.on_watch {
                OnWatch::Clash => !taken.iter().any(|t| t.overlaps(span)),
                OnWatch::Excused | OnWatch::DoneOnWatch => !taken.iter().any(|t| t.overlaps(span) && !turns.contains(t)),
            };
            free && problem.people[*p].aboard(span) && attendance(duty, span, turns).into_iter().all(|s| line.fits(s))
        });
        if suits {
            let (from, to) = ground.touching(span);
            let ordinary = duty.who.iter().all(|p| ground.people[*p].ordinary.has_range(from, to));
            starts.push((!ordinary, at));
        }
        at = at + step;
    }
    starts.sort();
    starts.into_iter().map(|(_, at)| at).collect()
}
