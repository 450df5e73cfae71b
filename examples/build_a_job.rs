//! A job built in code, planned, verified, printed: what a program needs that has its data from somewhere else.
//!
//! ```text
//! cargo run --release --example build_a_job
//! ```
#![allow(clippy::print_stdout, reason = "an example prints what it found")]

use std::process::ExitCode;

use chrono::NaiveDate;
use turnto::clock::{Day, ShipClock};
use turnto::engine::{self, Options, Unwatched};
use turnto::id::{CompetenceId, IdVec, PersonId, PhaseId, RuleSetId, TaskId};
use turnto::model::{After, Aim, Estimate, Named, Parts, Person, Problem, Stop, Stretch, Task};
use turnto::rest::RuleSet;
use turnto::time::{Grid, Minutes, Moment, Slots, Span};
use turnto::verify::verify;

fn main() -> ExitCode {
    let problem = match job() {
        Ok(problem) => problem,
        Err(words) => {
            println!("the job does not hang together: {words}");
            return ExitCode::FAILURE;
        }
    };
    let options = Options { seed: 0, patience: 50, bound: None, threads: 1, end: None };
    let engine::Outcome::Found(solution) = engine::solve(&problem, &options, &mut Unwatched) else {
        println!("no plan was found");
        return ExitCode::FAILURE;
    };
    // Nobody should use a plan that was not verified; the verifier shares no code with the planner.
    let verified = match verify(&problem, solution.plan) {
        Ok(verified) => verified,
        Err(rejected) => {
            for breach in rejected.breaches {
                println!("{}", breach.describe(&problem));
            }
            return ExitCode::FAILURE;
        }
    };
    for spell in &verified.plan().spells {
        let team: Vec<&str> = spell.team.iter().map(|p| problem.people[*p].code.as_str()).collect();
        let (from, to) = (problem.clock.day_time(spell.span().start()), problem.clock.hour(spell.span().end()));
        println!("{from}-{to}  {:6} {}", problem.tasks[spell.task].code, team.join(", "));
    }
    println!("finish {}", problem.clock.day_time(verified.account().finish));
    ExitCode::SUCCESS
}

/// Two people, three tasks, three days at most.
fn job() -> Result<Problem, String> {
    let day_one = NaiveDate::from_ymd_opt(2027, 3, 1).ok_or("no such day")?;
    let clock = ShipClock::new(day_one, Minutes::hours(1), Vec::new()).ok_or("no such clock")?;
    let grid = Grid::new(Minutes::new(30)).ok_or("no such grid")?;
    let (start, end) = (clock.at(Day::new(1), Minutes::hours(8)), clock.at(Day::new(4), Minutes::hours(8)));
    let mut competences: IdVec<CompetenceId, Named> = IdVec::new();
    let lead = competences.push(named("LEAD"));
    let fit = competences.push(named("FIT"));
    let mut people: IdVec<PersonId, Person> = IdVec::new();
    people.push(person("2E", &[lead, fit], &clock, start));
    people.push(person("FT", &[fit], &clock, start));
    let mut phases: IdVec<PhaseId, Named> = IdVec::new();
    let phase = phases.push(named("work"));
    let mut tasks: IdVec<TaskId, Task> = IdVec::new();
    let strip = tasks.push(task("STRIP", phase, &[lead, fit], 6, &[]));
    let clean = tasks.push(task("CLEAN", phase, &[fit], 10, &[(strip, 0)]));
    tasks.push(task("CLOSE", phase, &[lead, fit], 8, &[(clean, 12)]));
    let mut rule_sets: IdVec<RuleSetId, RuleSet> = IdVec::new();
    rule_sets.push(RuleSet::stcw_mlc_rest());
    let parts = Parts {
        ship: "MV Built in Code".to_owned(),
        title: "A small overhaul".to_owned(),
        clock,
        grid,
        start,
        end,
        latest_end: end + Minutes::hours(72),
        layout_end: end + Minutes::hours(72 + 8 * 24),
        competences,
        rule_sets,
        people,
        posts: IdVec::new(),
        turns: IdVec::new(),
        duties: IdVec::new(),
        phases,
        tags: IdVec::new(),
        tasks,
        tools: IdVec::new(),
        holds: Vec::new(),
        bans: Vec::new(),
        units: IdVec::new(),
        groups: IdVec::new(),
        never_together: Vec::new(),
        modes: IdVec::new(),
        mode_spans: Vec::new(),
        milestones: IdVec::new(),
        aims: Aim::DEFAULT.to_vec(),
        told: None,
    };
    Problem::new(parts).map_err(|defects| defects.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))
}

fn named(code: &str) -> Named {
    Named { code: code.to_owned(), name: String::new() }
}

/// Somebody with day work from 08 to 12 and 13 to 17 on fifteen days, who comes rested.
fn person(code: &str, competences: &[CompetenceId], clock: &ShipClock, start: Moment) -> Person {
    let on = |day: i32, from: i32, to: i32| {
        Span::new(clock.at(Day::new(day), Minutes::hours(from)), clock.at(Day::new(day), Minutes::hours(to)))
    };
    let stretch = |day: i32| Stretch {
        day: Day::new(day),
        ordinary: on(day, 8, 12).into_iter().chain(on(day, 13, 17)).collect(),
        overtime: Vec::new(),
    };
    Person {
        code: code.to_owned(),
        name: code.to_owned(),
        role: String::new(),
        competences: competences.to_vec(),
        stretches: (1..=15).map(stretch).collect(),
        breaks: (1..=15).filter_map(|day| on(day, 12, 13)).collect(),
        job_cap: None,
        evenings: None,
        rest: turnto::id::Id::from_index(0),
        away: Vec::new(),
        recorded: Vec::new(),
        on_call: Vec::new(),
        recorded_from: Some(start - Minutes::hours(8 * 24)),
        answers_for: Vec::new(),
        before: turnto::model::Before::default(),
    }
}

/// A task of so many half-hours; `after` with waits in hours.
fn task(code: &str, phase: PhaseId, needs: &[CompetenceId], slots: i32, after: &[(TaskId, i32)]) -> Task {
    let hours = Minutes::new(30 * slots);
    Task {
        code: code.to_owned(),
        text: String::new(),
        phase,
        needs: needs.to_vec(),
        hours: Estimate { least: hours, typical: hours, most: hours },
        length: Slots::new(slots),
        stop: Stop::Any { min_spell: Slots::new(2) },
        pauses: true,
        after: after.iter().map(|(task, lag)| After { task: *task, lag: Minutes::hours(*lag) }).collect(),
        tools: Vec::new(),
        not_before: None,
        not_after: None,
        tags: Vec::new(),
        takes_out: Vec::new(),
        hands_back: Vec::new(),
        same: Vec::new(),
        different: Vec::new(),
        emergency: false,
        attended_by: None,
        pinned: turnto::model::Pinned::default(),
        close_up: turnto::model::CloseUp::Needed,
        under_way: None,
    }
}
