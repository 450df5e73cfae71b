//! The job folder written otherwise after people were told a plan.

use std::collections::BTreeSet;

use turnto::id::{CompetenceId, PersonId, TaskId};
use turnto::input::read;
use turnto::model::{Log, Problem, Stop};
use turnto::replan::{Standing, Whole, remainder};
use turnto::time::Minutes;

use crate::replan::stage::{demo_plan, replanned};
use crate::support::demo;

/// The demonstration job, one person of whom cannot do one thing any more.
fn without(person: PersonId, competence: CompetenceId) -> Option<Problem> {
    let problem = &demo_plan().0;
    let (who, what) = (&problem.people[person].code, &problem.competences[competence].code);
    let crew = include_str!("../../../demo-crew/crew.toml");
    let head = format!("[person.{who}]");
    let (before, rest) = crew.split_once(&head).expect("everybody has a table");
    let can = rest.lines().find(|line| line.starts_with("can")).expect("everybody can do something");
    let words: Vec<&str> = can.split_once('=').expect("a key and a value").1.trim().trim_matches('"').split(", ").collect();
    let left: Vec<&str> = words.into_iter().filter(|word| word != what).collect();
    let crew = format!("{before}{head}{}", rest.replacen(can, &format!("can = \"{}\"", left.join(", ")), 1));
    read(&demo::folder().with("crew.toml", crew)).problem
}

/// If this fails, what is under way goes on with somebody who, as the crew is written now, cannot do it, and the plan made
/// of what is left breaks a rule.
#[test]
fn who_cannot_do_it_any_more_does_not_go_on() {
    let (problem, plan) = demo_plan();
    let mut tried: BTreeSet<TaskId> = BTreeSet::new();
    for spell in plan.spells.iter().filter(|s| s.span().length() >= Minutes::hours(1)) {
        if !matches!(problem.tasks[spell.task].stop, Stop::Any { .. }) && tried.len().is_multiple_of(2) || tried.contains(&spell.task) {
            continue;
        }
        let now = spell.span().start() + Minutes::new(30);
        for (need, person) in spell.team.iter().enumerate() {
            let Some(changed) = without(*person, problem.tasks[spell.task].needs[need]) else { continue };
            let whole = Whole::new(changed.clone(), Log::default());
            let rest = remainder(&whole, &Standing::first(changed, plan.clone()), now, 0).expect("something is left");
            let here = rest.tasks.find(|whole| *whole == spell.task);
            let going = here.and_then(|here| rest.problem.tasks[here].under_way.as_ref());
            assert!(going.is_none_or(|going| going.team.get(need) != Some(person)), "{}", problem.tasks[spell.task].code);
            replanned(&rest);
            tried.insert(spell.task);
        }
        if tried.len() >= 8 {
            break;
        }
    }
    assert!(tried.len() >= 5, "{} tasks of the demonstration job could be tried", tried.len());
}
