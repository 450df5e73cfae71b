//! Progress: what is left of a task when the log says how it went.

use turnto::id::TaskId;
use turnto::model::Stop;
use turnto::plan::Spell;
use turnto::replan::State;
use turnto::time::{Minutes, Moment, Slots, Span};

use crate::replan::stage::{at, demo_plan, left, replanned, task, with_log};

/// A spell of a task that stops as `stop` says and is under way at a half hour, with that half hour.
fn under_way(stop: fn(Stop) -> bool) -> (&'static Spell, Moment) {
    let (problem, plan) = demo_plan();
    let long = |s: &&Spell| s.work.len() == 1 && s.span().length() >= Minutes::hours(1) && !s.team.is_empty();
    let mine = |s: &&Spell| stop(problem.tasks[s.task].stop);
    let spell = plan.spells.iter().filter(mine).find(long).expect("there is one");
    (spell, spell.span().start() + Minutes::new(30))
}

fn code(task: TaskId) -> &'static str {
    &demo_plan().0.tasks[task].code
}

fn entry(when: Moment, rest: &str) -> String {
    let clock = &demo_plan().0.clock;
    format!("[[entry]]\nat = \"{}\"\n{rest}\n", clock.day_time(when))
}

/// If this fails, a part under way is not gone on with, or its hours are lost.
#[test]
fn a_part_under_way_goes_on_at_once_with_its_team() {
    let (spell, now) = under_way(|stop| matches!(stop, Stop::Parts(_)));
    let (whole, standing) = with_log("");
    let rest = left(&whole, &standing, now);
    let id = task(&rest.problem, code(spell.task)).expect("it is not done");
    let under = rest.problem.tasks[id].under_way.clone().expect("it is under way");
    assert_eq!(under.team, spell.team);
    assert_eq!(rest.problem.grid.length(under.left), spell.span().end() - now);
    let verified = replanned(&rest);
    let first = verified.plan().spells.iter().find(|s| s.task == id).expect("it goes on");
    assert_eq!((first.span().start(), &first.team), (now, &spell.team));
}

/// If this fails, a part that was broken off counts as done, or its team is kept at it.
#[test]
fn a_part_that_was_broken_off_is_to_do_again() {
    let (spell, now) = under_way(|stop| matches!(stop, Stop::Parts(_)));
    let (whole, standing) = with_log(&entry(now, &format!("what = \"stopped\"\ntask = \"{}\"", code(spell.task))));
    let rest = left(&whole, &standing, now);
    let id = task(&rest.problem, code(spell.task)).expect("it is not done");
    let row = &rest.problem.tasks[id];
    let before: Minutes =
        demo_plan().1.spells.iter().filter(|s| s.task == spell.task && s.span().end() <= now).map(|s| s.span().length()).sum();
    assert!(row.under_way.is_none());
    assert_eq!(rest.problem.grid.length(row.length) + before, rest.problem.grid.length(demo_plan().0.tasks[spell.task].length));
    replanned(&rest);
}

/// If this fails, somebody who cannot go on is kept at a part, or nobody is told that it is to do again.
#[test]
fn a_part_whose_team_falls_sick_is_to_do_again_and_that_is_said() {
    let (spell, now) = under_way(|stop| matches!(stop, Stop::Parts(_)));
    let who = &demo_plan().0.people[spell.team[0]].code;
    let (whole, standing) = with_log(&entry(now, &format!("what = \"unfit\"\nperson = \"{who}\"\nuntil = \"day 9 24:00\"")));
    let rest = left(&whole, &standing, now);
    let id = task(&rest.problem, code(spell.task)).expect("it is not done");
    assert!(rest.problem.tasks[id].under_way.is_none());
    assert!(rest.notes.iter().any(|n| n.contains(code(spell.task)) && n.contains(who.as_str())), "{:?}", rest.notes);
}

/// If this fails, what comes after a task that was done early has to wait for its planned end.
#[test]
fn a_task_done_early_frees_what_comes_after_it() {
    let (spell, now) = under_way(|stop| matches!(stop, Stop::Any { .. }));
    let done = now - Minutes::new(10);
    let (whole, standing) = with_log(&entry(done, &format!("what = \"done\"\ntask = \"{}\"", code(spell.task))));
    let rest = left(&whole, &standing, now);
    assert!(task(&rest.problem, code(spell.task)).is_none());
    assert_eq!(rest.left[spell.task].state, State::Done(done));
    let worked = rest.past.spells.iter().filter(|s| s.task == spell.task).map(|s| s.span().end()).max();
    assert_eq!(worked, Some(done), "nobody is held to have worked after it was done");
    replanned(&rest);
}

/// If this fails, hours that are said to be left, or that a finding adds, are not planned.
#[test]
fn hours_to_go_and_hours_found_are_planned() {
    let (spell, now) = under_way(|stop| matches!(stop, Stop::Any { .. }));
    let code = code(spell.task);
    let said = [
        entry(now, &format!("what = \"to_go\"\ntask = \"{code}\"\nhours = 5")),
        entry(now, &format!("what = \"found\"\ntask = \"{code}\"\nhours = 2.25")),
    ];
    let (whole, standing) = with_log(&said.concat());
    let rest = left(&whole, &standing, now);
    let id = task(&rest.problem, code).expect("it is not done");
    assert_eq!(rest.problem.tasks[id].length, Slots::new(15), "7 h 15 on slots of half an hour");
    replanned(&rest);
}

/// If this fails, a finding on a task that was done is lost.
#[test]
fn a_finding_on_a_task_that_was_done_opens_it_again() {
    let (whole, standing) = with_log(&entry(at(4, 9, 0), "what = \"found\"\ntask = \"A01\"\nhours = 1"));
    let rest = left(&whole, &standing, at(4, 9, 0));
    let id = task(&rest.problem, "A01").expect("it is open again");
    assert_eq!(rest.problem.tasks[id].length, Slots::new(2));
    replanned(&rest);
}

/// If this fails, a spell that was begun by others, or at another time, is not what is gone on with.
#[test]
fn a_spell_begun_by_others_is_theirs() {
    let (problem, plan) = demo_plan();
    let (spell, start) = under_way(|stop| matches!(stop, Stop::Parts(_)));
    let needs = &problem.tasks[spell.task].needs;
    let free = |p| problem.people.pairs().filter(|(_, r)| r.holds(p)).map(|(id, _)| id).collect::<Vec<_>>();
    let mut team: Vec<turnto::id::PersonId> = Vec::new();
    for need in needs {
        let other = free(*need).into_iter().rev().find(|p| !team.contains(p)).expect("somebody else can");
        team.push(other);
    }
    let began = start + Minutes::new(10);
    let names: Vec<&str> = team.iter().map(|p| problem.people[*p].code.as_str()).collect();
    let text = entry(began, &format!("what = \"started\"\ntask = \"{}\"\nby = \"{}\"", code(spell.task), names.join(", ")));
    let (whole, standing) = with_log(&text);
    let rest = left(&whole, &standing, began + Minutes::new(15));
    let id = task(&rest.problem, code(spell.task)).expect("it is not done");
    let mut found = rest.problem.tasks[id].under_way.clone().expect("it is under way").team;
    found.sort_unstable();
    team.sort_unstable();
    assert_eq!(found, team);
    let worked: Vec<Span> = rest.past.spells.iter().filter(|s| s.task == spell.task).map(Spell::span).collect();
    assert!(worked.iter().any(|s| s.start() == began), "{worked:?}");
    assert!(!plan.spells.is_empty());
}

/// If this fails, work that will not be done holds up what comes after it, or is planned all the same.
#[test]
fn a_task_that_is_dropped_holds_up_nothing() {
    let (whole, standing) = with_log(&entry(at(4, 9, 0), "what = \"dropped\"\ntask = \"A29\""));
    let rest = left(&whole, &standing, at(4, 9, 0));
    assert!(task(&rest.problem, "A29").is_none());
    let decision = task(&rest.problem, "A32").expect("it is to come");
    let after: Vec<&str> = rest.problem.tasks[decision].after.iter().map(|a| rest.problem.tasks[a.task].code.as_str()).collect();
    assert!(after.contains(&"A24") || task(&rest.problem, "A24").is_none(), "what A29 waited for still counts: {after:?}");
    replanned(&rest);
}
