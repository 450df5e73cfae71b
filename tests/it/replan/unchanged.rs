//! Where nothing happened, what people were told stands.

use turnto::engine::{Options, Outcome, Unwatched, solve};
use turnto::model::{Log, Problem};
use turnto::plan::Plan;
use turnto::replan::{NoRemainder, Standing, Whole, remainder};
use turnto::time::Minutes;
use turnto::verify::verify;

use crate::support::demo;

/// The first plan the engine makes of a problem.
pub(crate) fn first_plan(problem: &Problem) -> Plan {
    let options = Options { seed: 0, patience: 0, bound: None };
    match solve(problem, &options, &mut Unwatched) {
        Outcome::Found(solution) => solution.plan,
        Outcome::Stuck(task) => panic!("no place for {}", problem.tasks[task].code),
    }
}

fn breaches(problem: &Problem, plan: &Plan) -> String {
    match verify(problem, plan.clone()) {
        Ok(_) => String::new(),
        Err(rejected) => rejected.breaches.iter().map(|b| b.describe(problem)).collect::<Vec<_>>().join("\n"),
    }
}

/// If this fails, a replan at some moment would turn over a plan that nothing has happened to.
#[test]
fn with_nothing_logged_what_is_left_of_the_told_plan_is_legal_at_every_moment() {
    let problem = demo::problem();
    let plan = first_plan(&problem);
    let account = verify(&problem, plan.clone()).expect("the first plan is legal").account().clone();
    let whole = Whole::new(problem.clone(), Log::default());
    let standing = Standing::first(problem.clone(), plan);
    let mut now = problem.start;
    let mut wrong = Vec::new();
    while now < account.finish {
        match remainder(&whole, &standing, now, 0) {
            Ok(rest) => {
                let told = rest.problem.told.clone().expect("there is a told plan");
                let said = breaches(&rest.problem, &told);
                if !said.is_empty() {
                    wrong.push(format!("at {}:\n{said}", problem.clock.day_time(now)));
                } else {
                    let again = verify(&rest.problem, told).expect("it is legal").account().clone();
                    if again.finish != account.finish || again.told_changed != Minutes::ZERO {
                        wrong.push(format!("at {}: finish {}", problem.clock.day_time(now), problem.clock.day_time(again.finish)));
                    }
                }
            }
            Err(NoRemainder::Impossible(defects)) => wrong.push(format!("at {}: {defects:?}", problem.clock.day_time(now))),
            Err(other) => wrong.push(format!("at {}: {other:?}", problem.clock.day_time(now))),
        }
        now = now + Minutes::new(150);
    }
    assert!(wrong.is_empty(), "{} moments\n{}", wrong.len(), wrong.iter().take(6).cloned().collect::<Vec<_>>().join("\n"));
}
