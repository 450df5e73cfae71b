//! Where nothing happened, what people were told stands.

use turnto::model::{Log, Problem};
use turnto::plan::Plan;
use turnto::replan::{NoRemainder, Standing, Whole, remainder};
use turnto::time::Minutes;
use turnto::verify::verify;

use crate::replan::stage::demo_plan;

fn breaches(problem: &Problem, plan: &Plan) -> String {
    match verify(problem, plan.clone()) {
        Ok(_) => String::new(),
        Err(rejected) => rejected.breaches.iter().map(|b| b.describe(problem)).collect::<Vec<_>>().join("\n"),
    }
}

/// If this fails, a replan at some moment would turn over a plan that nothing has happened to.
#[test]
fn with_nothing_logged_what_is_left_of_the_told_plan_is_legal_at_every_moment() {
    let (problem, plan) = demo_plan().clone();
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
                if said.is_empty() {
                    let again = verify(&rest.problem, told).expect("it is legal").account().clone();
                    if again.finish != account.finish || again.told_changed != Minutes::ZERO {
                        wrong.push(format!("at {}: finish {}", problem.clock.day_time(now), problem.clock.day_time(again.finish)));
                    }
                } else {
                    wrong.push(format!("at {}:\n{said}", problem.clock.day_time(now)));
                }
            }
            Err(NoRemainder::Impossible { defects, .. }) => wrong.push(format!("at {}: {defects:?}", problem.clock.day_time(now))),
            Err(other) => wrong.push(format!("at {}: {other:?}", problem.clock.day_time(now))),
        }
        now = now + Minutes::new(150);
    }
    assert!(wrong.is_empty(), "{} moments\n{}", wrong.len(), wrong.iter().take(6).cloned().collect::<Vec<_>>().join("\n"));
}
