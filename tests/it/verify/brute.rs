//! Brute force on tiny jobs: around a plan, every task is put at every slot with every team and every split,
//! every duty and turn is moved, and the verifier must agree with the second one on every plan.

use turnto::bound::machines_short;
use turnto::calendar::{Fit, Hours, People};
use turnto::engine::{Options, Outcome, Unwatched, solve};
use turnto::id::{Id, PersonId, TaskId};
use turnto::model::{Parts, Problem, Stand, Stop, When};
use turnto::plan::{OnHand, Plan, Spell};
use turnto::report::{AimValue, Amount, Proven, aim_values};
use turnto::time::{Minutes, Span};
use turnto::verify::{Clause, Verified, verify};

use crate::support::dice::Dice;
use crate::support::job::idle_plan;
use crate::verify::oracle::{self, Verdict};
use crate::verify::tiny::{self, LENGTH, slots};

/// How often each thing happened, so that the test can say whether it tried anything.
#[derive(Default, Debug)]
struct Tally {
    plans: usize,
    legal: usize,
    short: usize,
    broken: [usize; 9],
}

/// One way to do something differently.
type Change = Box<dyn Fn(&mut Plan)>;

fn teams(parts: &Parts, needs: usize) -> Vec<Vec<PersonId>> {
    let people: Vec<PersonId> = parts.people.ids().collect();
    (0..needs).fold(vec![Vec::new()], |teams, _| {
        teams.iter().flat_map(|team| people.iter().map(move |p| [team.as_slice(), &[*p]].concat())).collect()
    })
}

/// Pieces of work, as slots from the start, in which `length` slots can lie from `from` on: in one piece, with a
/// pause of one to four slots, or not at all as long as asked.
fn pieces(from: i32, length: i32) -> Vec<Vec<(i32, i32)>> {
    let mut ways = vec![vec![(from, from + length)]];
    for first in 1..length {
        for pause in 1..=4 {
            ways.push(vec![(from, from + first), (from + first + pause, from + length + pause)]);
        }
    }
    ways
}

fn spell(task: turnto::id::TaskId, part: u32, pieces: &[(i32, i32)], team: &[PersonId]) -> Spell {
    Spell { work: pieces.iter().map(|(from, to)| slots(*from, *to)).collect(), task, part, team: team.to_vec() }
}

/// Every way to do one task: all starts, all teams, one spell or two, paused or not. The second of two spells
/// starts up to six slots later, and its team may differ.
fn ways(parts: &Parts, task: turnto::id::TaskId) -> Vec<Vec<Spell>> {
    let row = &parts.tasks[task];
    let length = row.length.count();
    let teams = teams(parts, row.needs.len());
    let mut ways = Vec::new();
    for from in -1..LENGTH {
        for pieces in pieces(from, length) {
            for team in &teams {
                ways.push(vec![spell(task, 0, &pieces, team)]);
            }
        }
        let second_part = u32::from(matches!(row.stop, Stop::Parts(_)));
        for first in 1..length {
            for later in 0..6 {
                for team in &teams {
                    let second = if later % 2 == 0 { team } else { &teams[teams.len() - 1] };
                    let start = from + first + later;
                    let end = start + length - first;
                    ways.push(vec![spell(task, 0, &[(from, from + first)], team), spell(task, second_part, &[(start, end)], second)]);
                }
            }
        }
    }
    ways
}

/// Whether the teams of a way are able, all different, and no part is split in two.
fn able(parts: &Parts, way: &[Spell]) -> bool {
    let task = &parts.tasks[way[0].task];
    let one = matches!(task.stop, Stop::Parts(1) | Stop::Never) || task.needs.is_empty();
    let two = matches!(task.stop, Stop::Parts(2));
    (!one || way.len() == 1)
        && (!two || way.len() == 2)
        && way.iter().all(|spell| {
            let repeats = spell.team.iter().enumerate().any(|(n, p)| spell.team[..n].contains(p));
            !repeats && task.needs.iter().zip(&spell.team).all(|(need, p)| parts.people[*p].holds(*need))
        })
}

fn replace(task: turnto::id::TaskId, way: Vec<Spell>) -> Change {
    Box::new(move |plan| {
        plan.spells.retain(|s| s.task != task);
        plan.spells.extend(way.iter().cloned());
    })
}

/// Every change of one duty, one turn or the time on hand of one person.
fn other_changes(parts: &Parts) -> Vec<Change> {
    let mut changes: Vec<Change> = Vec::new();
    for (id, duty) in parts.duties.pairs() {
        if let When::Movable { window, .. } = duty.when {
            for step in -1..6 {
                let moved = window.start() + Minutes::new(30 * step);
                changes.push(Box::new(move |plan| plan.duties[id] = moved));
            }
        }
    }
    for turn in parts.turns.ids() {
        for person in parts.people.ids() {
            changes.push(Box::new(move |plan| plan.turns[turn] = person));
        }
    }
    for person in parts.people.ids() {
        for from in (0..LENGTH).step_by(6) {
            for length in [2, 8] {
                let span = slots(from, from + length);
                changes.push(Box::new(move |plan| {
                    plan.on_hand.retain(|h| h.person != person);
                    plan.on_hand.push(OnHand { person, span });
                }));
            }
        }
    }
    changes
}

/// Compares the two on one plan; says how many breaches the first one finds.
#[track_caller]
fn agree(problem: &Problem, parts: &Parts, plan: &Plan, tally: &mut Tally) -> usize {
    let expected = oracle::judge(parts, plan);
    let found = match verify(problem, plan.clone()) {
        Ok(verified) => {
            let account = verified.account();
            (Vec::new(), account.machinery_shortfall, account.reserve_shortfall)
        }
        Err(rejected) => (rejected.breaches, 0, 0),
    };
    let rules = found.0.iter().map(turnto::verify::Breach::rule).collect();
    let verdict = Verdict { broken: rules, machinery: found.1, reserve: found.2 };
    let said: Vec<String> = found.0.iter().map(|b| b.describe(problem)).collect();
    assert_eq!(verdict, expected, "the first verifier (left) says {said:#?} of {plan:#?} in {parts:#?}");
    if expected.broken.is_empty() {
        let least = machines_short(problem);
        assert!(
            least <= expected.machinery,
            "no plan is said to have fewer than {least}, {plan:#?} has {} in {parts:#?}",
            expected.machinery
        );
    }
    tally.plans += 1;
    tally.legal += usize::from(expected.broken.is_empty());
    tally.short += usize::from(expected.machinery + expected.reserve > 0);
    for rule in &expected.broken {
        tally.broken[usize::from(*rule)] += 1;
    }
    found.0.len()
}

/// A tiny job with every way to do each of its tasks, and those of them that make sense.
struct Ground {
    parts: Parts,
    problem: Problem,
    all: Vec<Vec<Vec<Spell>>>,
    sensible: Vec<Vec<Vec<Spell>>>,
    others: Vec<Change>,
}

impl Ground {
    fn new(dice: &mut Dice) -> Self {
        let parts = tiny::job(dice);
        let problem = Problem::new(parts.clone()).expect("the job hangs together");
        let all: Vec<Vec<Vec<Spell>>> = parts.tasks.ids().map(|task| ways(&parts, task)).collect();
        let sensible = all.iter().map(|ways| ways.iter().filter(|way| able(&parts, way)).cloned().collect()).collect();
        let others = other_changes(&parts);
        Self { parts, problem, all, sensible, others }
    }

    fn breaches(&self, plan: &Plan) -> usize {
        verify(&self.problem, plan.clone()).map_or_else(|rejected| rejected.breaches.len(), |_| 0)
    }

    /// Watches manned by somebody who may, each task done in the best of some ways, over and over.
    fn settle(&self, dice: &mut Dice) -> Plan {
        let mut plan = idle_plan(&self.parts);
        for (turn, row) in self.parts.turns.pairs() {
            if let Stand::Open(people) = &row.stand {
                plan.turns[turn] = dice.pick(people);
            }
        }
        let mut left = usize::MAX;
        for _ in 0..6 {
            for (task, ways) in self.parts.tasks.ids().zip(&self.sensible).filter(|(_, ways)| !ways.is_empty()) {
                for _ in 0..30 {
                    let mut next = plan.clone();
                    replace(task, dice.pick(ways))(&mut next);
                    let breaches = self.breaches(&next);
                    if breaches <= left {
                        (plan, left) = (next, breaches);
                    }
                }
                if left == 0 {
                    return plan;
                }
            }
        }
        plan
    }
}

/// Goes from plan to plan, each time to one with no more breaches, and compares on the way. A job for which no
/// legal plan is found soon is left soon.
fn walk(seed: u64, steps: usize, tally: &mut Tally) {
    let mut dice = Dice::new(seed);
    let ground = Ground::new(&mut dice);
    let mut plan = ground.settle(&mut dice);
    let mut broken = agree(&ground.problem, &ground.parts, &plan, tally);
    let steps = if broken == 0 { steps } else { steps / 8 };
    for _ in 0..steps {
        let mut next = plan.clone();
        if dice.once_in(4) {
            ground.others[dice.below(ground.others.len())](&mut next);
        } else {
            let task = dice.below(ground.all.len());
            let sensible = &ground.sensible[task];
            let from = if dice.once_in(4) || sensible.is_empty() { &ground.all[task] } else { sensible };
            replace(turnto::id::TaskId::from_index(task), dice.pick(from))(&mut next);
        }
        let now = agree(&ground.problem, &ground.parts, &next, tally);
        if now <= broken {
            (plan, broken) = (next, now);
        }
    }
}

/// Around a plan, tries every way to do every task, and every other change.
fn every_way(seed: u64, tally: &mut Tally) {
    let mut dice = Dice::new(seed);
    let ground = Ground::new(&mut dice);
    let plan = ground.settle(&mut dice);
    let tasks = ground.parts.tasks.ids().zip(&ground.all);
    let replaced = tasks.flat_map(|(task, ways)| ways.iter().map(move |way| replace(task, way.clone())));
    let replaced: Vec<Change> = replaced.collect();
    for change in replaced.iter().chain(&ground.others) {
        let mut next = plan.clone();
        change(&mut next);
        agree(&ground.problem, &ground.parts, &next, tally);
    }
}

/// If this fails, the verifier calls a plan legal that is not, or the other way round, or counts a shortfall
/// wrongly: or the second verifier does. The message shows the job, the plan and what the first one says.
#[test]
fn two_verifiers_agree() {
    let mut tally = Tally::default();
    for seed in 0..64 {
        walk(seed, 160, &mut tally);
    }
    for seed in [28, 38] {
        every_way(seed, &mut tally);
    }
    // What was tried must be worth something: thousands of plans, many of them legal or short of reserve, and
    // every rule broken often.
    assert!(tally.plans > 5000 && tally.legal > 500 && tally.short > 300, "{tally:?}");
    assert!(tally.broken[1..].iter().all(|count| *count > 30), "{tally:?}");
}

/// Whether watches and duties alone, as a plan has them, break a rule.
pub(crate) fn bad_roster(problem: &Problem, plan: &Plan) -> bool {
    let bare = Plan { spells: Vec::new(), on_hand: Vec::new(), ..plan.clone() };
    let breaches = verify(problem, bare).map_or_else(|rejected| rejected.breaches, |_| Vec::new());
    breaches.iter().any(|breach| breach.clause != Clause::NotDone)
}

/// Every way to stand the open turns and to do the movable duties on the grid.
pub(crate) fn rosters(problem: &Problem) -> Vec<Plan> {
    let mut all = vec![idle_plan(problem)];
    for (turn, row) in problem.turns.pairs() {
        if let Stand::Open(people) = &row.stand {
            let with = |plan: &Plan, person| {
                let mut plan = plan.clone();
                plan.turns[turn] = person;
                plan
            };
            all = all.iter().flat_map(|plan| people.iter().map(move |p| with(plan, *p))).collect();
        }
    }
    for (id, duty) in problem.duties.pairs() {
        if let When::Movable { window, length } = duty.when {
            let first = problem.grid.moment(problem.grid.ceil(window.start()));
            let slot = problem.grid.slot().get();
            let starts = (0..).map(|n| first + Minutes::new(slot * n)).take_while(|at| *at + length <= window.end());
            let starts: Vec<_> = starts.collect();
            let with = |plan: &Plan, at| {
                let mut plan = plan.clone();
                plan.duties[id] = at;
                plan
            };
            all = all.iter().flat_map(|plan| starts.iter().map(move |at| with(plan, *at))).collect();
        }
    }
    all
}

/// Tasks of a plan that begin when no team of those who may do them can be at work by the calendars.
fn begun_against_the_calendars(problem: &Problem, plan: &Plan) -> Vec<TaskId> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, Hours::WithOvertime);
    let start = |task| plan.spells.iter().filter(|s| s.task == task).map(|s| s.span().start()).min();
    let odd = |task: &TaskId| start(*task).is_some_and(|at| !fit.begins(*task, people.range().from(at)));
    problem.tasks.ids().filter(odd).collect()
}

/// How many random jobs are planned: as many as are usual, or what `TURNTO_JOBS` says for the long run.
#[expect(clippy::disallowed_methods, reason = "a person may ask for the long run")]
pub(crate) fn jobs(usual: u64) -> u64 {
    std::env::var("TURNTO_JOBS").ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// What a plan comes to by its account, aim by aim, times in minutes.
pub(crate) fn worth(problem: &Problem, verified: &Verified) -> Vec<i64> {
    let amount = |row: AimValue| match row.value {
        Amount::Time(time) => time,
        Amount::Count(count, _) => count,
    };
    aim_values(problem, verified, &Proven::nothing(problem)).into_iter().map(amount).collect()
}

/// If this fails, the engine makes a plan that a rule forbids, on jobs odder than any real one, or takes it to be worth
/// something else than it is, so that it prefers the wrong plans, or the two verifiers count the shortfalls of its plans
/// differently, or it says that watches and duties have no legal roster where one of all there are is legal; or a task begins
/// when the calendars say it cannot, so that a pin of it to that time would be refused. A job it
/// finds no place for some task in is passed over. Of the last six jobs, in the first a task that may stop anywhere pauses for a
/// break in its shortest spell; in the second an emergency keeps somebody from being callable whose rest was ample for all other
/// work; in the third a row of work on tasks that reaches past the start leaves no time unbooked; in the fourth two spells of
/// one team touch where one working stretch ends and the next begins; in the fifth an open watch excuses somebody from one of
/// two duties at once; and in the last two duties at once are both done along with one watch.
#[test]
fn plans_of_the_engine_are_legal() {
    let options = Options { seed: 1, patience: 2, bound: None, threads: 1, end: None };
    let mut tally = Tally::default();
    let mut without = 0;
    for seed in (0..jobs(200)).chain([250, 6710, 1471, 3132, 8067, 9590]) {
        let parts = tiny::job(&mut Dice::new(seed));
        let problem = Problem::new(parts.clone()).expect("the job hangs together");
        match solve(&problem, &options, &mut Unwatched) {
            Outcome::Found(solution) => {
                let breaches = agree(&problem, &parts, &solution.plan, &mut tally);
                assert_eq!(begun_against_the_calendars(&problem, &solution.plan), [], "seed {seed}");
                let verified = verify(&problem, solution.plan).map_err(|rejected| rejected.breaches);
                assert_eq!(breaches, 0, "seed {seed}: {verified:?}");
                if let Ok(verified) = verified {
                    assert_eq!(solution.worth, worth(&problem, &verified), "seed {seed}: {:?}", problem.aims);
                }
            }
            Outcome::NoRoster(why) => {
                without += 1;
                let legal = rosters(&problem).into_iter().find(|plan| !bad_roster(&problem, plan));
                assert_eq!(legal, None, "seed {seed}: {why:?}");
            }
            Outcome::Stuck(_) => {}
        }
    }
    assert!(tally.legal > 60 && without > 20, "{tally:?}, {without} without a roster");
}

/// The longest stretch the ways of a task can take; it must fit the table of the second verifier.
#[test]
fn ways_stay_near_the_job() {
    let mut dice = Dice::new(7);
    let parts = tiny::job(&mut dice);
    let near = Span::new(parts.start - Minutes::DAY, parts.end + Minutes::DAY).expect("a day before to a day after");
    for task in parts.tasks.ids() {
        assert!(ways(&parts, task).iter().flatten().all(|s| near.covers(s.span())));
    }
}
