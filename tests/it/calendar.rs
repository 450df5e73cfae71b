//! Earliest and latest times through calendars: stop codes, breaks, caps, watches, waits.

use turnto::bound::{Impossible, chain};
use turnto::calendar::{Fit, Hours, People, State};
use turnto::id::TaskId;
use turnto::model::{After, Ban, Problem, Stand, Stop, When};
use turnto::time::{Minutes, Moment};

use crate::support::job::{Job, at, on};

/// Earliest start and end of a task that is ready at `from`.
fn earliest(problem: &Problem, hours: Hours, task: TaskId, from: Moment) -> Option<(Moment, Moment)> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, hours);
    let range = people.range();
    fit.earliest(task, range.from(from)).map(|(start, end)| (range.moment(start), range.moment(end)))
}

/// Latest start and end of a task that must have ended by `to`.
fn latest(problem: &Problem, hours: Hours, task: TaskId, to: Moment) -> Option<(Moment, Moment)> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, hours);
    let range = people.range();
    fit.latest(task, range.to(to)).map(|(start, end)| (range.moment(start), range.moment(end)))
}

/// One day worker, 08-12 and 13-17 with overtime 17-19, and one task of five hours with the stop code.
fn one(stop: Stop, edit: impl FnOnce(&mut Job, TaskId)) -> (Problem, TaskId) {
    let mut job = Job::new(5);
    let hand = job.competence("HAND");
    let person = job.person("P", &[hand]);
    job.day_work(person);
    let task = job.task("T", &[hand], 10);
    job.parts.tasks[task].stop = stop;
    edit(&mut job, task);
    (job.problem(), task)
}

/// If this fails, work that may stop anywhere is not spread over the hours there are: five hours from 15:00
/// are 15-17, 08-11; backwards from day 2 10:00 they are 08-10 and 14-17.
#[test]
fn work_that_may_stop_flows_round_the_nights() {
    let (problem, task) = one(Stop::Any { min_spell: minimal() }, |_, _| ());
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "15:00")), Some((at(1, "15:00"), at(2, "11:00"))));
    assert_eq!(earliest(&problem, Hours::WithOvertime, task, at(1, "15:00")), Some((at(1, "15:00"), at(2, "09:00"))));
    assert_eq!(latest(&problem, Hours::Ordinary, task, at(2, "10:00")), Some((at(1, "14:00"), at(2, "10:00"))));
    assert_eq!(latest(&problem, Hours::Ordinary, task, at(2, "12:30")), Some((at(1, "17:00") - Minutes::hours(1), at(2, "12:00"))));
}

fn minimal() -> turnto::time::Slots {
    turnto::time::Slots::new(1)
}

/// If this fails, a spell that may not stop is not paused by the named break, or runs on into the night. Five
/// hours with the hour's break in it take six; after 11:00 they no longer fit ordinary hours that day.
#[test]
fn a_spell_that_may_not_stop_pauses_for_the_break() {
    let (problem, task) = one(Stop::Never, |_, _| ());
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "08:00")), Some((at(1, "08:00"), at(1, "14:00"))));
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "11:30")), Some((at(2, "08:00"), at(2, "14:00"))));
    // With overtime it may go on to 19:00: from 11:30 to 17:30.
    assert_eq!(earliest(&problem, Hours::WithOvertime, task, at(1, "11:30")), Some((at(1, "11:30"), at(1, "17:30"))));
    assert_eq!(latest(&problem, Hours::Ordinary, task, at(2, "12:00")), Some((at(1, "11:00"), at(1, "17:00"))));
}

/// If this fails, a task that may not be paused runs over a break. Five hours without a pause fit only into
/// 13-19 with overtime.
#[test]
fn a_spell_that_may_not_pause_keeps_clear_of_the_break() {
    let (problem, task) = one(Stop::Never, |job, task| job.parts.tasks[task].pauses = false);
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "08:00")), None);
    assert_eq!(earliest(&problem, Hours::WithOvertime, task, at(1, "08:00")), Some((at(1, "13:00"), at(1, "18:00"))));
}

/// If this fails, parts are cut. Two parts of two and a half hours: 08:00-10:30, then 10:30-14:00 round the
/// break; from 14:00 the first fits to 16:30 and the second only next morning.
#[test]
fn parts_are_not_cut_by_the_night() {
    let (problem, task) = one(Stop::Parts(2), |_, _| ());
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "08:00")), Some((at(1, "08:00"), at(1, "14:00"))));
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "14:00")), Some((at(1, "14:00"), at(2, "10:30"))));
    assert_eq!(latest(&problem, Hours::Ordinary, task, at(2, "11:00")), Some((at(1, "14:30"), at(2, "11:00"))));
}

/// If this fails, the cap on job time a day is not seen: with two hours a day, five hours take until the
/// third day, and a spell that may not stop never fits.
#[test]
fn a_cap_stretches_the_work_over_days() {
    let (problem, task) = one(Stop::Any { min_spell: minimal() }, cap_two_hours);
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "08:00")), Some((at(1, "08:00"), at(3, "09:00"))));
    // Backwards an hour on day 3, two each on days 2 and 1.
    assert_eq!(latest(&problem, Hours::Ordinary, task, at(3, "09:00")), Some((at(1, "15:00"), at(3, "09:00"))));
    let (problem, task) = one(Stop::Never, cap_two_hours);
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "08:00")), None);
}

fn cap_two_hours(job: &mut Job, _: TaskId) {
    for person in job.parts.people.iter_mut() {
        person.job_cap = Some(Minutes::hours(2));
    }
}

/// If this fails, a fixed duty, a ban or time away is overlooked, or a movable duty takes anybody for sure
/// although it fills less than half of its window.
#[test]
fn duties_bans_and_time_away_take_slots() {
    let state = |job: &mut Job, time: &str| People::new(&job_problem(job)).state(first(), usize_slot(time));
    let mut job = day_worker();
    assert_eq!(state(&mut job, "09:00"), State::Ordinary);
    assert_eq!(state(&mut job, "12:30"), State::Break);
    assert_eq!(state(&mut job, "18:00"), State::Overtime);
    assert_eq!(state(&mut job, "20:00"), State::Off);
    job.duty("talk", When::Fixed(on(1, "09:15-09:45")), &[first()]);
    // 09:15 to 09:45 touches two slots.
    assert_eq!(
        [state(&mut job, "08:30"), state(&mut job, "09:00"), state(&mut job, "09:30")],
        [State::Ordinary, State::Taken, State::Taken]
    );
    job.duty("loose", When::Movable { window: on(1, "10:00-12:00"), length: Minutes::hours(1) }, &[first()]);
    assert_eq!(state(&mut job, "11:00"), State::Ordinary);
    // An hour and a half in two hours covers 10:30 to 11:30 wherever it is put.
    job.duty("tight", When::Movable { window: on(1, "10:00-12:00"), length: Minutes::new(90) }, &[first()]);
    let states = ["10:00", "10:30", "11:00", "11:30"].map(|t| state(&mut job, t));
    assert_eq!(states, [State::Ordinary, State::Taken, State::Taken, State::Ordinary]);
    job.parts.people[first()].away = vec![on(1, "14:00-15:00")];
    assert_eq!(state(&mut job, "14:30"), State::Away);

    let mut job = day_worker();
    let hot = job.tag("hot");
    let hand = turnto::id::Id::from_index(0);
    let task = job.task("T", &[hand], 2);
    job.parts.tasks[task].tags = vec![hot];
    job.parts.bans = vec![Ban { span: on(1, "08:00-11:15"), tags: vec![hot], reason: String::new() }];
    assert_eq!(earliest(&job.problem(), Hours::Ordinary, task, at(1, "08:00")), Some((at(1, "11:30"), at(1, "13:30"))));
}

fn day_worker() -> Job {
    let mut job = Job::new(3);
    let hand = job.competence("HAND");
    let person = job.person("P", &[hand]);
    job.day_work(person);
    job
}

fn first() -> turnto::id::PersonId {
    turnto::id::Id::from_index(0)
}

fn job_problem(job: &Job) -> Problem {
    Problem::new(job.parts.clone()).expect("the job hangs together")
}

/// The slot of a time on day 1, counted from 08:00.
fn usize_slot(time: &str) -> usize {
    usize::try_from((at(1, time) - at(1, "08:00")).get() / 30).expect("after the start")
}

/// If this fails, an open turn takes everybody who might stand it, or a fixed one nobody.
#[test]
fn a_fixed_turn_takes_its_person_and_an_open_one_nobody() {
    for (open, expected) in [(false, State::Taken), (true, State::Ordinary)] {
        let mut job = day_worker();
        let hand = turnto::id::Id::from_index(0);
        let other = job.person("Q", &[hand]);
        job.day_work(other);
        let stand = if open { Stand::Open(vec![first(), other]) } else { Stand::Fixed(first()) };
        job.post("POST", hand, &[("00:00-00:00", stand)]);
        assert_eq!(People::new(&job.problem()).state(first(), usize_slot("09:00")), expected);
    }
}

/// If this fails, two positions are filled by one person. The one who holds both skills cannot fill both;
/// together with the afternoon hand the task starts at 13:00.
#[test]
fn positions_need_different_people() {
    let mut job = Job::new(3);
    let (a, b) = (job.competence("A"), job.competence("B"));
    let both = job.person("BOTH", &[a, b]);
    job.day_work(both);
    let late = job.person("LATE", &[b]);
    job.hours(late, &["13:00-17:00"], &[], &[]);
    let task = job.task("T", &[a, b], 2);
    let same = job.task("S", &[a, b], 2);
    job.parts.tasks[same].same = vec![0];
    let problem = job.problem();
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "08:00")), Some((at(1, "13:00"), at(1, "14:00"))));
    assert_eq!(earliest(&problem, Hours::Ordinary, same, at(1, "08:00")), Some((at(1, "13:00"), at(1, "14:00"))));
}

/// If this fails, "one person through all spells" is not seen: two people with half a day each would end
/// four and a half hours from 10:00 on the same day, at 15:30; the morning one alone ends at 10:30 next day,
/// the afternoon one later still.
#[test]
fn the_same_person_must_do_all_of_it() {
    for (same, end) in [(vec![], at(1, "15:30")), (vec![0], at(2, "10:30"))] {
        let mut job = Job::new(3);
        let hand = job.competence("HAND");
        for (code, hours) in [("AM", "08:00-12:00"), ("PM", "13:00-16:00")] {
            let person = job.person(code, &[hand]);
            job.hours(person, &[hours], &[], &[]);
        }
        let task = job.task("T", &[hand], 9);
        job.parts.tasks[task].same = same;
        let found = earliest(&job.problem(), Hours::Ordinary, task, at(1, "10:00"));
        assert_eq!(found.map(|(_, e)| e), Some(end));
    }
}

/// If this fails, waits do not run through the night, or the chain is not named with its waits. A ends at
/// 17:00, the wait of twelve hours at 05:00, and B starts at 08:00, not before.
#[test]
fn waits_run_through_the_night() {
    let mut job = day_worker();
    let hand = turnto::id::Id::from_index(0);
    let first = job.task("A", &[hand], 16);
    let second = job.task("B", &[hand], 2);
    job.parts.tasks[second].after = vec![After { task: first, lag: Minutes::hours(12) }];
    let found = chain(&job.problem(), Hours::Ordinary).expect("there is room");
    assert_eq!(found.at, at(2, "09:00"));
    let links: Vec<_> = found.links.iter().map(|l| (l.task, l.ready, l.start, l.end)).collect();
    assert_eq!(links, [(first, at(1, "08:00"), at(1, "08:00"), at(1, "17:00")), (second, at(2, "05:00"), at(2, "08:00"), at(2, "09:00"))]);
}

/// If this fails, a task without people is held to working hours, or runs while its post is not manned.
#[test]
fn a_task_without_people_runs_round_the_clock_while_its_post_is_manned() {
    let mut job = day_worker();
    let hand = turnto::id::Id::from_index(0);
    let post = job.post("POST", hand, &[("00:00-00:00", Stand::Fixed(first()))]);
    // Unmanned from day 1 20:00 to 22:00.
    let (from, to) = (at(1, "20:00"), at(1, "22:00"));
    let split = |span: turnto::time::Span| span.without(&[turnto::time::Span::new(from, to).expect("two hours")]);
    job.parts.posts[post].manned = job.parts.posts[post].manned.iter().flat_map(|s| split(*s)).collect();
    let turns: Vec<_> =
        job.parts.turns.iter().flat_map(|t| split(t.span).into_iter().map(|span| turnto::model::Turn { span, ..t.clone() })).collect();
    job.parts.turns = turns.into();
    let task = job.task("RUN", &[], 16);
    job.parts.tasks[task].attended_by = Some(post);
    let problem = job.problem();
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "11:00")), Some((at(1, "11:00"), at(1, "19:00"))));
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "13:00")), Some((at(1, "22:00"), at(2, "06:00"))));
}

/// If this fails, a task that cannot be done is not named as the proof that there is no legal plan.
#[test]
fn what_does_not_fit_proves_that_there_is_no_plan() {
    let mut job = day_worker();
    let hand = turnto::id::Id::from_index(0);
    let first = job.task("A", &[hand], 4);
    let second = job.task("B", &[hand], 4);
    job.parts.tasks[second].after = vec![After { task: first, lag: Minutes::ZERO }];
    job.parts.tasks[second].not_after = Some(at(1, "11:30"));
    let Err(proof) = chain(&job.problem(), Hours::Ordinary) else { panic!("it cannot be done by 11:30") };
    let Impossible { task, ready, before } = *proof;
    assert_eq!((task, ready), (second, at(1, "10:00")));
    assert_eq!(before.iter().map(|l| l.task).collect::<Vec<_>>(), [first]);
}

/// If this fails, an emergency task is held to working hours.
#[test]
fn an_emergency_may_be_worked_at_outside_hours() {
    let (problem, task) = one(Stop::Never, |job, task| job.parts.tasks[task].emergency = true);
    assert_eq!(earliest(&problem, Hours::Ordinary, task, at(1, "19:00")), Some((at(1, "19:00"), at(2, "00:00"))));
}
