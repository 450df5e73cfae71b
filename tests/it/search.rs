//! The search: what it may not depend on.

use turnto::bound::chain;
use turnto::calendar::Hours;
use turnto::engine::{Options, Outcome, Solution, Unwatched, Watch, solve};
use turnto::id::{IdVec, MilestoneId};
use turnto::model::{After, Group, Hold, Milestone, Mode, RecordKind, Recorded, Stand, Stop, Unit, When};
use turnto::plan::Spell;
use turnto::time::{Minutes, Moment, Span};
use turnto::verify::verify;

use crate::support::demo;
use crate::support::job::{Job, at, on};

fn planned(threads: usize, patience: u64) -> Solution {
    let problem = demo::problem();
    let bound = chain(&problem, Hours::Ordinary).map(|c| c.at).ok();
    let Outcome::Found(solution) = solve(&problem, &Options { seed: 3, patience, bound, threads, end: None }, &mut Unwatched) else {
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

/// Knows that no milestone can be met before a moment.
struct Knows(Moment);

impl Watch for Knows {
    fn improved(&mut self, _generation: u64, _finish: Moment) {}
    fn stop(&mut self) -> bool {
        false
    }
    fn earliest_proven(&mut self, _met_at: &IdVec<MilestoneId, Moment>) -> Option<IdVec<MilestoneId, Moment>> {
        Some([self.0].into_iter().collect())
    }
}

/// If this fails, the search goes on asking for a date that is proven to be out of reach. Two tasks of four hours of one
/// person, one after the other in any order, asked for after two.
#[test]
fn no_more_is_asked_than_can_be() {
    let (mut job, fit, _) = Job::of_one(5);
    let tasks = vec![job.task("T0", &[fit], 8), job.task("T1", &[fit], 8)];
    let milestone = Milestone { code: "M".to_owned(), text: String::new(), tasks, due: at(1, "10:00"), weight: 1 };
    job.parts.milestones = [milestone].into_iter().collect();
    let problem = job.problem();
    let options = Options { seed: 0, patience: 60, bound: None, threads: 1, end: None };
    let searched = |watch: &mut dyn Watch| {
        let Outcome::Found(solution) = solve(&problem, &options, watch) else { panic!("the job is easily done") };
        (solution.plan, solution.generations)
    };
    let (plan, long) = searched(&mut Unwatched);
    let finish = plan.spells.iter().map(|spell| spell.span().end()).max().expect("there is work");
    let (same, short) = searched(&mut Knows(finish));
    assert!(same == plan && short < long, "{short} generations, {long} without");
}

/// If this fails, a plan that may go on past the planned end and need not is no legal one: time on hand for the reserve would be
/// laid out after it, for instance.
#[test]
fn room_at_the_end_that_is_not_used_is_no_part_of_the_plan() {
    let problem = demo::problem();
    let end = Some(problem.end_for(problem.end + Minutes::hours(72)));
    let options = Options { seed: 3, patience: 60, bound: None, threads: 1, end };
    let Outcome::Found(solution) = solve(&problem, &options, &mut Unwatched) else { panic!("the demo has a plan") };
    let verified = verify(&problem, solution.plan).unwrap_or_else(|rejected| panic!("{:?}", rejected.breaches));
    assert!(Some(verified.account().end) < end, "the room is used, so nothing is shown");
}

/// If this fails, somebody in a recorded call-out is planned on a task, a watch or a duty at the same time. A is out from 07:00
/// to 11:00; planning begins at 08:00.
#[test]
fn nobody_is_planned_anywhere_while_a_recorded_call_lasts() {
    let (mut job, fit, called) = Job::of_one(3);
    let other = job.person("B", &[fit]);
    let call = on(1, "07:00-11:00");
    job.parts.people[called].recorded = vec![Recorded { span: call, kind: RecordKind::Call, note: String::new() }];
    let gate = job.post("GATE", fit, &[("08:00-09:00", Stand::Open(vec![called, other]))]);
    job.parts.posts[gate].manned = job.parts.turns.iter().map(|turn| turn.span).collect();
    let _ = job.duty("talk", When::Movable { window: on(1, "09:00-12:00"), length: Minutes::new(30) }, &[called]);
    let _ = job.task("T", &[fit], 2);
    let problem = job.problem();
    let Outcome::Found(solution) = solve(&problem, &Options { seed: 0, patience: 10, bound: None, threads: 1, end: None }, &mut Unwatched)
    else {
        panic!("there is room after the call")
    };
    let plan = &solution.plan;
    assert!(verify(&problem, plan.clone()).is_ok());
    assert!(plan.spells.iter().all(|s| !s.span().overlaps(call)), "{:?}", plan.spells);
    assert_eq!(plan.turns.iter().next(), Some(&other));
    assert!(plan.duties.iter().all(|at| *at >= call.end()), "{:?}", plan.duties);
    // No bound may count on him either.
    let chain = chain(&problem, Hours::WithOvertime).map(|c| c.at);
    assert_eq!(chain.ok(), Some(at(1, "12:00")));
}

/// If this fails, patience is not what decides when the search ends, or more of it may give a worse plan.
#[test]
fn more_patience_searches_longer() {
    let (short, long) = (planned(2, 20), planned(2, 80));
    assert!(long.generations > short.generations, "{} and {}", long.generations, short.generations);
}

/// If this fails, the search does not see that a machine that is handed back only before it is taken out stays out to the
/// end, and puts the tasks in that order. Of two machines both are needed; one task of two hours takes the second out,
/// another hands it back, and nothing says which comes first: with one person the machine is out for four hours, eight
/// slots, or for all of the plan that is left.
#[test]
fn a_machine_is_taken_out_before_it_is_handed_back() {
    let (mut job, fit, _) = Job::of_one(3);
    let unit = |code: &str| Unit { code: code.to_owned(), name: String::new(), state: String::new(), out: Vec::new() };
    let units = vec![job.parts.units.push(unit("G1")), job.parts.units.push(unit("G2"))];
    let group = Group {
        code: "GEN".to_owned(),
        name: String::new(),
        units: units.clone(),
        lasts: None,
        recover: Minutes::ZERO,
        short_before: None,
    };
    let group = job.parts.groups.push(group);
    let mode = Mode { code: "m".to_owned(), name: String::new(), needs: vec![(group, 2)], weight: 1, reserve: None };
    let mode = job.parts.modes.push(mode);
    job.parts.mode_spans = vec![(Span::new(job.parts.start, job.parts.layout_end).expect("a layout has time"), mode)];
    let (back, out) = (job.task("B1", &[fit], 4), job.task("B2", &[fit], 4));
    for task in [back, out] {
        job.parts.tasks[task].stop = Stop::Never;
    }
    job.parts.tasks[back].hands_back = vec![units[1]];
    job.parts.tasks[out].takes_out = vec![units[1]];
    let problem = job.problem();
    let options = Options { seed: 0, patience: 60, bound: None, threads: 1, end: None };
    let Outcome::Found(solution) = solve(&problem, &options, &mut Unwatched) else { panic!("the job is easily done") };
    let verified = verify(&problem, solution.plan).expect("it is legal");
    assert_eq!((verified.account().machinery_shortfall, solution.worth[0]), (8, 8));
}

/// If this fails, a duty off the slot grid that hands a machine back a few minutes before another takes it out is taken to
/// end its being out.
#[test]
fn a_machine_handed_back_minutes_too_early_stays_out() {
    let (mut job, fit, person) = Job::of_one(1);
    let unit = |code: &str| Unit { code: code.to_owned(), name: String::new(), state: String::new(), out: Vec::new() };
    let unit = job.parts.units.push(unit("G1"));
    let group =
        Group { code: "GEN".to_owned(), name: String::new(), units: vec![unit], lasts: None, recover: Minutes::ZERO, short_before: None };
    let group = job.parts.groups.push(group);
    let mode = Mode { code: "m".to_owned(), name: String::new(), needs: vec![(group, 1)], weight: 1, reserve: None };
    let mode = job.parts.modes.push(mode);
    job.parts.mode_spans = vec![(Span::new(job.parts.start, job.parts.layout_end).expect("a layout has time"), mode)];
    let back = job.duty("BACK", When::Fixed(on(1, "14:00-14:40")), &[person]);
    let out = job.duty("OUT", When::Fixed(on(1, "14:45-15:00")), &[person]);
    job.parts.duties[back].hands_back = vec![unit];
    job.parts.duties[out].takes_out = vec![unit];
    job.task("T", &[fit], 4);
    let problem = job.problem();
    let options = Options { seed: 0, patience: 0, bound: None, threads: 1, end: None };
    let Outcome::Found(solution) = solve(&problem, &options, &mut Unwatched) else { panic!("the job is easily done") };
    let verified = verify(&problem, solution.plan).expect("it is legal");
    let short = verified.account().machinery_shortfall;
    assert!(short > 30, "{short}");
    assert_eq!(solution.worth[0], short);
}

/// If this fails, a drill that may move is left in the middle of the night though everybody could have it by day: no aim counts
/// when it is. STCW Code A-VIII/1 paragraph 4: drills are to disturb rest as little as can be.
#[test]
fn a_drill_that_may_move_is_not_left_in_the_night() {
    let (mut job, fit, day_worker) = Job::of_one(4);
    let night_worker = job.person("N", &[fit]);
    job.hours(night_worker, &["20:00-24:00"], &[], &[]);
    let _ = job.task("T", &[fit], 12);
    let window = Span::new(at(1, "20:00"), at(2, "20:00")).unwrap();
    let drill = job.duty("drill", When::Movable { window, length: Minutes::hours(1) }, &[day_worker, night_worker]);
    let problem = job.problem();
    for seed in 0..4 {
        let options = Options { seed, patience: 60, bound: None, threads: 1, end: None };
        let Outcome::Found(solution) = solve(&problem, &options, &mut Unwatched) else { panic!("the job is easily done") };
        let start = solution.plan.duties[drill];
        assert!((at(2, "08:00")..=at(2, "16:00")).contains(&start), "{}", problem.clock.day_time(start));
        assert!(verify(&problem, solution.plan).is_ok());
    }
}

/// If this fails, there is said to be no plan where a tool that is held through a wait is lent for a time: filling takes an hour,
/// then three of wait, then emptying an hour, by a fitter on day work from 08:00 to 17:00.
#[test]
fn a_tool_that_is_there_for_a_time_can_be_held_meanwhile() {
    // When the tool is away, and when filling begins and emptying ends at the earliest.
    let cases = [
        (vec![], (at(1, "08:00"), at(1, "13:00"))),
        (vec![Span::new(at(3, "12:00"), at(30, "08:00")).expect("in order")], (at(1, "08:00"), at(1, "13:00"))),
        // Gone before it could be emptied: it is filled once it is back.
        (vec![on(1, "12:00-14:00")], (at(1, "14:00"), at(2, "09:00"))),
        // Not there in the beginning.
        (vec![on(1, "08:00-10:00")], (at(1, "10:00"), at(1, "15:00"))),
        // There for long enough, but nobody is up to empty it in time.
        (vec![on(1, "08:00-14:00"), on(1, "21:00-22:00")], (at(2, "08:00"), at(2, "13:00"))),
        // Nor in the afternoon of the first day: only on the second day is it there for long enough.
        (vec![on(1, "08:00-10:00"), on(1, "14:00-22:00")], (at(2, "08:00"), at(2, "13:00"))),
    ];
    for (away, expected) in cases {
        let mut job = Job::new(3);
        let fit = job.competence("FIT");
        let person = job.person("A", &[fit]);
        job.hours(person, &["08:00-17:00"], &[], &[]);
        let (fill, empty) = (job.task("FILL", &[fit], 2), job.task("EMPTY", &[fit], 2));
        job.parts.tasks[empty].after = vec![After { task: fill, lag: Minutes::hours(3) }];
        let tool = job.tool("TUB", 1);
        job.parts.tools[tool].away.clone_from(&away);
        job.parts.holds.push(Hold { tool, number: 1, fill: Some(fill), filling: None, empty });
        let problem = job.problem();
        for patience in [0, 20] {
            let options = Options { seed: 0, patience, bound: None, threads: 1, end: None };
            let Outcome::Found(solution) = solve(&problem, &options, &mut Unwatched) else { panic!("away {away:?}: there is a plan") };
            let verified = verify(&problem, solution.plan).expect("it is legal");
            let spans = |task| verified.plan().spells.iter().filter(move |s| s.task == task).map(Spell::span);
            let (begins, ends) = (spans(fill).map(Span::start).min(), spans(empty).map(Span::end).max());
            assert_eq!((begins, ends), (Some(expected.0), Some(expected.1)), "away {away:?}, patience {patience}");
        }
    }
}
