//! Who can be called, as it is remembered, against who can be called, asked anew.

use std::sync::Arc;

use crate::engine::calls::Calls;
use crate::engine::context::Context;
use crate::engine::ground::Ground;
use crate::engine::roster::first_context;
use crate::engine::state::{Chunk, State};
use crate::id::{Id, PersonId, TaskId};
use crate::input::{Folder, read};
use crate::model::Problem;
use crate::rest::{Timeline, findings};
use crate::rng::Stream;
use crate::time::{Minutes, Span};

/// The demo job, with another reserve in place of its own.
pub(in crate::engine) fn demo(callable: &str, call: &str) -> Problem {
    let job = include_str!("../../../demo-crew/job.toml");
    let job = job.replace("callable = \"1 OOW, 1 GEN\"", &format!("callable = \"{callable}\""));
    let job = job
        .replace("call     = 2", &format!("call     = {call}"))
        .replace("unbooked = 6\n", "")
        .replace("between  = \"08:00-18:00\"\n", "");
    let folder = Folder::new()
        .with("job.toml", job)
        .with("crew.toml", include_str!("../../../demo-crew/crew.toml"))
        .with("duties.toml", include_str!("../../../demo-crew/duties.toml"))
        .with("machinery.toml", include_str!("../../../demo-crew/machinery.toml"))
        .with("tasks.toml", include_str!("../../../demo-crew/tasks.toml"))
        .with("tools.toml", include_str!("../../../demo-crew/tools.toml"))
        .with("watches.toml", include_str!("../../../demo-crew/watches.toml"))
        .with("hours.csv", include_str!("../../../demo-crew/hours.csv"));
    let reading = read(&folder);
    assert!(!reading.diagnostics.iter().any(|d| d.severity() == crate::diag::Severity::Error), "{:?}", reading.diagnostics);
    reading.problem.expect("the demo job is in order")
}

/// The first context of a job up to its end, with every evening open.
pub(in crate::engine) fn context(ground: &Ground<'_>, end: usize) -> Arc<Context> {
    let mut context = first_context(ground, end).expect("the watches of the demo job are legal");
    context.overtime.iter_mut().for_each(|days| days.iter_mut().for_each(|slots| *slots = u16::MAX));
    Arc::new(context)
}

/// Whether the person can be called in a slot, asked of the line and the locks alone, and remembered nowhere.
fn fresh(state: &State<'_>, person: PersonId, slot: usize) -> bool {
    let ground = state.ground;
    let Some(kinds) = ground.reserve.at[slot] else { return false };
    let length = ground.reserve.kinds[usize::from(kinds)].1;
    let own = &state.people[person];
    let free = own.fixed.callable.has(slot) && !own.locked.has(slot);
    free && own.line.call_fits(state.moment(slot), length, &own.fixed.tail)
}

/// The same from the rules themselves: what was done up to the call, the call, and what may not be dropped after it, judged
/// whole, against the same without the call.
fn naive(state: &State<'_>, person: PersonId, slot: usize) -> bool {
    let (ground, own) = (state.ground, &state.people[person]);
    let Some(kinds) = ground.reserve.at[slot] else { return false };
    if !own.fixed.callable.has(slot) || own.locked.has(slot) {
        return false;
    }
    let at = state.moment(slot);
    let call = Span::of(at, ground.reserve.kinds[usize::from(kinds)].1).expect("a call has a length");
    let who = &ground.problem.people[person];
    let set = &ground.problem.rule_sets[who.rest];
    let done = own.line.work().iter().filter_map(|span| Span::new(span.start(), span.end().min(at)));
    let left = own.fixed.tail.iter().copied().filter(|span| call.end() <= span.start());
    let without: Vec<Span> = done.chain(left).collect();
    let with = [without.clone(), vec![call]].concat();
    let found = |work| findings(set, &Timeline::new(set, work, &who.breaks).on_clock(ground.problem.clock.clone()), call);
    let old = found(without);
    found(with).iter().all(|finding| old.iter().any(|before| finding.no_worse_than(before)))
}

/// Compares every bit of some people with a fresh answer, in slots from `from` to `to`; how many are set.
fn check(state: &State<'_>, people: &[PersonId], from: usize, to: usize, when: &str) -> usize {
    let mut set = 0;
    for person in people.iter().copied().filter(|p| state.ground.reserve.asks_for(*p)) {
        for slot in from..to {
            let kept = state.people[person].on_call[slot / 64] >> (slot % 64) & 1 == 1;
            assert_eq!(kept, fresh(state, person, slot), "{when}: person {}, slot {slot}", person.index());
            set += usize::from(kept);
        }
    }
    set
}

/// A spell that somebody could be given: a task, a team of people who can work then, and slots without pause.
fn spell(state: &State<'_>, dice: &mut Stream) -> Option<(TaskId, Chunk)> {
    let ground = state.ground;
    let task = TaskId::from_index(dice.below(ground.tasks.len()));
    if !ground.tasks[task].tools.is_empty() || ground.tasks[task].attended_by.is_some() {
        return None;
    }
    let length = 1 + dice.below(10);
    let first = dice.below(state.end - length);
    let pieces = vec![(first, first + length)];
    let able: Vec<PersonId> = state.people.ids().filter(|p| state.can_work(task, *p, &pieces)).collect();
    let mut team = Vec::new();
    for _ in 0..=dice.below(3) {
        let person = *able.get(dice.below(able.len()))?;
        if !team.contains(&person) {
            team.push(person);
        }
    }
    Some((task, Chunk { pieces, team }))
}

/// If this fails, somebody counts as callable who is not, or the other way round, because an answer was remembered that
/// depends on more than is looked at, or was not asked again where work changed it.
#[test]
fn what_is_remembered_of_calls_is_what_is_found_anew() {
    for (seed, callable, call) in [(1, "1 OOW, 1 GEN", "2"), (2, "2 OOW, 3 GEN", "4"), (3, "1 LEAD, 2 LIFT", "1")] {
        let problem = demo(callable, call);
        let ground = Ground::new(&problem);
        let end = ground.slot_from(problem.end);
        let mut calls = Calls::default();
        let mut state = State::base(&ground, context(&ground, end), end, &mut calls);
        let mut dice = Stream::new(seed, 0);
        let everybody: Vec<PersonId> = state.people.ids().collect();
        let at_first = check(&state, &everybody, 0, end, "with nothing placed");
        let (mut placed, mut refused) = (0, 0);
        let day = usize::try_from(Minutes::DAY.get() / ground.slot).expect("a day has slots");
        for round in 0..4_000 {
            let Some((task, chunk)) = spell(&state, &mut dice) else { continue };
            let (first, last, team) = (chunk.start(), chunk.end(), chunk.team.clone());
            let before: Vec<Vec<u64>> = state.people.iter().map(|p| p.on_call.clone()).collect();
            if round % 3 == 0 {
                state.put(task, chunk, &mut calls);
                placed += 1;
            } else if state.commit(task, &chunk.pieces, &chunk.team, &mut calls).is_ok() {
                placed += 1;
            } else {
                refused += 1;
                let after: Vec<Vec<u64>> = state.people.iter().map(|p| p.on_call.clone()).collect();
                assert_eq!(before, after, "what was refused leaves no trace");
            }
            if round % 20 == 0 {
                // Within a day after the work it is asked at once; further off, where a week's rest is short, at the end.
                check(&state, &team, first, (last + day).min(end), "after a spell");
            }
        }
        let _: Result<(), usize> = state.reserve_holds_everywhere(&mut calls);
        let at_last = check(&state, &everybody, 0, end, "asked everywhere");
        // A table that remembers nothing gives the same.
        let mut empty = Calls::default();
        let remembered: Vec<Vec<u64>> = state.people.iter().map(|p| p.on_call.clone()).collect();
        let _: Result<(), usize> = state.reserve_holds_everywhere(&mut empty);
        assert_eq!(remembered, state.people.iter().map(|p| p.on_call.clone()).collect::<Vec<_>>());
        assert!(placed > 40 && refused > 0 && at_last < at_first, "{placed} placed, {refused} refused, {at_first} to {at_last}");
    }
}

/// If this fails, the line answers for calls by other rules than those it is made from.
#[test]
fn what_is_found_anew_is_what_the_rules_say() {
    let problem = demo("2 OOW, 3 GEN", "3");
    let ground = Ground::new(&problem);
    let end = ground.slot_from(problem.end);
    let mut calls = Calls::default();
    let mut state = State::base(&ground, context(&ground, end), end, &mut calls);
    let mut dice = Stream::new(4, 0);
    let (mut yes, mut no) = (0, 0);
    for round in 0..1_500 {
        if let Some((task, chunk)) = spell(&state, &mut dice) {
            state.put(task, chunk, &mut calls);
        }
        if round % 5 == 0 {
            let (person, slot) = (PersonId::from_index(dice.below(state.people.len())), dice.below(end));
            let answer = fresh(&state, person, slot);
            assert_eq!(answer, naive(&state, person, slot), "person {}, slot {slot}", person.index());
            *if answer { &mut yes } else { &mut no } += 1;
        }
    }
    assert!(yes > 20 && no > 20, "{yes} yes, {no} no");
}

/// If this fails, somebody is taken for work, or to be callable, without being asked, although rest forbids it.
#[test]
fn where_rest_is_ample_whatever_is_open_fits() {
    let problem = demo("2 OOW, 3 GEN", "3");
    let ground = Ground::new(&problem);
    let end = ground.slot_from(problem.end);
    let plain = Arc::new(first_context(&ground, end).expect("the watches of the demo job are legal"));
    for (seed, context) in [(1, plain), (2, context(&ground, end))] {
        let mut calls = Calls::default();
        let mut state = State::base(&ground, context, end, &mut calls);
        let ample: Vec<PersonId> = state.people.ids().filter(|p| state.people[*p].ample.is_some()).collect();
        assert!(ample.len() > 2, "few people can do all that is open: {ample:?}");
        let mut dice = Stream::new(seed, 0);
        let (mut asked, mut placed) = (0, 0);
        for _ in 0..6_000 {
            let Some((task, chunk)) = spell(&state, &mut dice) else { continue };
            for person in chunk.team.iter().filter(|p| state.people[**p].ample.is_some() && !ground.tasks[task].emergency) {
                let hull = state.hull_with(*person, chunk.start(), chunk.end());
                assert!(state.people[*person].line.fits_on_hand(hull), "person {}, {hull:?}", person.index());
                asked += 1;
            }
            if dice.chance(300) {
                state.put(task, chunk, &mut calls);
                placed += 1;
            }
        }
        assert!(asked > 300 && placed > 40, "{asked} asked, {placed} placed");
        for person in ample {
            let Some(sure) = state.people[person].ample.clone() else { continue };
            for slot in (0..end).filter(|slot| sure[slot / 64] >> (slot % 64) & 1 == 1 && !state.people[person].locked.has(*slot)) {
                assert!(fresh(&state, person, slot), "person {} cannot be called in slot {slot}", person.index());
            }
        }
    }
}
