//! Rule 3: every rest rule broken by a plan, what the record is to blame for, what is not known, and what
//! counts as time at work.
//!
//! Hours in the comments and tables are counted from day 1 00:00, where these jobs start. The patterns D4,
//! D10, P1, P4, P10 and D12 are worked cases of hours of rest: published arithmetic (P) or derived (D).

use std::collections::BTreeSet;

use turnto::id::PersonId;
use turnto::model::{OnWatch, Post, RecordKind, Recorded, Stand, Turn, When};
use turnto::plan::{OnHand, Plan};
use turnto::time::{Minutes, Moment, Slots, Span};
use turnto::verify::{Breach, Clause, Verified, verify};

use crate::support::job::{Job, idle_plan};

/// Positions of the rules in the set of STCW and MLC hours of rest.
const DAY: usize = 0;
const SPLIT: usize = 1;
const LONGEST: usize = 2;
const INTERVAL: usize = 3;
const WEEK: usize = 4;

/// From hour `from` to hour `to`.
fn hours(from: i32, to: i32) -> Span {
    minutes(from * 60, to * 60)
}

fn minutes(from: i32, to: i32) -> Span {
    Span::new(Moment::new(from), Moment::new(to)).expect("a stretch has a length")
}

/// A job of one person, started at hour 0, who may work at any hour, and a plan with the given hours of work.
struct Lone {
    job: Job,
    plan: Plan,
    person: PersonId,
}

impl Lone {
    /// Planned over `days` days; the record is complete for eight days before and empty.
    fn new(days: i32, work: &[(i32, i32)]) -> Self {
        let mut job = Job::new(days);
        let shift = Minutes::hours(8);
        for moment in [&mut job.parts.start, &mut job.parts.end, &mut job.parts.latest_end, &mut job.parts.layout_end] {
            *moment = *moment - shift;
        }
        let able = job.competence("GEN");
        let person = job.person("ANN", &[able]);
        job.parts.people[person].recorded_from = Some(Moment::new(-8 * 24 * 60));
        let mut plan = idle_plan(&job.parts);
        if !work.is_empty() {
            let slots: i32 = work.iter().map(|(from, to)| (to - from) * 2).sum();
            let task = job.task("T", &[able], slots);
            job.parts.tasks[task].emergency = true;
            let spell = |work: &(i32, i32)| turnto::plan::Spell { work: vec![hours(work.0, work.1)], task, part: 0, team: vec![person] };
            plan.spells = work.iter().map(spell).collect();
        }
        Self { job, plan, person }
    }

    fn judge(self) -> Result<Verified, Vec<Breach>> {
        verify(&self.job.problem(), self.plan).map_err(|rejected| rejected.breaches)
    }

    /// The breaches, which must all be of rest rules by the one person.
    #[track_caller]
    fn breaches(self) -> Vec<Breach> {
        let person = self.person;
        let found = self.judge().expect_err("the plan breaks a rest rule");
        assert!(found.iter().all(|b| b.rule() == 3 && b.person == Some(person) && matches!(b.clause, Clause::Rest(_))), "{found:?}");
        found
    }
}

fn finding(rule: usize, window: Span, found: Minutes, required: Minutes) -> Breach {
    use turnto::id::Id;
    Breach::new(Clause::Rest(rule)).by(PersonId::from_index(0)).during(window).time(found, required)
}

/// Asserts which rest rules are broken, and one breach of each in full.
#[track_caller]
fn check(work: &[(i32, i32)], rules: &[usize], some: &[Breach]) {
    let found = Lone::new(8, work).breaches();
    let broken: BTreeSet<Clause> = found.iter().map(|b| b.clause).collect();
    assert_eq!(broken, rules.iter().map(|rule| Clause::Rest(*rule)).collect::<BTreeSet<Clause>>(), "{found:?}");
    for breach in some {
        assert!(found.contains(breach), "{breach:?} is not among {found:?}");
    }
}

/// If this fails, ten hours of rest in a day are no longer asked for. P1: 06-20 and 29-34; in the window from
/// 6 to 30 there is rest from 20 to 29 only: 9 h (published).
#[test]
fn rest_of_a_day() {
    let window = hours(6, 30);
    let nine = Minutes::hours(9);
    let ten = Minutes::hours(10);
    check(&[(6, 20), (29, 34)], &[DAY, SPLIT], &[finding(DAY, window, nine, ten), finding(SPLIT, window, nine, ten)]);
}

/// If this fails, ten hours in three pieces pass. P10: in the window from 0 to 24 the rests are 1, 3 and 6 h;
/// the two longest make 9 h.
#[test]
fn rest_in_two_periods() {
    let breach = finding(SPLIT, hours(0, 24), Minutes::hours(9), Minutes::hours(10));
    check(&[(0, 5), (6, 11), (14, 18), (24, 28)], &[SPLIT], &[breach]);
}

/// If this fails, a day without six hours in a row passes. D10: the rests are 5 and 5 h.
#[test]
fn six_hours_in_a_row() {
    let breach = finding(LONGEST, hours(0, 24), Minutes::hours(5), Minutes::hours(6));
    check(&[(0, 7), (12, 19), (24, 28)], &[LONGEST], &[breach]);
}

/// If this fails, sixteen hours without a rest pass. P4: work from 24 to 40 in one block.
#[test]
fn interval_between_rests() {
    let breach = finding(INTERVAL, hours(24, 40), Minutes::hours(16), Minutes::hours(14));
    check(&[(0, 4), (12, 16), (24, 40), (48, 52), (60, 64)], &[DAY, SPLIT, INTERVAL], &[breach]);
}

/// If this fails, a week of fourteen-hour days passes. D4: 06-20 on seven days leaves 7 × 10 = 70 h from 6
/// to 174.
#[test]
fn rest_of_a_week() {
    let days: Vec<(i32, i32)> = (0..7).map(|day| (24 * day + 6, 24 * day + 20)).collect();
    check(&days, &[WEEK], &[finding(WEEK, hours(6, 174), Minutes::hours(70), Minutes::hours(77))]);
    // With a day off after six days, 84 h are left (D3).
    assert!(Lone::new(8, &days[..6]).judge().is_ok());
}

/// If this fails, a plan is blamed for what the crew did before it, or the record excuses a plan that makes
/// things worse. Recorded work from -17 to -2; in the window from -17 to 7 there is rest from -2 on: 9 h.
#[test]
fn the_record_alone_is_not_the_plan() {
    let with_record = |work: &[(i32, i32)]| {
        let mut lone = Lone::new(2, work);
        let recorded = Recorded { span: hours(-17, -2), kind: RecordKind::Duty, note: String::new() };
        lone.job.parts.people[lone.person].recorded.push(recorded);
        lone
    };
    // Work after the window leaves the finding as it was.
    let verified = with_record(&[(8, 9)]).judge().expect("the record is to blame");
    let person = verified.account().people.iter().next().expect("one person");
    let windows: Vec<(usize, Span, Minutes)> = person.rest.recorded_findings.iter().map(|f| (f.rule, f.window, f.found)).collect();
    let nine = Minutes::hours(9);
    assert_eq!(windows, vec![(DAY, hours(-17, 7), nine), (SPLIT, hours(-17, 7), nine)]);
    // Work from 3 to 4 takes an hour more of it: rests -2 to 3 and 4 to 7.
    let found = with_record(&[(3, 4)]).breaches();
    assert!(found.contains(&finding(DAY, hours(-17, 7), Minutes::hours(8), Minutes::hours(10))), "{found:?}");
}

/// If this fails, a plan is called clean although nobody knows what was done the day before.
#[test]
fn time_before_the_record_is_unknown() {
    let unknown = |from: Option<i32>| {
        let mut lone = Lone::new(1, &[(4, 8)]);
        lone.job.parts.people[lone.person].recorded_from = from.map(|hour| Moment::new(hour * 60));
        let verified = lone.judge().expect("tried as rest, nothing is broken");
        verified.account().people.iter().next().expect("one person").rest.not_checkable_before
    };
    // Nothing is known before 0. Had everything before 0 been work, the window back from 8 would hold 4 h.
    assert_eq!(unknown(None), Some(Moment::new(8 * 60)));
    // Known for 6 h before the start: the day back from 8 then holds 10 h of rest, but the week is short.
    assert_eq!(unknown(Some(-6)), Some(Moment::new(8 * 60)));
    // Known for a week before the end of the work: no window that touches the plan reaches back further.
    assert_eq!(unknown(Some(8 - 168)), None);
}

/// If this fails, a lunch break counts as rest. D12 without named breaks: 06-13 and 14-21 pass, as 1 + 9 h.
/// With a named break from 13 to 14 the block is 15 h long and only 9 h of rest are left.
#[test]
fn a_named_break_is_no_rest() {
    assert!(Lone::new(2, &[(6, 13), (14, 21)]).judge().is_ok());
    let mut lone = Lone::new(2, &[(6, 13), (14, 21)]);
    lone.job.parts.people[lone.person].breaks = vec![hours(13, 14)];
    let found = lone.breaches();
    assert!(found.contains(&finding(INTERVAL, hours(6, 21), Minutes::hours(15), Minutes::hours(14))), "{found:?}");
    assert!(found.contains(&finding(DAY, hours(6, 30), Minutes::hours(9), Minutes::hours(10))), "{found:?}");
}

/// A stretch of ordinary and overtime hours on day 1.
fn stretch(lone: &mut Lone, ordinary: Span, overtime: &[Span]) {
    let stretch = turnto::model::Stretch { day: turnto::clock::Day::new(1), ordinary: vec![ordinary], overtime: overtime.to_vec() };
    lone.job.parts.people[lone.person].stretches = vec![stretch];
}

/// If this fails, people who wait for the next piece of work, or are told to stand by, are said to rest.
#[test]
fn time_on_hand_is_no_rest() {
    // Two pieces of work in one stretch, 06-07 and 20-21: 15 h in a row. Without the stretch they are apart.
    assert!(Lone::new(2, &[(6, 7), (20, 21)]).judge().is_ok());
    let block = finding(INTERVAL, hours(6, 21), Minutes::hours(15), Minutes::hours(14));
    let mut lone = Lone::new(2, &[(6, 7), (20, 21)]);
    stretch(&mut lone, hours(6, 21), &[]);
    assert!(lone.breaches().contains(&block));
    // Work from 6 to 7 and then listed on hand until 21.
    let mut lone = Lone::new(2, &[(6, 7)]);
    stretch(&mut lone, hours(6, 21), &[]);
    let person = lone.person;
    lone.plan.on_hand = vec![OnHand { person, span: hours(7, 21) }];
    assert!(lone.breaches().contains(&block));
    // Not listed, the rest of the stretch is free.
    let mut lone = Lone::new(2, &[(6, 7)]);
    stretch(&mut lone, hours(6, 21), &[]);
    assert!(lone.judge().is_ok());
}

/// If this fails, overtime that is not used ties people to the ship's work all day. Ordinary hours 04-12,
/// overtime 18-20, work from 4 to 5, a duty from 18 to 19.
#[test]
fn overtime_joins_a_stretch_only_where_it_is_used() {
    let build = |work: &[(i32, i32)]| {
        let mut lone = Lone::new(2, work);
        stretch(&mut lone, hours(4, 12), &[hours(18, 20)]);
        let person = lone.person;
        lone.job.duty("drill", When::Fixed(hours(18, 19)), &[person]);
        lone.plan.duties = idle_plan(&lone.job.parts).duties;
        lone
    };
    assert!(build(&[(4, 5)]).judge().is_ok());
    // An hour of work in the overtime makes 04-20 one stretch of 16 h.
    let found = build(&[(4, 5), (19, 20)]).breaches();
    assert!(found.contains(&finding(INTERVAL, hours(4, 20), Minutes::hours(16), Minutes::hours(14))), "{found:?}");
}

/// A post manned by the one person for a while.
fn turn(lone: &mut Lone, span: Span) {
    let able = lone.job.parts.people[lone.person].competences[0];
    let post = Post { code: "WATCH".to_owned(), name: String::new(), competence: able, manned: vec![span], attends: 0, by_mode: None };
    let post = lone.job.parts.posts.push(post);
    lone.job.parts.turns.push(Turn { post, span, stand: Stand::Fixed(lone.person), line: String::new() });
    lone.plan.turns = idle_plan(&lone.job.parts).turns;
}

/// If this fails, the watch after the end of the plan comes on top of a full day. Planned to hour 24; work from
/// 12 to 24, watch from 24 to 28.
#[test]
fn watches_after_the_end_count() {
    let mut lone = Lone::new(1, &[(12, 24)]);
    turn(&mut lone, hours(24, 28));
    let found = lone.breaches();
    assert!(found.contains(&finding(INTERVAL, hours(12, 28), Minutes::hours(16), Minutes::hours(14))), "{found:?}");
}

/// If this fails, the part of a duty that reaches beyond the watch is forgotten. Watch 06-18, a duty from 17 to
/// 21: whether those on watch are excused or do it along, 18-21 is attended, which makes 15 h in a row.
#[test]
fn the_part_of_a_duty_outside_the_watch_is_attended() {
    for on_watch in [OnWatch::Excused, OnWatch::DoneOnWatch] {
        let mut lone = Lone::new(2, &[]);
        turn(&mut lone, hours(6, 18));
        let person = lone.person;
        let duty = lone.job.duty("drill", When::Fixed(hours(17, 21)), &[person]);
        lone.job.duty_edit(duty).on_watch = on_watch;
        lone.plan.duties = idle_plan(&lone.job.parts).duties;
        let found = lone.breaches();
        assert!(found.contains(&finding(INTERVAL, hours(6, 21), Minutes::hours(15), Minutes::hours(14))), "{found:?}");
    }
}

/// If this fails, spells of half an hour with half-hour gaps are said to hold rest. Ten pieces an hour long
/// with gaps of 30 min from 6:00 on make a block of 14 h 30.
#[test]
fn gaps_under_an_hour_are_no_rest() {
    let mut lone = Lone::new(2, &[(0, 1)]);
    let task = lone.plan.spells[0].task;
    lone.job.parts.tasks[task].length = Slots::new(20);
    let first = lone.plan.spells[0].clone();
    let piece = |n: i32| minutes(360 + 90 * n, 420 + 90 * n);
    lone.plan.spells = (0..10).map(|n| turnto::plan::Spell { work: vec![piece(n)], ..first.clone() }).collect();
    let found = lone.breaches();
    let block = minutes(360, 420 + 90 * 9);
    assert!(found.contains(&finding(INTERVAL, block, Minutes::new(870), Minutes::hours(14))), "{found:?}");
}

/// If this fails, a watch laid out before the start is counted on top of the record, which says what was really
/// done. The turn reaches from -15 to 2; only the part from 0 on counts: 17 h in a row if all of it did.
#[test]
fn before_the_start_only_the_record_counts() {
    let mut lone = Lone::new(2, &[]);
    turn(&mut lone, hours(-15, 2));
    let verified = lone.judge().expect("two hours of watch");
    let person = verified.account().people.iter().next().expect("one person");
    assert_eq!((person.watch, person.rest.least_24h), (Minutes::hours(2), Minutes::hours(22)));
}
