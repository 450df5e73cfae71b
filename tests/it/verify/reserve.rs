//! Rule 9: who can be called, and hours left unbooked, seen in the account of a plan.

use turnto::account::{Account, ReserveRow, ShortOf, Shortfall};
use turnto::id::{CompetenceId, PersonId};
use turnto::model::{Mode, Reserve, ReserveKind, Stop, When};
use turnto::plan::{OnHand, Plan};
use turnto::time::{Minutes, Span};
use turnto::verify::verify;

use crate::support::job::{Job, at, idle_plan, on, on_hand, spell};

/// One engineer (OOW, GEN), one fitter and one motorman (GEN), all day workers; a mode that asks for one OOW
/// and one GEN, callable for two hours.
struct Crew {
    job: Job,
    plan: Plan,
    able: CompetenceId,
    engineer: PersonId,
    fitter: PersonId,
    motorman: PersonId,
}

fn kind(code: &str, competence: CompetenceId, number: u32) -> ReserveKind {
    ReserveKind { code: code.to_owned(), competence, number }
}

impl Crew {
    fn new() -> Self {
        let mut job = Job::new(1);
        let (oow, able) = (job.competence("OOW"), job.competence("GEN"));
        let engineer = job.person("3E", &[oow, able]);
        let fitter = job.person("FT", &[able]);
        let motorman = job.person("MO", &[able]);
        for person in [engineer, fitter, motorman] {
            job.day_work(person);
        }
        let reserve = Reserve {
            kinds: vec![kind("officer", oow, 1), kind("hand", able, 1)],
            call: Minutes::hours(2),
            unbooked: Minutes::ZERO,
            hours: (Minutes::hours(8), Minutes::hours(18)),
        };
        let mode = job.parts.modes.push(Mode {
            code: "anchor".to_owned(),
            name: String::new(),
            needs: Vec::new(),
            weight: 1,
            reserve: Some(reserve),
        });
        job.parts.mode_spans = vec![(Span::new(job.parts.start, job.parts.layout_end).expect("a layout has time"), mode)];
        let plan = idle_plan(&job.parts);
        Self { job, plan, able, engineer, fitter, motorman }
    }

    fn reserve(&mut self) -> &mut Reserve {
        let mode = self.job.parts.modes.iter_mut().next().expect("one mode");
        mode.reserve.as_mut().expect("the mode has a reserve")
    }

    /// A duty of some people that may not be left.
    fn bound(&mut self, span: Span, who: &[PersonId]) {
        let duty = self.job.duty("bunkering", When::Fixed(span), who);
        self.job.duty_edit(duty).leavable = false;
        self.plan.duties = idle_plan(&self.job.parts).duties;
    }

    fn account(self) -> Account {
        verify(&self.job.problem(), self.plan).expect("the reserve is no hard rule").account().clone()
    }
}

fn span(from: (i32, &str), to: (i32, &str)) -> Span {
    Span::new(at(from.0, from.1), at(to.0, to.1)).expect("from before to")
}

fn missing(span: Span, missing: u32) -> Shortfall {
    Shortfall { span, of: ShortOf::Callable { missing } }
}

/// When a person stands in no row of the kind "hand", slot by slot joined.
fn not_callable(account: &Account, person: PersonId) -> Vec<Span> {
    let hands = account.reserve.iter().filter(|row| row.kind == "hand" && !row.callable.contains(&person));
    turnto::time::union(hands.map(|row| row.span).collect())
}

/// If this fails, the reserve table does not show who can be called. Nobody has anything to do.
#[test]
fn rested_people_are_callable() {
    let crew = Crew::new();
    let everybody = vec![crew.engineer, crew.fitter, crew.motorman];
    let whole = span((1, "08:00"), (2, "08:00"));
    let row = |kind: &str, callable| ReserveRow { span: whole, kind: kind.to_owned(), callable, needed: 1, met: true };
    let expected = vec![row("officer", vec![crew.engineer]), row("hand", everybody)];
    let account = crew.account();
    assert_eq!((account.reserve, account.shortfalls, account.reserve_shortfall), (expected, Vec::new(), 0));
}

/// If this fails, one person is counted twice: the engineer is a hand as well, but he is the officer. The other
/// two are bound from 10 to 11, so that at every slot from 08:30 (a call until 10:30 meets the duty) to 11:00 one
/// hand is missing: five slots.
#[test]
fn one_person_fills_one_place() {
    let mut crew = Crew::new();
    let others = [crew.fitter, crew.motorman];
    crew.bound(on(1, "10:00-11:00"), &others);
    let account = crew.account();
    assert_eq!((account.shortfalls, account.reserve_shortfall), (vec![missing(on(1, "08:30-11:00"), 1)], 5));
}

/// If this fails, two missing people count as one. Everybody is bound.
#[test]
fn everybody_bound() {
    let mut crew = Crew::new();
    let all = [crew.engineer, crew.fitter, crew.motorman];
    crew.bound(on(1, "10:00-11:00"), &all);
    assert_eq!(crew.account().shortfalls, vec![missing(on(1, "08:30-11:00"), 2)]);
}

/// If this fails, a stand-by that has all hands out is said to leave the ship without reserve. The slots inside
/// the duty count as met, those before it, in which a call would run into it, do not.
#[test]
fn all_hands_are_their_own_reserve() {
    let mut crew = Crew::new();
    let all = [crew.engineer, crew.fitter, crew.motorman];
    crew.bound(on(1, "10:00-11:00"), &all);
    let duty = crew.job.parts.duties.ids().next().expect("one duty");
    crew.job.duty_edit(duty).all_hands = true;
    assert_eq!(crew.account().shortfalls, vec![missing(on(1, "08:30-10:00"), 2)]);
}

/// If this fails, people are taken out of spells that must not be left, or those who could leave are not
/// counted. The fitter has a task from 09:00 to 11:00.
#[test]
fn only_spells_that_may_stop_can_be_left() {
    let build = |stop| {
        let mut crew = Crew::new();
        let task = crew.job.task("T", &[crew.able], 4);
        crew.job.parts.tasks[task].stop = stop;
        crew.plan.spells = vec![spell(task, 0, 1, &["09:00-11:00"], &[crew.fitter])];
        let fitter = crew.fitter;
        not_callable(&crew.account(), fitter)
    };
    assert_eq!(build(Stop::Any { min_spell: turnto::time::Slots::new(1) }), Vec::new());
    assert_eq!(build(Stop::Never), vec![on(1, "09:00-11:00")]);
    assert_eq!(build(Stop::Parts(1)), vec![on(1, "09:00-11:00")]);
}

/// If this fails, somebody is counted on in the lunch break of a spell that only pauses.
#[test]
fn nobody_is_callable_in_a_pause() {
    let mut crew = Crew::new();
    let task = crew.job.task("T", &[crew.able], 4);
    crew.job.parts.tasks[task].stop = Stop::Never;
    crew.plan.spells = vec![spell(task, 0, 1, &["11:00-12:00", "13:00-14:00"], &[crew.fitter])];
    let fitter = crew.fitter;
    assert_eq!(not_callable(&crew.account(), fitter), vec![on(1, "11:00-14:00")]);
}

/// If this fails, a duty that may be left holds people back, or one that may not does not. A leavable duty at 10
/// stops nobody.
#[test]
fn a_leavable_duty_is_left() {
    let mut crew = Crew::new();
    crew.bound(on(1, "10:00-11:00"), &[crew.fitter]);
    let duty = crew.job.parts.duties.ids().next().expect("one duty");
    crew.job.duty_edit(duty).leavable = true;
    let fitter = crew.fitter;
    assert_eq!(not_callable(&crew.account(), fitter), Vec::new());
}

/// If this fails, somebody ashore is counted on. The fitter is away 12-14: a call from 10:30 on meets it.
#[test]
fn nobody_away_is_callable() {
    let mut crew = Crew::new();
    crew.job.parts.people[crew.fitter].away = vec![on(1, "12:00-14:00")];
    let fitter = crew.fitter;
    assert_eq!(not_callable(&crew.account(), fitter), vec![on(1, "10:30-14:00")]);
}

/// If this fails, tired people are called. The fitter works 08-12 and 13-19 (lunch is no rest) and has a duty
/// that may not be left from 05:00 to 06:00 the next day.
///
/// Calls that start by 19:00 leave 8 h until the duty and 2 h after it, from 08:00 to 08:00: 10 h in two
/// periods. One at 19:30 joins the work (a gap of 30 min is no rest) and leaves 7 h 30 and 2 h. Later ones leave
/// x hours before them and 8 - x after: never 10 h in two periods, with the 2 h, until the call ends as the duty
/// begins: from 03:00 there are 8 and 2 h. From 03:30 on the call meets the duty, until that ends at 06:00.
#[test]
fn a_call_must_leave_enough_rest() {
    let mut crew = Crew::new();
    let task = crew.job.task("T", &[crew.able], 20);
    crew.job.parts.people[crew.fitter].recorded_from = Some(at(-10, "00:00"));
    let fitter = crew.fitter;
    crew.plan.spells = vec![spell(task, 0, 1, &["08:00-12:00", "13:00-19:00"], &[fitter])];
    crew.bound(on(2, "05:00-06:00"), &[fitter]);
    let none = not_callable(&crew.account(), fitter);
    assert_eq!(none, vec![span((1, "19:30"), (2, "03:00")), span((2, "03:30"), (2, "06:00"))]);
}

/// If this fails, a call that changes nothing is refused because the record is bad already. Recorded work from
/// day 0 15:00 to day 1 06:00: the window from its start to day 1 15:00 holds 9 h of rest, whoever is called
/// later. A call that starts before 16:00 leaves less than 10 h of rest in the window back from its own end; one
/// from 16:00 on leaves 10 h, and the old finding does not stand in its way.
#[test]
fn a_finding_of_the_record_does_not_stop_a_call() {
    let mut crew = Crew::new();
    let start = crew.job.parts.start;
    let recorded = Span::new(start - Minutes::hours(17), start - Minutes::hours(2)).expect("work");
    let kind = turnto::model::RecordKind::Duty;
    crew.job.parts.people[crew.fitter].recorded = vec![turnto::model::Recorded { span: recorded, kind, note: String::new() }];
    let fitter = crew.fitter;
    assert_eq!(not_callable(&crew.account(), fitter), vec![on(1, "08:00-16:00")]);
}

/// If this fails, somebody who is on a recorded call counts as somebody who can be called. The fitter's lasts from 14:00 to
/// 17:00: whoever calls him after 12:00 for two hours calls him out of it or into it.
#[test]
fn who_is_on_a_recorded_call_is_not_callable() {
    let mut crew = Crew::new();
    let fitter = crew.fitter;
    let record = |kind| turnto::model::Recorded { span: on(1, "14:00-17:00"), kind, note: String::new() };
    crew.job.parts.people[fitter].recorded = vec![record(turnto::model::RecordKind::Call)];
    assert_eq!(not_callable(&crew.account(), fitter), vec![on(1, "12:30-17:00")]);
}

/// Unbooked time found and asked for on each day, and the shortfall.
fn unbooked(crew: Crew) -> (Vec<(Minutes, Minutes)>, Vec<Shortfall>, i64) {
    let account = crew.account();
    let days = account.days.iter().map(|day| (day.unbooked, day.unbooked_needed)).collect();
    (days, account.shortfalls, account.reserve_shortfall)
}

/// A crew whose mode asks for six unbooked hours between 08 and 18 and for nobody callable.
fn asking_for_hours() -> Crew {
    let mut crew = Crew::new();
    crew.reserve().kinds.clear();
    crew.reserve().unbooked = Minutes::hours(6);
    crew
}

/// If this fails, free time of people who have gone off counts as reserve, or time on hand does not. The plan
/// runs from day 1 08:00 to day 2 08:00, so day 2 asks for nothing.
#[test]
fn only_time_on_hand_is_unbooked() {
    // Nobody is on hand: six hours, twelve slots, are missing.
    let whole = span((1, "08:00"), (2, "00:00"));
    let short = |missing| Shortfall { span: whole, of: ShortOf::Unbooked { missing } };
    let (six, none) = (Minutes::hours(6), Minutes::ZERO);
    assert_eq!(unbooked(asking_for_hours()), (vec![(none, six), (none, none)], vec![short(six)], 12));
    // On hand 08-12 and, over lunch, 13-14:20: the lunch hour does not count. 5 h 20 leave 40 min, two slots.
    let mut crew = asking_for_hours();
    crew.plan.on_hand = vec![OnHand { person: crew.fitter, span: span((1, "08:00"), (1, "14:20")) }];
    let found = Minutes::new(320);
    assert_eq!(unbooked(crew), (vec![(found, six), (none, none)], vec![short(Minutes::new(40))], 2));
}

/// If this fails, time at work or over the cap counts as unbooked. The fitter works 08-09 and 16-18 (an hour of
/// it overtime): on hand in ordinary hours 09-12 and 13-16, 6 h. With a cap of 5 h a day, 3 h of which are booked,
/// 2 h are left. A duty and a spell of two hours each take theirs.
#[test]
fn booked_time_is_not_unbooked() {
    let build = || {
        let mut crew = asking_for_hours();
        let task = crew.job.task("T", &[crew.able], 6);
        crew.plan.spells = vec![spell(task, 0, 1, &["08:00-09:00"], &[crew.fitter]), spell(task, 0, 1, &["16:00-18:00"], &[crew.fitter])];
        crew
    };
    let on_day_one = |crew: Crew| unbooked(crew).0[0].0;
    assert_eq!(on_day_one(build()), Minutes::hours(6));
    let mut crew = build();
    crew.job.parts.people[crew.fitter].job_cap = Some(Minutes::hours(5));
    assert_eq!(on_day_one(crew), Minutes::hours(2));
    let mut crew = build();
    crew.bound(on(1, "10:00-12:00"), &[crew.fitter]);
    assert_eq!(on_day_one(crew), Minutes::hours(4));
    // Clock hours 10-15 only: 10-12 and 13-15.
    let mut crew = build();
    crew.reserve().hours = (Minutes::hours(10), Minutes::hours(15));
    assert_eq!(on_day_one(crew), Minutes::hours(4));
}

/// If this fails, a part day asks for a whole day's hours. The plan ends on day 2 at 08:00; with clock hours from
/// 06:00 to 18:00, day 1 asks for 6 h × 10/12 = 5 h, day 2 for 6 h × 2/12 = 1 h. With 6 h 01 it is 300.83... and
/// 60.17 min, rounded up to 301 and 61.
#[test]
fn a_part_day_asks_in_proportion() {
    let needed = |asked| {
        let mut crew = asking_for_hours();
        crew.reserve().hours = (Minutes::hours(6), Minutes::hours(18));
        crew.reserve().unbooked = asked;
        unbooked(crew).0.iter().map(|day| day.1.get()).collect::<Vec<i32>>()
    };
    assert_eq!(needed(Minutes::hours(6)), vec![300, 60]);
    assert_eq!(needed(Minutes::new(361)), vec![301, 61]);
}

/// If this fails, a change of mode in the middle of a day asks for too much. Anchor until 13:00 asks for 6 h
/// between 08 and 18, alongside from then on for 4 h: 6 × 5/10 + 4 × 5/10 = 5 h. On-hand time counts in both.
#[test]
fn modes_that_meet_add_up() {
    let mut crew = asking_for_hours();
    let mut second = crew.job.parts.modes.iter().next().expect("one mode").clone();
    second.code = "alongside".to_owned();
    second.reserve.as_mut().expect("a reserve").unbooked = Minutes::hours(4);
    let second = crew.job.parts.modes.push(second);
    let (first, until) = (crew.job.parts.mode_spans[0].1, crew.job.parts.layout_end);
    crew.job.parts.mode_spans = vec![(span((1, "08:00"), (1, "13:00")), first), (Span::new(at(1, "13:00"), until).expect("later"), second)];
    crew.plan.on_hand = vec![on_hand(crew.fitter, 1, "11:00-15:00")];
    assert_eq!(unbooked(crew).0[0], (Minutes::hours(3), Minutes::hours(5)));
}
