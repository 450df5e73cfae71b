//! The labour model and the bound: every legal plan keeps every row, wrong rows are seen, what is refuted is
//! impossible.

use std::collections::BTreeSet;

use turnto::bound::premises::{like, with_overtime};
use turnto::bound::{Chain, EarliestDate, EarliestFinish, ProvenBy, chain, earliest_by_chain, earliest_by_labour, finish_by_labour};
use turnto::calendar::Hours;
use turnto::engine::{self, Options, Outcome, Unwatched};
use turnto::id::{Id, IdVec, PersonId, TaskId};
use turnto::labour::{Broken, Meaning, Premises, Priced, Reserve, check_rows, prices, smallest_finish, solve};
use turnto::model::{After, Milestone, Mode, Parts, Problem, Reserve as Asked, Stop, Task};
use turnto::plan::Plan;
use turnto::time::{Minutes, Moment, Slots, Span};
use turnto::variant::up_to;
use turnto::verify::{Verified, verify};

use crate::support::demo;
use crate::support::dice::Dice;
use crate::support::job::{Job, at, idle_plan, spell};
use crate::verify::brute::jobs;
use crate::verify::tiny;

/// A plan of a problem, verified, where the engine finds one. (That what it finds is legal is another test's
/// business.)
fn planned(problem: &Problem, patience: u64) -> Option<Verified> {
    let options = Options { seed: 1, patience, bound: None, threads: 1, end: None };
    match engine::solve(problem, &options, &mut Unwatched) {
        Outcome::Found(found) => verify(problem, found.plan).ok(),
        Outcome::Stuck(_) | Outcome::NoRoster(_) => None,
    }
}

/// What a chain proves.
fn by_chain(longest: &Chain) -> EarliestDate {
    EarliestDate { at: longest.at, by: ProvenBy::Chain }
}

/// What is proven about the finish of plans that keep `premises`, with a known finish.
fn proven(problem: &Problem, premises: Premises, known: Moment) -> EarliestFinish {
    let longest = chain(problem, premises.hours).expect("it can be planned");
    finish_by_labour(problem, premises, by_chain(&longest), known, &mut || false)
}

/// Every row holds for the plan at its finish and at later ones, and no bound lies behind its finish.
fn holds(problem: &Problem, verified: &Verified) {
    let account = verified.account();
    let premises = like(account);
    for later in [0, 1, 5, 16] {
        let finish = account.finish + problem.grid.length(Slots::new(later));
        let broken = check_rows(problem, verified.plan(), premises, finish);
        assert_eq!(broken, [], "{premises:?}, {later} slots later");
    }
    let longest = chain(problem, premises.hours).expect("there is a plan");
    assert!(longest.at <= account.finish, "the chain ends behind a plan");
}

/// What is printed of a plan holds for it: a bound for plans like it and one for all whatever their overtime, whatever is
/// known.
fn bounded(problem: &Problem, verified: &Verified) {
    let account = verified.account();
    let premises = like(account);
    for premises in [premises, with_overtime(premises)] {
        for known in [account.finish, account.finish + Minutes::hours(4)] {
            let proven = proven(problem, premises, known).earliest;
            assert!(proven.at <= account.finish, "{proven:?}, {premises:?}, known {known:?}, ends {:?}", account.finish);
        }
    }
}

/// If this fails, some row of the labour model is wrong: a legal plan breaks it. Tiny jobs made by chance with
/// something of every rule; and the smallest finish of each lies no later than its plan's. `TURNTO_JOBS=10000` makes it
/// the long run.
#[test]
fn legal_plans_of_tiny_jobs_keep_every_row() {
    let mut dice = Dice::new(7);
    let mut plans = 0;
    for _ in 0..jobs(400) {
        let problem = Problem::new(tiny::job(&mut dice)).expect("it hangs together");
        let Some(verified) = planned(&problem, 0) else { continue };
        plans += 1;
        holds(&problem, &verified);
        bounded(&problem, &verified);
        let premises = like(verified.account());
        let smallest = smallest_finish(&problem, premises, None).expect("there is a plan");
        assert!(smallest.at.is_some_and(|at| at <= verified.account().finish), "{smallest:?}");
        assert_eq!(smallest.cut, None);
    }
    assert!(plans > 100, "only {plans} of the jobs could be planned");
}

/// If this fails, an emergency that is worked at outside hours is taken from the time on hand in them, and ends that
/// are possible are refuted. A is on hand from 08:00 to 12:00 every day, which is the four hours that are to stay
/// unbooked between 06:00 and 20:00; the emergency of six hours, not before 12:00, is done at 18:00.
#[test]
fn an_emergency_outside_hours_takes_no_time_on_hand() {
    let mut job = Job::new(5);
    let fit = job.competence("FIT");
    let person = job.person("A", &[fit]);
    job.hours(person, &["08:00-12:00"], &[], &[]);
    let task = job.task("T", &[fit], 12);
    job.parts.tasks[task].emergency = true;
    job.parts.tasks[task].stop = Stop::Never;
    job.parts.tasks[task].not_before = Some(at(1, "12:00"));
    job.parts.end = at(2, "00:00");
    unbooked(&mut job.parts, 4, (6, 20));
    let problem = job.problem();
    let verified = planned(&problem, 0).expect("it can be planned");
    assert_eq!(verified.account().finish, at(1, "18:00"));
    let kept = like(verified.account());
    assert_eq!(kept.reserve, Reserve::Kept);
    holds(&problem, &verified);
    bounded(&problem, &verified);
    let smallest = smallest_finish(&problem, kept, None).expect("there is room");
    assert_eq!((smallest.at, smallest.refuted), (Some(at(1, "18:00")), None));
}

/// Asks for so many unbooked hours between two clock hours, all the time.
fn unbooked(parts: &mut Parts, amount: i32, (from, to): (i32, i32)) {
    let whole = Span::new(parts.start, parts.layout_end).expect("a layout has time");
    let hours = (Minutes::hours(from), Minutes::hours(to));
    let asked = Asked { kinds: Vec::new(), call: Minutes::ZERO, unbooked: Minutes::hours(amount), hours };
    let mode = Mode { code: "m".to_owned(), name: String::new(), needs: Vec::new(), weight: 1, reserve: Some(asked) };
    let mode = parts.modes.push(mode);
    parts.mode_spans = vec![(whole, mode)];
}

/// If this fails, what a day asks for cannot be worked out where its modes change every half hour: the fractions of all
/// stretches, added up as they come, are more than the widest whole number. They still come to two hours a day.
#[test]
fn modes_that_change_every_half_hour_ask_for_what_they_do_together() {
    let mut job = small();
    unbooked(&mut job.parts, 2, (0, 24));
    let other = job.parts.modes[Id::from_index(0)].clone();
    let other = job.parts.modes.push(Mode { code: "n".to_owned(), ..other });
    let (whole, mode) = job.parts.mode_spans[0];
    let slots = (0..whole.length().get() / 30).map(|n| {
        let span = Span::of(whole.start() + Minutes::new(30 * n), Minutes::new(30)).expect("half an hour");
        (span, if n % 2 == 0 { mode } else { other })
    });
    job.parts.mode_spans = slots.collect();
    let problem = job.problem();
    let kept = Premises { hours: Hours::Ordinary, reserve: Reserve::Kept };
    assert_eq!(smallest_finish(&problem, kept, None).expect("there is room").at, Some(at(1, "12:00")));
}

/// If this fails, an evening that was begun before planning does is held against those that are left. A had overtime on
/// day 1 before 18:00 and has one evening left: an hour more of day 1 and two of day 2 keep to it.
#[test]
fn an_evening_begun_before_is_not_counted_again() {
    let (mut job, fit, person) = Job::of_one(5);
    job.parts.start = at(1, "18:00");
    let task = job.task("T", &[fit], 6);
    job.parts.people[person].evenings = Some(1);
    job.parts.people[person].before.overtime = Minutes::hours(1);
    job.parts.people[person].before.worked = Minutes::hours(1);
    let mut plan = idle_plan(&job.parts);
    plan.spells = vec![spell(task, 0, 1, &["18:00-19:00"], &[person]), spell(task, 0, 2, &["17:00-19:00"], &[person])];
    let problem = job.problem();
    let premises = Premises { hours: Hours::WithOvertime, reserve: Reserve::Kept };
    assert_eq!(check_rows(&problem, &plan, premises, at(2, "19:00")), []);
    let verified = verify(&problem, plan).expect("it is legal");
    assert_eq!(verified.account().people[person].evenings, 1);
}

/// A tiny job with dates as early as can be, one for its first task, one for its first two and so on, and its plan, also as
/// what people were told.
fn with_dates(dice: &mut Dice) -> Option<(Problem, Verified)> {
    let mut parts = tiny::job(dice);
    let date = |last: TaskId| {
        let tasks = parts.tasks.ids().filter(|task| *task <= last).collect();
        Milestone { code: format!("M{}", last.index()), text: String::new(), tasks, due: parts.start, weight: 1 }
    };
    parts.milestones = parts.tasks.ids().map(date).collect();
    let problem = Problem::new(parts).expect("it hangs together");
    let verified = planned(&problem, 0)?;
    Some((told(&problem, &verified), verified))
}

/// The problem, with a plan of it as what people were told, so that parts of it have their parts of the plan.
pub(crate) fn told(problem: &Problem, verified: &Verified) -> Problem {
    let mut parts = problem.clone().into_parts();
    parts.told = Some(verified.plan().clone());
    Problem::new(parts).expect("a told plan is no defect")
}

/// The rows of the labour model for `finish` that are broken by what is told.
pub(crate) fn rows_broken(part: &Problem, premises: Premises, finish: Moment) -> Vec<Broken> {
    check_rows(part, part.told.as_ref().expect("people were told a plan"), premises, finish)
}

/// Some tasks and what they come after, directly or not.
fn waits_for(problem: &Problem, tasks: &[TaskId]) -> BTreeSet<TaskId> {
    let before = tasks.iter().flat_map(|task| waits_for(problem, &problem.tasks[*task].after.iter().map(|a| a.task).collect::<Vec<_>>()));
    tasks.iter().copied().chain(before).collect()
}

/// If this fails, what is proven about a date is wrong: a legal plan meets it sooner, or what of a legal plan is done up to a
/// milestone breaks a row of the labour model of what the milestone waits for. Tiny jobs made by chance with something
/// of every rule.
#[test]
fn no_plan_meets_a_milestone_before_it_can_be_met() {
    let mut dice = Dice::new(11);
    let (mut milestones, mut by_labour, mut met) = (0, 0, 0);
    for _ in 0..300 {
        let Some((problem, verified)) = with_dates(&mut dice) else { continue };
        let premises = like(verified.account());
        let by_chain = earliest_by_chain(&problem, premises.hours).expect("there is a plan");
        for (milestone, row) in verified.account().milestones.pairs() {
            let part = up_to(&problem, milestone).expect("it hangs together");
            let codes = |tasks: &IdVec<TaskId, Task>, in_it: &dyn Fn(TaskId) -> bool| -> BTreeSet<String> {
                tasks.pairs().filter(|(id, _)| in_it(*id)).map(|(_, task)| task.code.clone()).collect()
            };
            let waits = waits_for(&problem, &problem.milestones[milestone].tasks);
            assert_eq!(codes(&part.tasks, &|_| true), codes(&problem.tasks, &|task| waits.contains(&task)));
            assert_eq!(rows_broken(&part, premises, row.met_at), [], "{premises:?}");
            let earliest = earliest_by_labour(&problem, milestone, premises, by_chain[milestone], None, &mut || false);
            assert!(by_chain[milestone].at <= earliest.at && earliest.at <= row.met_at, "{earliest:?}, met {:?}", row.met_at);
            let near = earliest_by_labour(&problem, milestone, premises, by_chain[milestone], Some(row.met_at), &mut || false);
            assert_eq!(near, earliest, "what some plan does changes what is proven before that");
            milestones += 1;
            by_labour += usize::from(earliest.by != ProvenBy::Chain);
            met += usize::from(earliest.at == row.met_at);
        }
    }
    assert!(milestones > 300 && met > 100 && by_labour > 10, "{milestones} milestones, {met} met, {by_labour} by the labour model");
}

/// If this fails, the demonstration job's bound is worse than what is known about it, a row of its model is
/// wrong, or the labour model no longer has room for what can be done. Without overtime the longest chain ends
/// on day 9 at 10:30; with it on day 8 at 10:30, and no labour model without reserve says otherwise.
#[test]
fn the_demonstration_job_is_bounded_and_its_plan_keeps_every_row() {
    let problem = demo::problem();
    let verified = planned(&problem, 0).expect("it can be planned");
    holds(&problem, &verified);
    let ordinary = Premises { hours: Hours::Ordinary, reserve: Reserve::Kept };
    let bound = proven(&problem, ordinary, verified.account().finish);
    assert_eq!(bound.earliest, EarliestDate { at: at(9, "10:30"), by: ProvenBy::Chain });
    let plan = solve(&problem, ordinary, at(9, "10:30")).expect("the model has an answer");
    assert!(plan.unplaced.iter().all(|left| *left == 0));
    // 656 person-slots of half an hour are 328 h of labour.
    let total: Minutes = plan.competences.values().copied().sum();
    assert!((total - Minutes::hours(328)).get().abs() <= 60, "{total}");
    let shares: Minutes = plan.shares.iter().map(|s| s.minutes).sum();
    assert!((shares - Minutes::hours(328)).get().abs() <= 120, "{shares}");
    let open = Premises { hours: Hours::WithOvertime, reserve: Reserve::Open };
    assert_eq!(chain(&problem, open.hours).expect("it can be planned").at, at(8, "10:30"));
}

/// If this fails, the labour model no longer proves what the chain cannot: with overtime and with the hours
/// that stay unbooked, the demonstration job cannot end on day 8.
#[test]
fn day_eight_is_refuted_with_overtime_when_unbooked_time_is_kept() {
    let problem = demo::problem();
    let kept = Premises { hours: Hours::WithOvertime, reserve: Reserve::Kept };
    let known = at(9, "10:30");
    let smallest = smallest_finish(&problem, kept, Some(known)).expect("it can be planned");
    assert_eq!(smallest.cut, None);
    assert_eq!((smallest.at, smallest.refuted), (Some(known), Some(at(8, "20:00"))));
    let earliest = EarliestDate { at: known, by: ProvenBy::Labour(Reserve::Kept) };
    assert_eq!(proven(&problem, kept, known), EarliestFinish { earliest, cut: None });
}

/// Three day workers: P holds A, Q holds B, R both. T0 needs an A for four hours, T1 a B. Nothing else.
fn small() -> Job {
    let mut job = Job::new(5);
    let (a, b) = (job.competence("A"), job.competence("B"));
    for (code, held) in [("P", vec![a]), ("Q", vec![b]), ("R", vec![a, b])] {
        let person = job.person(code, &held);
        job.day_work(person);
    }
    job.task("T0", &[a], 8);
    job.task("T1", &[b], 8);
    job
}

fn who(n: usize) -> PersonId {
    Id::from_index(n)
}

fn task(n: usize) -> TaskId {
    Id::from_index(n)
}

/// What a kind of row is called.
fn kind(meaning: Meaning) -> &'static str {
    match meaning {
        Meaning::Placed(_) => "placed",
        Meaning::Filled(..) => "filled",
        Meaning::Time(..) => "time",
        Meaning::Order(..) => "order",
        Meaning::Sequence(_) => "sequence",
        Meaning::Tool(..) => "tool",
        Meaning::Cap(..) => "cap",
        Meaning::Evenings(_) => "evenings",
        Meaning::Rest(..) => "rest",
        Meaning::SpareTime(..) => "spare time",
        Meaning::SpareCap(..) => "spare cap",
        Meaning::Unbooked(_) => "unbooked",
    }
}

/// What a plan of two spells breaks in the model of the small job with `edit`.
fn breaks(edit: impl FnOnce(&mut Parts), first: (i32, &[&str], Vec<PersonId>), second: (i32, &[&str], Vec<PersonId>)) -> BTreeSet<String> {
    let mut parts = small().parts;
    edit(&mut parts);
    let mut plan: Plan = idle_plan(&parts);
    for (n, (day, pieces, team)) in [first, second].into_iter().enumerate() {
        plan.spells.extend(pieces.iter().map(|piece| spell(task(n), 0, day, &[*piece], &team)));
    }
    let problem = Problem::new(parts).expect("it hangs together");
    let premises = Premises { hours: Hours::WithOvertime, reserve: Reserve::Kept };
    let named = |broken: &Broken| match broken {
        Broken::Row(meaning, by) => {
            assert!(*by > 0);
            kind(*meaning).to_owned()
        }
        Broken::NoColumn(_) => "no column".to_owned(),
        Broken::Bound(..) => "bound".to_owned(),
        Broken::Unplaced(..) => "unplaced".to_owned(),
        Broken::NoRoom => "no room".to_owned(),
    };
    check_rows(&problem, &plan, premises, at(4, "17:00")).iter().map(named).collect()
}

fn set<const N: usize>(kinds: [&str; N]) -> BTreeSet<String> {
    kinds.into_iter().map(str::to_owned).collect()
}

/// If this fails, a kind of row sees nothing, or its check cannot fail. A plan that is legal for the small job
/// breaks nothing; held against a model that asks for more than the plan keeps, each kind of row is named.
#[test]
fn a_row_that_a_plan_breaks_is_named() {
    let morning: &[&str] = &["08:00-12:00"];
    let afternoon: &[&str] = &["13:00-17:00"];
    let (p, q, r) = (vec![who(0)], vec![who(1)], vec![who(2)]);
    let legal = |edit: &dyn Fn(&mut Parts)| breaks(edit, (2, morning, p.clone()), (2, morning, q.clone()));
    assert_eq!(legal(&|_| ()), set([]));
    // Both in one morning, although T1 comes after T0.
    let follow = |parts: &mut Parts| parts.tasks[task(1)].after = vec![After { task: task(0), lag: Minutes::ZERO }];
    assert_eq!(legal(&follow), set(["sequence"]));
    // T1 a day before T0.
    assert_eq!(breaks(follow, (3, morning, p.clone()), (2, morning, q.clone())), set(["order"]));
    // Both with the one tool.
    let tool = |parts: &mut Parts| {
        let tool = parts.tools.push(turnto::model::Tool {
            code: "TOOL".to_owned(),
            name: String::new(),
            number: 1,
            away: Vec::new(),
            calibrated_until: None,
        });
        for task in parts.tasks.ids() {
            parts.tasks[task].tools = vec![(tool, 1)];
        }
    };
    assert_eq!(legal(&tool), set(["tool"]));
    // Two hours a day at most.
    let cap = |parts: &mut Parts| parts.people[who(0)].job_cap = Some(Minutes::hours(2));
    assert_eq!(legal(&cap), set(["cap"]));
    // Two evenings where one is allowed.
    let evenings = |parts: &mut Parts| parts.people[who(0)].evenings = Some(1);
    let evening = |day: i32| spell(task(0), 0, day, &["17:00-19:00"], &[who(0)]);
    let mut parts = small().parts;
    evenings(&mut parts);
    let mut plan = idle_plan(&parts);
    plan.spells = vec![evening(1), evening(2), spell(task(1), 0, 2, &["08:00-12:00"], &[who(1)])];
    let problem = Problem::new(parts).expect("it hangs together");
    let premises = Premises { hours: Hours::WithOvertime, reserve: Reserve::Kept };
    let found = check_rows(&problem, &plan, premises, at(4, "17:00"));
    // Once in the model of short periods, once in that of long ones.
    assert!(matches!(found[..], [Broken::Row(Meaning::Evenings(_), 4), Broken::Row(Meaning::Evenings(_), 4)]), "{found:?}");
    // Twenty-two hours of rest in any twenty-four.
    let rest = |parts: &mut Parts| {
        let mut rules = parts.rule_sets[Id::from_index(0)].clone().into_parts();
        rules.code = "long".to_owned();
        for rule in &mut rules.rules {
            if let turnto::rest::rule::Kind::TotalRest(total) = &mut rule.kind
                && total.window == Minutes::DAY
            {
                total.at_least = Minutes::hours(22);
            }
        }
        parts.rule_sets = vec![turnto::rest::RuleSet::new(rules).expect("a set of rules")].into();
    };
    assert_eq!(legal(&rest), set(["rest"]));
    // 24 h of ordinary time a day, 8 h of them booked, 20 h to be kept; with a cap that leaves 7 h of R alone.
    let reserve = |parts: &mut Parts| {
        let whole = Span::new(parts.start, parts.layout_end).expect("a layout has time");
        let asked = Asked { kinds: Vec::new(), call: Minutes::ZERO, unbooked: Minutes::hours(20), hours: (Minutes::ZERO, Minutes::DAY) };
        let mode = Mode { code: "m".to_owned(), name: String::new(), needs: Vec::new(), weight: 1, reserve: Some(asked) };
        let mode = parts.modes.push(mode);
        parts.mode_spans = vec![(whole, mode)];
    };
    assert_eq!(legal(&reserve), set(["unbooked"]));
    let capped = |parts: &mut Parts| {
        reserve(parts);
        parts.modes[Id::from_index(0)].reserve.as_mut().expect("it has one").unbooked = Minutes::hours(16);
    };
    assert_eq!(legal(&capped), set([]));
    let capped_more = |parts: &mut Parts| {
        capped(parts);
        parts.people[who(2)].job_cap = Some(Minutes::hours(7));
    };
    assert_eq!(legal(&capped_more), set(["unbooked"]));
    // One person in two places.
    let both = |parts: &mut Parts| parts.tasks[task(1)].needs = vec![Id::from_index(0)];
    assert_eq!(breaks(both, (2, morning, p.clone()), (2, morning, p.clone())), set(["bound", "time"]));
    // Nobody where somebody is needed; somebody who does not hold what is needed.
    assert_eq!(breaks(|_| (), (2, morning, Vec::new()), (2, morning, q.clone())), set(["filled"]));
    assert_eq!(breaks(|_| (), (2, morning, q.clone()), (2, afternoon, q.clone())), set(["filled", "no column"]));
    // Too little work, too much work, work by night (of which the long periods know only that it is too much for
    // the evening).
    assert_eq!(breaks(|_| (), (2, &["08:00-11:00"], p.clone()), (2, morning, q.clone())), set(["unplaced"]));
    assert_eq!(breaks(|_| (), (2, &["08:00-12:00", "13:00-14:00"], p.clone()), (2, morning, q.clone())), set(["bound"]));
    assert_eq!(breaks(|_| (), (2, &["20:00-24:00"], p), (2, morning, r)), set(["bound", "no column", "placed", "time"]));
}

/// If this fails, the labour model does not see that two tasks share one person, or what it says about who
/// works when does not add up. A alone has two tasks of six hours: twelve hours end on day 2 at 12:00 with
/// ordinary hours (8 on day 1, 4 on day 2), though the chain says day 1 15:00.
#[test]
fn one_pair_of_hands_is_shared() {
    let (mut job, fit, person) = Job::of_one(5);
    let (first, second) = (job.task("T0", &[fit], 12), job.task("T1", &[fit], 12));
    let problem = job.problem();
    let premises = Premises { hours: Hours::Ordinary, reserve: Reserve::Kept };
    let smallest = smallest_finish(&problem, premises, None).expect("there is room");
    assert_eq!((smallest.at, smallest.refuted), (Some(at(2, "12:00")), Some(at(2, "11:30"))));
    assert_eq!(chain(&problem, Hours::Ordinary).expect("there is room").at, at(1, "15:00"));
    let plan = smallest.plan.expect("it was solved for");
    assert_eq!(plan.of_person(person, problem.clock.day(at(1, "08:00"))), Minutes::hours(8));
    assert_eq!(plan.of_person(person, problem.clock.day(at(2, "08:00"))), Minutes::hours(4));
    assert_eq!(plan.teams[first], [Some(person)]);
    // One of them is done on day 2 and not before.
    assert!(plan.done[first].max(plan.done[second]) > at(2, "08:00"), "{:?}", plan.done);
    assert!(plan.half[first].max(plan.half[second]) <= at(2, "12:00"), "{:?}", plan.half);
    // For an end half an hour earlier just one slot finds no place, and A's time is what has a price.
    let late = solve(&problem, premises, at(2, "11:30")).expect("there is always an answer");
    assert_eq!(late.unplaced.iter().sum::<i64>(), 1000);
    let worth = prices(&problem, premises, at(2, "11:30")).expect("there is always an answer");
    assert!(worth.iter().all(|p| matches!(p.of, Priced::Person(who, _) if who == person)) && !worth.is_empty(), "{worth:?}");
}

/// If this fails, a tool that two tasks need at once is not seen, or a class of two like people is not dealt
/// out evenly. Two like people could do both tasks at once; the one tool makes them take turns.
#[test]
fn one_tool_is_shared_and_like_people_are_dealt_even_parts() {
    let mut job = Job::new(5);
    let a = job.competence("A");
    for code in ["P", "Q"] {
        let person = job.person(code, &[a]);
        job.day_work(person);
    }
    let tool = job.tool("TOOL", 1);
    for code in ["T0", "T1"] {
        let task = job.task(code, &[a], 8);
        job.parts.tasks[task].tools = vec![(tool, 1)];
        job.parts.tasks[task].stop = Stop::Never;
    }
    let problem = job.problem();
    let premises = Premises { hours: Hours::Ordinary, reserve: Reserve::Open };
    let smallest = smallest_finish(&problem, premises, None).expect("there is room");
    assert_eq!(smallest.at, Some(at(1, "17:00")));
    let plan = smallest.plan.expect("it was solved for");
    let day = problem.clock.day(at(1, "08:00"));
    assert_eq!([plan.of_person(who(0), day), plan.of_person(who(1), day)], [Minutes::hours(4); 2]);
    let worth = prices(&problem, premises, at(1, "16:00")).expect("there is always an answer");
    assert!(worth.iter().any(|p| p.of == Priced::Tool(tool, day)), "{worth:?}");
}

/// If this fails, a job that nobody can do under its reserve is called possible, or the bound gives up on it: where no
/// plan keeps the reserve, the bound of a plan is one for plans without it.
#[test]
fn a_reserve_nobody_can_keep_is_told() {
    let mut job = small();
    unbooked(&mut job.parts, 25, (0, 24));
    let mut plan = idle_plan(&job.parts);
    plan.spells = [0, 1].map(|n| spell(task(n), 0, 1, &["08:00-12:00"], &[who(n)])).to_vec();
    let problem = job.problem();
    let kept = Premises { hours: Hours::Ordinary, reserve: Reserve::Kept };
    assert_eq!(smallest_finish(&problem, kept, None).expect("there is room").at, None);
    let verified = verify(&problem, plan).expect("it is legal, and short of reserve");
    let premises = like(verified.account());
    assert_eq!((premises.reserve, verified.account().finish), (Reserve::Open, at(1, "12:00")));
    assert_eq!(proven(&problem, premises, verified.account().finish).earliest.at, at(1, "12:00"));
}
