//! The search: what it may not depend on.

use turnto::bound::chain;
use turnto::calendar::Hours;
use turnto::engine::{Options, Outcome, Solution, Unwatched, solve};

use crate::support::demo;

fn planned(threads: usize, patience: u64) -> Solution {
    let problem = demo::problem();
    let bound = chain(&problem, Hours::Ordinary).map(|c| c.at).ok();
    let Outcome::Found(solution) = solve(&problem, &Options { seed: 3, patience, bound, threads }, &mut Unwatched) else {
        panic!("the demo has a plan")
    };
    solution
}

/// If this fails, the plan depends on how many threads carry the search.
#[test]
fn threads_only_carry_the_search() {
    let one = planned(1, 60);
    for threads in [2, 3, 8] {
        let other = planned(threads, 60);
        assert_eq!((&other.plan, other.generations), (&one.plan, one.generations), "{threads} threads");
    }
}

/// If this fails, patience is not what decides when the search ends, or more of it may give a worse plan.
#[test]
fn more_patience_searches_longer() {
    let (short, long) = (planned(2, 20), planned(2, 80));
    assert!(long.generations > short.generations, "{} and {}", long.generations, short.generations);
}
