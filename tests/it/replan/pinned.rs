//! What is decided about the people of a task that is under way with others.

use turnto::model::{Problem, Stop};
use turnto::plan::Spell;
use turnto::replan::Remainder;
use turnto::time::{Minutes, Moment};

use crate::replan::stage::{at, demo_plan, left, person, replanned, task, with_pins};

/// A spell of a task that stops as `stop` says and is under way at a half hour, of one who can be done without there, with
/// that half hour: the task, the spell, the person's place.
fn under_way(stop: fn(Stop) -> bool) -> (&'static Spell, usize, Moment) {
    let (problem, plan) = demo_plan();
    let long = |s: &&Spell| s.work.len() == 1 && s.span().length() >= Minutes::hours(1);
    let mine = |s: &&Spell| stop(problem.tasks[s.task].stop) && problem.tasks[s.task].same.is_empty();
    let mut spells = plan.spells.iter().filter(mine).filter(long);
    let place = |s: &Spell| {
        let (need, _) = s.team.iter().enumerate().find(|(n, _)| problem.holders(problem.tasks[s.task].needs[*n]).len() > 4)?;
        Some((need, s.span().start() + Minutes::new(30)))
    };
    spells.find_map(|s| place(s).map(|(need, now)| (s, need, now))).expect("there is one")
}

fn keeps_off(problem: &Problem, spell: &Spell, need: usize) -> String {
    let who = &problem.people[spell.team[need]].code;
    format!("[[pin]]\ntask = \"{}\"\nnot = \"{who}\"\n", problem.tasks[spell.task].code)
}

/// The spells of the task in the first plan of what is left, verified.
fn planned(rest: &Remainder, code: &str) -> Vec<Spell> {
    let id = task(&rest.problem, code).expect("it is not done");
    let mut spells: Vec<Spell> = replanned(rest).plan().spells.iter().filter(|s| s.task == id).cloned().collect();
    spells.sort_by_key(Spell::span);
    spells
}

/// If this fails, a pin against who is at a part makes a plan that the verifier rejects, or the part is left.
#[test]
fn a_part_goes_on_with_who_is_at_it_whatever_was_decided() {
    let (problem, _) = demo_plan();
    let (spell, need, now) = under_way(|stop| matches!(stop, Stop::Parts(_)));
    let (whole, standing) = with_pins(&keeps_off(problem, spell, need), "");
    let rest = left(&whole, &standing, now);
    let code = &problem.tasks[spell.task].code;
    let spells = planned(&rest, code);
    assert_eq!((spells[0].span().start(), &spells[0].team), (now, &spell.team));
    assert!(spells[1..].iter().all(|s| !s.team.contains(&spell.team[need])), "he is kept off what comes after it");
    assert!(rest.notes.iter().any(|n| n.starts_with(&format!("The part of task {code} under way goes on"))), "{:?}", rest.notes);
}

/// If this fails, a pin against who is at a task that may not stop makes a plan that the verifier rejects.
#[test]
fn what_may_not_stop_goes_on_with_who_is_at_it() {
    let (problem, _) = demo_plan();
    let (spell, need, now) = under_way(|stop| matches!(stop, Stop::Never));
    let (whole, standing) = with_pins(&keeps_off(problem, spell, need), "");
    let rest = left(&whole, &standing, now);
    let code = &problem.tasks[spell.task].code;
    assert_eq!(planned(&rest, code)[0].team, spell.team);
    assert!(rest.notes.iter().any(|n| n.starts_with(&format!("Task {code} is under way and goes on"))), "{:?}", rest.notes);
}

/// If this fails, a task that may stop anywhere goes on with somebody who is kept off it.
#[test]
fn what_may_stop_is_taken_over() {
    let (problem, _) = demo_plan();
    let (spell, need, now) = under_way(|stop| matches!(stop, Stop::Any { .. }));
    let (whole, standing) = with_pins(&keeps_off(problem, spell, need), "");
    let rest = left(&whole, &standing, now);
    let code = &problem.tasks[spell.task].code;
    assert!(planned(&rest, code).iter().all(|s| !s.team.contains(&spell.team[need])));
    assert!(rest.notes.iter().any(|n| n.starts_with(&format!("Task {code} does not go on with"))), "{:?}", rest.notes);
}

/// If this fails, the log may not say that others began a task than those who were decided for it.
#[test]
fn the_log_may_have_others_begin_than_was_decided() {
    let (problem, _) = demo_plan();
    let (whole, standing) = with_pins(
        "[[pin]]\ntask = \"A03\"\nby = \"3E\"\nfor = \"LEAD\"\n",
        "[[entry]]\nat = \"day 1 08:30\"\nwhat = \"started\"\ntask = \"A03\"\nby = \"CE, 2E, EO\"\n",
    );
    let rest = left(&whole, &standing, at(1, 9, 0));
    assert!(planned(&rest, "A03")[0].team.contains(&person(problem, "2E")));
}

/// If this fails, who is put on a task without a word of which place is moved to another than the one told.
#[test]
fn who_is_put_on_a_task_keeps_the_place_that_was_told() {
    let (problem, plan) = demo_plan();
    // Somebody who was told a place of a task and may have an earlier one too.
    let other = |s: &&Spell| {
        let needs = &problem.tasks[s.task].needs;
        (1..needs.len()).find(|n| (0..*n).any(|m| problem.people[s.team[*n]].holds(needs[m])) && problem.holders(needs[*n]).len() > 2)
    };
    let (spell, need) = plan.spells.iter().find_map(|s| other(&s).map(|need| (s, need))).expect("there is one");
    let (code, who) = (&problem.tasks[spell.task].code, &problem.people[spell.team[need]].code);
    let (whole, standing) = with_pins(&format!("[[pin]]\ntask = \"{code}\"\nby = \"{who}\"\n"), "");
    let rest = left(&whole, &standing, problem.start);
    let id = task(&rest.problem, code).expect("it is not done");
    assert_eq!(rest.problem.tasks[id].pinned.team, [(need, spell.team[need])]);
    assert_ne!(whole.parts.tasks[id].pinned.team, rest.problem.tasks[id].pinned.team, "otherwise this shows nothing");
}
