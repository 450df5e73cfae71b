//! The engine's finish held to the least there is, on jobs so small that all their plans can be looked at.

mod every;
mod job;

use turnto::bound::chain;
use turnto::calendar::Hours;
use turnto::engine::{Options, Outcome, Unwatched, solve};
use turnto::model::Problem;
use turnto::plan::Plan;
use turnto::time::Moment;
use turnto::verify::verify;

use crate::support::dice::Dice;
use crate::verify::brute::jobs;

use self::every::{Every, TooMany};

/// Looks at plans, whole or in part, after which a job is given up.
const MOST: usize = 150_000;
/// As the program is patient.
const PATIENCE: u64 = 1200;

/// What the engine came to.
#[derive(Debug)]
enum Engine {
    /// A plan that falls short of nothing.
    Whole(Moment),
    /// A plan that falls short.
    Short,
    /// None.
    None,
}

/// Plans as the program does.
fn engine(problem: &Problem, seed: u64) -> Engine {
    let Ok(with_overtime) = chain(problem, Hours::WithOvertime) else { return Engine::None };
    let aim = chain(problem, Hours::Ordinary).map_or(with_overtime.at, |chain| chain.at);
    let options = Options { seed: 0, patience: PATIENCE, bound: Some(aim), threads: 1 };
    let Outcome::Found(solution) = solve(problem, &options, &mut Unwatched) else { return Engine::None };
    let verified = verify(problem, solution.plan).unwrap_or_else(|rejected| panic!("seed {seed}: {:?}", rejected.breaches));
    let account = verified.account();
    if account.machinery_shortfall + account.reserve_shortfall == 0 { Engine::Whole(account.finish) } else { Engine::Short }
}

/// How the jobs came out.
#[derive(Default, Debug)]
struct Tally {
    /// The engine's finish is the least there is.
    least: usize,
    /// No plan falls short of nothing, and the engine found none.
    none: usize,
    /// Given up.
    too_many: usize,
    /// The engine's finish is later: seed, what it found, the least finish.
    later: Vec<(u64, String, Moment)>,
}

/// If this fails, the engine does not find the least finish on a job of a few hours, or the enumeration does not know
/// plans that the engine makes.
#[test]
fn the_finish_is_the_least_there_is() {
    let mut tally = Tally::default();
    for seed in 0..jobs(30) {
        let problem = job::job(&mut Dice::new(seed));
        let found = engine(&problem, seed);
        let upto = if let Engine::Whole(finish) = found { finish } else { problem.latest_end };
        match (Every::new(&problem, MOST).least(upto), &found) {
            (Err(TooMany), _) => tally.too_many += 1,
            (Ok(None), Engine::Whole(finish)) => panic!("seed {seed}: the enumeration does not know the plan to {finish:?}"),
            (Ok(None), _) => tally.none += 1,
            (Ok(Some((least, _))), Engine::Whole(finish)) if least == *finish => tally.least += 1,
            (Ok(Some((least, plan))), _) => {
                check(&problem, plan, least);
                tally.later.push((seed, format!("{found:?}"), least));
            }
        }
    }
    eprintln!("{tally:?}");
    assert!(tally.later.is_empty(), "{tally:?}");
}

/// What the enumeration found is what it says.
fn check(problem: &Problem, plan: Plan, finish: Moment) {
    let verified = verify(problem, plan).expect("the enumeration only keeps legal plans");
    assert_eq!(verified.account().finish, finish);
}
