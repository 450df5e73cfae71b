//! What a plan's own finish hangs on.

use turnto::model::After;
use turnto::report::waited_for;
use turnto::time::Minutes;
use turnto::verify::verify;

use crate::support::job::{Job, idle_plan, spell};

/// Three people on day work. The crane serves first one task, then the next; the last comes an hour after it and has to
/// wait for the fitter, who is still at something of no consequence.
///
/// If this fails, people are told that order alone makes them wait, while it is a tool, somebody, or the night.
#[test]
fn tools_people_and_hours_are_named() {
    let mut job = Job::new(4);
    let (lift, fit) = (job.competence("LIFT"), job.competence("FIT"));
    let crane = job.tool("CRANE", 1);
    let people = [job.person("A", &[lift]), job.person("B", &[lift]), job.person("C", &[fit])];
    for person in people {
        job.day_work(person);
    }
    let first = job.task("T1", &[lift], 4);
    let second = job.task("T2", &[lift], 2);
    let other = job.task("T3", &[fit], 4);
    let third = job.task("T4", &[fit], 4);
    let fourth = job.task("T5", &[lift], 2);
    job.parts.tasks[first].tools = vec![(crane, 1)];
    job.parts.tasks[second].tools = vec![(crane, 1)];
    job.parts.tasks[third].after = vec![After { task: second, lag: Minutes::hours(1) }];
    job.parts.tasks[fourth].after = vec![After { task: third, lag: Minutes::ZERO }];
    let mut plan = idle_plan(&job.parts);
    plan.spells = vec![
        spell(first, 0, 1, &["08:00-10:00"], &[people[0]]),
        spell(second, 0, 1, &["10:00-11:00"], &[people[1]]),
        spell(other, 0, 1, &["11:00-12:00", "13:00-14:00"], &[people[2]]),
        spell(third, 0, 1, &["14:00-16:00"], &[people[2]]),
        spell(fourth, 0, 2, &["08:00-09:00"], &[people[0]]),
    ];
    let problem = job.problem();
    let verified = verify(&problem, plan).expect("the plan is legal");
    let said = |order: &[turnto::report::ChainLink]| {
        let link = |l: &turnto::report::ChainLink| format!("{} {} {}", problem.tasks[l.task].code, l.wait.get(), l.why).trim().to_owned();
        order.iter().map(link).collect::<Vec<_>>()
    };
    let links = waited_for(&problem, verified.plan(), verified.account());
    assert_eq!(said(&links), ["T3 0", "T4 0 waits for C", "T5 0 waits for hours"]);
    // Without the fitter's other task it is the crane and the hour.
    let mut plan = verified.into_plan();
    plan.spells[4] = spell(fourth, 0, 1, &["15:00-16:00"], &[people[0]]);
    plan.spells[2] = spell(other, 0, 1, &["08:00-10:00"], &[people[2]]);
    plan.spells[3] = spell(third, 0, 1, &["13:00-15:00"], &[people[2]]);
    let verified = verify(&problem, plan).expect("the plan is legal");
    let links = waited_for(&problem, verified.plan(), verified.account());
    assert_eq!(said(&links), ["T1 0", "T2 0 waits for CRANE", "T4 60 waits for hours", "T5 0"]);
}
