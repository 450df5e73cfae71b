//! Slack found by planning again: what is told can be done, and what is held by a queue for a tool is held.

use turnto::account::Account;
use turnto::bound::chain;
use turnto::calendar::Hours;
use turnto::engine::{Later, Options, Outcome, Unwatched, Watch, slack, solve};
use turnto::id::{IdVec, TaskId};
use turnto::labour::{Premises, Reserve, smallest_finish_unless};
use turnto::model::{After, Parts, Pinned, Problem};
use turnto::plan::Plan;
use turnto::report::Report;
use turnto::time::{Minutes, Moment, Span};
use turnto::variant::{Variant, hangs_on, may_be_left_out};
use turnto::verify::{Verified, verify};

use crate::output::ship;
use crate::replan::stage::demo_plan;
use crate::support::dice::Dice;
use crate::support::job::{Job, idle_plan, spell};
use crate::verify::tiny;

fn of(problem: &Problem, plan: &Plan) -> IdVec<TaskId, Option<Later>> {
    slack(problem, plan, &mut || false).expect("the plan can be made again")
}

#[track_caller]
fn verified(problem: &Problem, plan: Plan) -> Verified {
    verify(problem, plan).unwrap_or_else(|rejected| {
        let said: Vec<String> = rejected.breaches.iter().map(|b| b.describe(problem)).collect();
        panic!("{}", said.join("\n"))
    })
}

fn overtime(account: &Account) -> Minutes {
    account.people.iter().map(|p| p.overtime + p.night).fold(Minutes::ZERO, |sum, more| sum + more)
}

/// The plan in which a task is later is legal, no worse in anything that is promised, and the task ends in it so much later.
#[track_caller]
fn holds(problem: &Problem, before: &Account, task: TaskId, later: &Later) {
    let code = &problem.tasks[task].code;
    let after = verified(problem, later.plan.clone());
    let after = after.account();
    assert!(later.by > Minutes::ZERO, "{code}: no slack is said to be some");
    assert_eq!(after.tasks[task].end - before.tasks[task].end, later.by, "{code} ends so much later");
    assert!(after.tasks[task].start > before.tasks[task].start, "{code} is held back");
    assert!(after.finish <= before.finish, "{code}: the finish is kept");
    for (id, met) in after.milestones.pairs() {
        assert!(met.late <= before.milestones[id].late, "{code}: milestone {} is kept", problem.milestones[id].code);
    }
    assert!(after.machinery_shortfall <= before.machinery_shortfall, "{code}: machinery");
    assert!(after.reserve_shortfall <= before.reserve_shortfall, "{code}: reserve");
    assert!(overtime(after) <= overtime(before), "{code}: overtime and night work");
}

/// The crane goes from `T1` to `T2`, which cannot come first, since `T0` is done before it.
///
/// 08:00 to 12:00 on day 1 are eight slots. `T1` has the crane for the first four, `T2` for the last four. By order
/// and waits `T1` has four slots until the finish at 12:00, yet a slot later it would hold `T2` past it, and behind `T2` it
/// would end at 15:00. `T0` (08:00 to 09:00) may end when `T2` begins at 10:00, an hour later.
fn crane() -> (Problem, Plan) {
    let mut job = Job::new(2);
    let (a, b, c) = (job.competence("A"), job.competence("B"), job.competence("C"));
    let people = [("PA", a), ("PB", b), ("PC", c)].map(|(code, competence)| {
        let person = job.person(code, &[competence]);
        job.day_work(person);
        person
    });
    let crane = job.tool("CRANE", 1);
    let [t0, t1, t2] = [("T0", c, 2), ("T1", a, 4), ("T2", b, 4)].map(|(code, need, slots)| job.task(code, &[need], slots));
    job.parts.tasks[t1].tools = vec![(crane, 1)];
    job.parts.tasks[t2].tools = vec![(crane, 1)];
    job.parts.tasks[t2].after = vec![After { task: t0, lag: Minutes::ZERO }];
    let mut plan = idle_plan(&job.parts);
    plan.spells = vec![
        spell(t0, 0, 1, &["08:00-09:00"], &[people[2]]),
        spell(t1, 0, 1, &["08:00-10:00"], &[people[0]]),
        spell(t2, 0, 1, &["10:00-12:00"], &[people[1]]),
    ];
    (job.problem(), plan)
}

/// If this fails, a task is said to have time in hand though the next in the queue for its tool waits for it.
#[test]
fn a_queue_for_a_tool_takes_slack_away() {
    let (problem, plan) = crane();
    let by = |slack: &IdVec<TaskId, Minutes>| slack.iter().map(|s| s.get()).collect::<Vec<i32>>();
    let found: IdVec<TaskId, Minutes> = of(&problem, &plan).iter().map(|l| l.as_ref().map_or(Minutes::ZERO, |l| l.by)).collect();
    assert_eq!(by(&found), [60, 0, 0]);
    // What order and waits alone say is wrong here; the report says that, and which it is, only where nothing better is known.
    let verified = verified(&problem, plan);
    let mut solved = turnto::report::Solved { chain: Vec::new(), aims: Vec::new(), ..ship::solved() };
    solved.model = turnto::report::ModelHours::Skipped("not asked".to_owned());
    assert_eq!(by(&Report::new(&problem, &verified, &solved).slack()), [60, 120, 0]);
    let said = |solved: &turnto::report::Solved| {
        let text = turnto::out::days_text(&Report::new(&problem, &verified, solved));
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let text = said(&solved);
    assert!(text.contains("slack by order and waits alone") && !text.contains("TIGHT"), "{text}");
    solved.slack = Some(found);
    let text = said(&solved);
    assert!(text.contains("T1 T2: planned again, none of them was found to be able to end later; 1 of 3 tasks can end later"), "{text}");
    assert!(text.contains("found to be able to end by planning again"), "{text}");
}

/// If this fails, the second in a queue may not go first where the first is late, and slack that is there is not found:
/// without `T0` in its way `T2` takes the crane at 08:00, and `T1` may end at 12:00.
#[test]
fn who_waits_for_a_tool_may_go_first() {
    let (problem, plan) = crane();
    let mut parts = problem.into_parts();
    for task in parts.tasks.iter_mut() {
        task.after.clear();
    }
    let problem = Problem::new(parts).expect("it hangs together");
    let found = of(&problem, &plan);
    let minutes: Vec<i32> = found.iter().map(|l| l.as_ref().map_or(0, |l| l.by.get())).collect();
    assert_eq!(minutes, [180, 120, 0]);
}

/// If this fails, a pinned task is said to have time in hand, or an interrupted run waits for slack.
#[test]
fn what_is_decided_stays_and_who_stops_does_not_wait() {
    let (problem, plan) = crane();
    let mut parts = problem.into_parts();
    let first = parts.tasks.ids().next().expect("a task");
    parts.tasks[first].pinned = Pinned { start: Some(parts.start), ..Pinned::default() };
    let problem = Problem::new(parts).expect("it hangs together");
    assert_eq!(of(&problem, &plan)[first], None);
    assert_eq!(slack(&problem, &plan, &mut || true), None);
    // A plan that breaks a rule is not made again.
    let mut broken = plan;
    broken.spells.retain(|s| s.task != first);
    assert_eq!(slack(&problem, &broken, &mut || false), None);
}

/// If this fails, some slack that is told cannot be had. Jobs with something of every rule, and the demonstration job.
#[test]
fn slack_that_is_told_can_be_had() {
    let options = Options { seed: 0, patience: 0, bound: None, threads: 1, end: None };
    let (mut made, mut some) = (0, 0);
    for seed in 0..150 {
        let problem = Problem::new(tiny::job(&mut Dice::new(seed))).expect("tiny jobs hang together");
        let Outcome::Found(solution) = solve(&problem, &options, &mut Unwatched) else { continue };
        let told = verified(&problem, solution.plan);
        let Some(found) = slack(&problem, told.plan(), &mut || false) else { panic!("job {seed}: its plan cannot be made again") };
        made += 1;
        for (task, later) in found.pairs().filter_map(|(task, later)| Some((task, later.as_ref()?))) {
            holds(&problem, told.account(), task, later);
            some += 1;
        }
    }
    assert!(made >= 40 && some >= 30, "{made} plans, {some} tasks with slack");
    let (problem, plan) = demo_plan();
    let told = verified(problem, plan.clone());
    let found = of(problem, plan);
    let mut tried = 0;
    for (task, later) in found.pairs().filter_map(|(task, later)| Some((task, later.as_ref()?))).step_by(4) {
        holds(problem, told.account(), task, later);
        tried += 1;
    }
    assert!(tried >= 5, "{tried} tasks tried");
}

/// The job with as much of each evening open as a plan uses.
fn evenings(problem: &Problem, plan: &Plan) -> Parts {
    let mut parts = problem.clone().into_parts();
    for (id, person) in problem.people.pairs() {
        let work: Vec<Span> = plan.spells.iter().filter(|s| s.team.contains(&id)).flat_map(|s| s.work.clone()).collect();
        let used = |piece: &Span| {
            let last = work.iter().filter_map(|w| w.intersection(*piece)).map(Span::end).max()?;
            Span::new(piece.start(), last)
        };
        for (stretch, before) in parts.people[id].stretches.iter_mut().zip(&person.stretches) {
            stretch.overtime = before.overtime.iter().filter_map(used).collect();
        }
    }
    parts
}

/// Stops as soon as a plan ends by a moment.
struct Until(Moment, bool);

impl Watch for Until {
    fn improved(&mut self, _generation: u64, finish: Moment) {
        self.1 |= finish <= self.0;
    }
    fn stop(&mut self) -> bool {
        self.1
    }
}

/// The demonstration job, planned in time. Of each task of the longest chain it is asked whether, held back by a slot, it
/// could still let the job end when it does, with the evenings of the plan: by the chain through it, and by the labour
/// model.
///
/// If this fails, a task without an alternative is said to have slack; or slack that is told contradicts what is proven.
#[test]
fn what_has_no_alternative_has_no_slack() {
    let (problem, _) = demo_plan();
    let due = problem.milestones.iter().map(|m| m.due).max().expect("there is a milestone");
    let bound = chain(problem, Hours::WithOvertime).expect("there is a chain");
    let options = Options { seed: 0, patience: 1200, bound: Some(bound.at), threads: 1, end: None };
    let Outcome::Found(solution) = solve(problem, &options, &mut Until(due, false)) else { panic!("there is a plan") };
    let told = verified(problem, solution.plan);
    assert!(told.account().finish <= due, "the plan is in time");
    let found = of(problem, told.plan());
    let premises = Premises { hours: Hours::WithOvertime, reserve: Reserve::Kept };
    let finish = told.account().finish;
    let mut tight = 0;
    for task in bound.links.iter().map(|l| l.task) {
        let mut parts = evenings(problem, told.plan());
        parts.tasks[task].not_before = Some(told.account().tasks[task].start + problem.grid.slot());
        let held = Problem::new(parts).expect("it hangs together");
        let later = chain(&held, Hours::WithOvertime).map_or(true, |c| c.at > finish)
            || smallest_finish_unless(&held, premises, Some(finish), &mut || false).is_ok_and(|s| s.at.is_some_and(|at| at > finish));
        if later {
            assert_eq!(found[task], None, "{}", problem.tasks[task].code);
            tight += 1;
        }
    }
    assert!(
        (1..bound.links.len()).contains(&tight),
        "{tight} of {} tasks without an alternative, finish {}",
        bound.links.len(),
        problem.clock.day_time(finish)
    );
}

/// If this fails, more, or less, than what hangs on a task is left out with it, or what is left does not follow what led
/// to it.
#[test]
fn what_hangs_on_a_task_goes_with_it() {
    let (problem, _) = demo_plan();
    let task = |code: &str| problem.tasks.find(|t| t.code == code).expect("the task is there");
    let gone = hangs_on(problem, task("A24"));
    let codes: Vec<&str> = gone.iter().map(|t| problem.tasks[*t].code.as_str()).collect();
    assert_eq!(codes, ["A24", "A29", "A30", "A31", "A32", "A40"]);
    assert!(may_be_left_out(problem, task("A24")) && !may_be_left_out(problem, task("A60")));
    let left = Variant::LeaveOut(task("A24")).apply(problem).expect("it can be left out");
    assert_eq!(left.tasks.len(), problem.tasks.len() - gone.len());
    // Everything else is there as it was, and every order between two of them holds, directly or through what went.
    let reach = |problem: &Problem| {
        let mut pairs = std::collections::BTreeSet::new();
        for id in problem.order() {
            for after in &problem.tasks[*id].after {
                let (this, before) = (problem.tasks[*id].code.clone(), problem.tasks[after.task].code.clone());
                let more: Vec<(String, String)> =
                    pairs.iter().filter(|(t, _)| *t == before).map(|(_, b): &(String, String)| (this.clone(), b.clone())).collect();
                pairs.extend(more);
                let _: bool = pairs.insert((this, before));
            }
        }
        pairs
    };
    let stays = |code: &String| !codes.contains(&code.as_str());
    let whole: std::collections::BTreeSet<_> = reach(problem).into_iter().filter(|(a, b)| stays(a) && stays(b)).collect();
    assert_eq!(reach(&left), whole);
    assert!(Variant::LeaveOut(task("A05")).apply(problem).is_err(), "a machine is taken out by it");
}
