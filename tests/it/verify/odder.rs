//! Random jobs with what people decide, told and began beforehand, and with facts off the slot grid: every plan of the
//! engine is legal, and worth what the engine says.

use turnto::engine::{Options, Outcome, Unwatched, solve};
use turnto::id::{Id, MilestoneId, PersonId, TaskId, UnitId};
use turnto::model::{Aim, Group, Hold, Milestone, NeverTogether, Parts, Person, Problem, Stop, Stretch, UnderWay, When};
use turnto::plan::Plan;
use turnto::time::{Minutes, Moment, Slots, Span};
use turnto::verify::verify;

use crate::support::dice::Dice;
use crate::verify::brute::{jobs, worth};
use crate::verify::tiny::{self, LENGTH, slots};

/// A tiny job with more in it; chance may have to be tried more than once until it hangs together.
fn job(dice: &mut Dice) -> Parts {
    loop {
        let mut parts = tiny::job(dice);
        decided(dice, &mut parts);
        begun(dice, &mut parts);
        off_the_grid(dice, &mut parts);
        machines(dice, &mut parts);
        aims(dice, &mut parts);
        if Problem::new(parts.clone()).is_ok() {
            return parts;
        }
    }
}

/// Pins.
fn decided(dice: &mut Dice, parts: &mut Parts) {
    let people: Vec<Person> = parts.people.iter().cloned().collect();
    for task in parts.tasks.iter_mut() {
        if dice.once_in(6) {
            task.pinned.start = Some(slots(dice.number(0, LENGTH - 4), LENGTH).start());
        }
        if task.needs.is_empty() {
            continue;
        }
        let need = dice.below(task.needs.len());
        let person = dice.below(people.len());
        if dice.once_in(6) && people[person].holds(task.needs[need]) {
            task.pinned.team = vec![(need, PersonId::from_index(person))];
        }
        if dice.once_in(6) {
            task.pinned.off = vec![(dice.below(task.needs.len()), PersonId::from_index(dice.below(people.len())))];
        }
    }
}

/// Spells under way, and a tool that is held when planning begins.
fn begun(dice: &mut Dice, parts: &mut Parts) {
    let people = parts.people.clone();
    for task in parts.tasks.iter_mut() {
        if !dice.once_in(5) || !task.after.is_empty() || task.needs.len() > people.len() {
            continue;
        }
        let first = dice.below(people.len());
        let team: Vec<PersonId> = (0..task.needs.len()).map(|n| PersonId::from_index((first + n) % people.len())).collect();
        if !team.iter().zip(&task.needs).all(|(person, need)| people[*person].holds(*need)) {
            continue;
        }
        let length = task.length.count();
        let left = match task.stop {
            Stop::Never | Stop::Parts(1) => length,
            Stop::Parts(parts) => dice.number(1, length - i32::try_from(parts).expect("few parts") + 1),
            Stop::Any { .. } => dice.number(1, length),
        };
        task.under_way = Some(UnderWay { team, left: Slots::new(left) });
        if dice.once_in(2) {
            task.pinned = turnto::model::Pinned::default();
        }
    }
    if parts.holds.is_empty() && dice.once_in(4) {
        let tool = parts.tools.ids().next().expect("a tool");
        let empty = TaskId::from_index(dice.below(parts.tasks.len()));
        parts.tasks[empty].tools.clear();
        parts.holds.push(Hold { tool, number: 1, fill: None, filling: None, empty });
    }
}

/// The same stretch some minutes later.
fn later(span: Span, minutes: i32) -> Span {
    let shift = |moment: Moment| moment + Minutes::new(minutes);
    Span::new(shift(span.start()), shift(span.end())).expect("as long as before")
}

/// Hours, breaks, absence, duties, tools and machines that begin and end between slots.
fn off_the_grid(dice: &mut Dice, parts: &mut Parts) {
    let by = |dice: &mut Dice| if dice.once_in(3) { dice.pick(&[5, 10, 15, 20]) } else { 0 };
    for person in parts.people.iter_mut() {
        let minutes = by(dice);
        let shift = |spans: &mut Vec<Span>| spans.iter_mut().for_each(|span| *span = later(*span, minutes));
        for Stretch { ordinary, overtime, .. } in &mut person.stretches {
            shift(ordinary);
            shift(overtime);
        }
        shift(&mut person.breaks);
        let minutes = by(dice);
        person.away.iter_mut().for_each(|span| *span = later(*span, minutes));
        if dice.once_in(6) {
            let from = dice.number(-20, 10);
            person.on_call = vec![slots(from, from + dice.number(1, 8))];
        }
    }
    for duty in parts.duties.iter_mut() {
        let minutes = by(dice);
        duty.when = match duty.when {
            When::Fixed(span) => When::Fixed(later(span, minutes)),
            When::Movable { window, length } => When::Movable { window: later(window, minutes), length },
        };
    }
    for tool in parts.tools.iter_mut() {
        let minutes = by(dice);
        tool.away.iter_mut().for_each(|span| *span = later(*span, minutes));
    }
    for unit in parts.units.iter_mut() {
        let minutes = by(dice);
        unit.out.iter_mut().for_each(|span| *span = later(*span, minutes));
    }
    if dice.once_in(6) {
        let minutes = by(dice);
        for post in parts.posts.iter_mut() {
            post.manned.iter_mut().for_each(|span| *span = later(*span, minutes));
        }
        parts.turns.iter_mut().for_each(|turn| turn.span = later(turn.span, minutes));
    }
}

/// Groups that may be short for a while, machines that may not be out together, and a mode that asks for both.
fn machines(dice: &mut Dice, parts: &mut Parts) {
    let units: Vec<UnitId> = parts.units.ids().collect();
    let group = parts.groups.ids().next().expect("a group");
    if dice.once_in(3) {
        let row: &mut Group = &mut parts.groups[group];
        row.lasts = Some(Minutes::new(30 * dice.number(1, 4)));
        row.recover = Minutes::new(30 * dice.number(0, 3));
    }
    if dice.once_in(4) {
        parts.never_together.push(NeverTogether { units: units.clone(), most_out: 1 });
    }
    if dice.once_in(3)
        && let [(whole, mode)] = parts.mode_spans[..]
    {
        let mut other = parts.modes[mode].clone();
        "N".clone_into(&mut other.code);
        other.needs = vec![(group, dice.pick(&[0, 2]))];
        other.weight = 3;
        if dice.once_in(2) {
            other.reserve = None;
        }
        let other = parts.modes.push(other);
        let (from, to) =
            (slots(dice.number(1, 10), LENGTH).start(), slots(0, dice.number(12, 20)).end() + Minutes::new(dice.pick(&[0, 0, 10])));
        let span = |from, to| Span::new(from, to).expect("some time");
        parts.mode_spans = vec![(span(whole.start(), from), mode), (span(from, to), other), (span(to, whole.end()), mode)];
    }
}

/// Milestones, and aims in another order.
fn aims(dice: &mut Dice, parts: &mut Parts) {
    for number in 0..dice.number(0, 2) {
        let tasks: Vec<TaskId> = parts.tasks.ids().filter(|_| dice.once_in(2)).collect();
        let due = slots(0, dice.number(2, LENGTH)).end() + Minutes::new(dice.pick(&[0, 10, -5]));
        let tasks = if tasks.is_empty() { vec![TaskId::from_index(0)] } else { tasks };
        let weight = u32::try_from(dice.number(1, 3)).expect("positive");
        let milestone = Milestone { code: format!("M{number}"), text: String::new(), tasks, due, weight };
        let _: MilestoneId = parts.milestones.push(milestone);
    }
    let mut left = Aim::DEFAULT.to_vec();
    parts.aims =
        std::iter::from_fn(|| (!left.is_empty()).then(|| left.remove(if dice.once_in(2) { 0 } else { dice.below(left.len()) }))).collect();
}

/// The job again after its plan was told, and something happened to it.
fn told(dice: &mut Dice, parts: &Parts, plan: Plan) -> Option<Problem> {
    let mut parts = parts.clone();
    parts.told = Some(plan);
    let from = dice.number(0, 16);
    let span = later(slots(from, from + dice.number(1, 6)), dice.pick(&[0, 0, 10]));
    match dice.number(0, 3) {
        0 => {
            let person = PersonId::from_index(dice.below(parts.people.len()));
            parts.people[person].away = vec![span];
        }
        1 => parts.tools.iter_mut().for_each(|tool| tool.away = vec![span]),
        2 => parts.units.iter_mut().take(1).for_each(|unit| unit.out = vec![span]),
        _ => {
            let task = TaskId::from_index(dice.below(parts.tasks.len()));
            parts.tasks[task].length += Slots::new(dice.number(1, 2));
        }
    }
    Problem::new(parts).ok()
}

/// Whether what the engine takes a plan to be worth is what its account says. Time on hand between slots is none to the
/// engine, so that it may take the reserve to fall short by more.
fn is_worth(problem: &Problem, engine: &[i64], account: &[i64]) -> bool {
    let aims = problem.aims.iter().flat_map(|aim| std::iter::repeat_n(*aim, if *aim == Aim::Shortfall { 2 } else { 1 }));
    let reserve = aims.collect::<Vec<Aim>>().windows(2).position(|pair| pair == [Aim::Shortfall; 2]).map(|first| first + 1);
    let mut rows = engine.iter().zip(account).enumerate();
    rows.all(|(row, (engine, account))| engine == account || (reserve == Some(row) && engine > account))
}

/// Plans a job; the plan, if one was found, which has been verified.
fn planned(problem: &Problem, seed: u64) -> Option<Plan> {
    let options = Options { seed: 1, patience: 2, bound: None, threads: 1, end: None };
    let Outcome::Found(solution) = solve(problem, &options, &mut Unwatched) else { return None };
    let plan = solution.plan.clone();
    match verify(problem, solution.plan) {
        Ok(verified) => {
            let worth = worth(problem, &verified);
            let short = &verified.account().shortfalls;
            assert!(is_worth(problem, &solution.worth, &worth), "seed {seed}: {:?}, not {worth:?}\n{short:?}\n{plan:?}", solution.worth);
        }
        Err(rejected) => panic!("seed {seed}: {:?}\n{plan:?}", rejected.breaches),
    }
    Some(plan)
}

/// Jobs that went wrong once: two starts decided against the order of their tasks; overtime that begins between slots; a tool
/// held backward over what uses it; a start decided for what goes on at once; two emptied after their tool has gone; on hand
/// counted twice where an emergency joins two stretches; somebody under way at what he was kept off; and what goes on into the
/// wait before a start that is decided.
const ONCE_WRONG: [u64; 9] = [205, 268, 348, 676, 745, 1731, 3007, 5035, 16558];

/// If this fails, the engine makes a plan that a rule forbids where people have pinned something, or something was begun or
/// told, or where facts lie between slots, or takes it to be worth something else than it is.
#[test]
fn plans_of_odder_jobs_are_legal() {
    let (mut found, mut again) = (0, 0);
    for seed in (0..jobs(120)).chain(ONCE_WRONG) {
        let mut dice = Dice::new(seed);
        let parts = job(&mut dice);
        let problem = Problem::new(parts.clone()).expect("the job hangs together");
        let Some(plan) = planned(&problem, seed) else { continue };
        found += 1;
        if let Some(changed) = told(&mut dice, &parts, plan) {
            again += usize::from(planned(&changed, seed).is_some());
        }
    }
    assert!(found > 30 && again > 20, "{found} planned, {again} planned again");
}
