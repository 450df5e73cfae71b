//! A rest rule of the company's own, added to a set: one rest of at least nine hours in any 24. The demo job is planned
//! with and without it, and both plans are verified under their own rules.
//!
//! ```text
//! cargo run --release --example add_a_rule
//! ```
#![allow(clippy::print_stdout, reason = "an example prints what it found")]
#![allow(clippy::disallowed_types, clippy::disallowed_methods, reason = "an example reads files")]

use std::fs;
use std::path::Path;
use std::process::ExitCode;

use turnto::engine::{self, Options, Unwatched};
use turnto::input::{Folder, read};
use turnto::model::Problem;
use turnto::rest::rule::{Kind, LongestRest, Rule};
use turnto::rest::{Edge, RuleSet, Windows};
use turnto::time::Minutes;
use turnto::verify::verify;

fn main() -> ExitCode {
    let Some(problem) = demo() else {
        println!("the demo job cannot be read");
        return ExitCode::FAILURE;
    };
    let own = Rule {
        code: "company-9h".to_owned(),
        kind: Kind::LongestRest(LongestRest {
            window: Minutes::DAY,
            at_least: Minutes::hours(9),
            windows: Windows::Anchored,
            edge: Edge::Part,
        }),
        source: "a company's own instruction, invented".to_owned(),
    };
    let mut parts = problem.clone().into_parts();
    for set in parts.rule_sets.iter_mut() {
        let mut rules = set.clone().into_parts();
        rules.code.push_str("+company");
        rules.rules.push(own.clone());
        match RuleSet::new(rules) {
            Ok(made) => *set = made,
            Err(errors) => {
                println!("{}", errors.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "));
                return ExitCode::FAILURE;
            }
        }
    }
    let with = Problem::new(parts).ok();
    let done = say("as the rules are", &problem) && with.is_some_and(|with| say("with nine hours in one piece", &with));
    if done { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Plans, verifies and says what came of it. That there is no plan is an answer too; a plan that breaks a rule is not.
fn say(what: &str, problem: &Problem) -> bool {
    let options = Options { seed: 0, patience: 0, bound: None, threads: 1, end: None };
    let engine::Outcome::Found(solution) = engine::solve(problem, &options, &mut Unwatched) else {
        println!("{what}: no plan was found");
        return true;
    };
    match verify(problem, solution.plan) {
        Ok(verified) => {
            let least = verified.account().people.iter().map(|p| p.rest.longest_24h).min().unwrap_or(Minutes::DAY);
            println!("{what}: finish {}, the least longest rest is {least}", problem.clock.day_time(verified.account().finish));
            true
        }
        Err(rejected) => {
            println!("{what}: {} breaches", rejected.breaches.len());
            false
        }
    }
}

fn demo() -> Option<Problem> {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-crew");
    let mut folder = Folder::new();
    for entry in fs::read_dir(&top).ok()?.flatten() {
        if let (true, Some(name)) = (entry.path().is_file(), entry.file_name().to_str()) {
            folder.add(name, fs::read(entry.path()).ok()?);
        }
    }
    read(&folder).problem
}
