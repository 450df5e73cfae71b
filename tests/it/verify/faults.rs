//! Fault seeding: one mutation of a legal plan (or of the job it answers) for every clause of the hard rules,
//! which the verifier must name exactly, and nothing else. Rest rules have their own cases.

use turnto::id::TaskId;
use turnto::verify::{Breach, Clause, Thing};

use crate::verify::fixture::Fixture;
use crate::verify::{people_rules, work_rules};

/// A mutation, and the breaches it must bring, sorted by clause.
pub(crate) type Case = fn(&mut Fixture) -> Vec<Breach>;

pub(crate) fn of(clause: Clause, task: TaskId) -> Breach {
    Breach::new(clause).of(Thing::Task(task))
}

/// Runs every case of `cases` on a fresh copy of the job.
#[track_caller]
pub(crate) fn check(cases: &[(&str, Case)]) {
    for (name, case) in cases {
        let mut fixture = Fixture::new();
        let expected = case(&mut fixture);
        match fixture.judge() {
            Ok(_) => panic!("{name}: the plan passes"),
            Err(rejected) => {
                let (problem, found) = *rejected;
                let said: Vec<String> = found.iter().map(|b| b.describe(&problem)).collect();
                assert_eq!(found, expected, "{name}: {said:#?}");
            }
        }
    }
}

/// If this fails every other case here is worthless: the plan that the faults are seeded in must be legal.
#[test]
fn the_plan_without_a_fault_passes() {
    let said = Fixture::new().judge().map_err(|rejected| rejected.1.iter().map(|b| b.describe(&rejected.0)).collect::<Vec<_>>());
    assert_eq!(said.err(), None);
}

/// Every clause but the rest rules must have a case; otherwise a clause could be dropped unseen.
#[test]
fn no_clause_is_without_a_case() {
    let people = [people_rules::ONE_THING, people_rules::POSTS, people_rules::PERSONS, people_rules::HOURS];
    let work = [work_rules::TEAMS, work_rules::STOPS, work_rules::ORDER, work_rules::DUTIES, work_rules::TOOLS];
    let mut seeded: Vec<Clause> = Vec::new();
    for (_, case) in people.into_iter().chain(work).flatten() {
        seeded.extend(case(&mut Fixture::new()).into_iter().map(|breach| breach.clause));
    }
    let missing: Vec<Clause> = Clause::NAMED.into_iter().filter(|clause| !seeded.contains(clause)).collect();
    assert_eq!(missing, Vec::new());
}
