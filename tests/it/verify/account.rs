//! The account of a legal plan: what everybody does, and the totals.

use turnto::account::{Account, What};
use turnto::clock::Day;
use turnto::id::PersonId;
use turnto::model::{Milestone, RecordKind, Recorded, When};
use turnto::time::{Minutes, Span};

use crate::support::job::{at, idle_plan, on};
use crate::verify::fixture::Fixture;

fn account(fixture: Fixture) -> Account {
    fixture.judge().expect("the plan is legal").account().clone()
}

/// What a person does, as (from, to, what).
fn doings(account: &Account, person: PersonId, day: i32) -> Vec<(Span, What)> {
    let day = on(day, "00:00-24:00");
    let list = account.people[person].stretches.iter();
    list.filter_map(|doing| Some((doing.span.intersection(day)?, doing.what))).collect()
}

/// If this fails, the day sheet tells people wrong times. MO's first two days, read off the plan.
#[test]
fn everybody_has_a_day_without_gap() {
    let fixture = Fixture::new();
    let (mo, a, n, e, k) = (fixture.p.mo, fixture.t.a, fixture.t.n, fixture.t.e, fixture.t.k);
    let (first, second) = (fixture.d.toolbox, fixture.d.last);
    let account = account(fixture);
    let one = vec![
        (on(1, "08:00-08:30"), What::Duty(first)),
        (on(1, "08:30-10:30"), What::Task(a)),
        // On hand between A and N, at lunch in the pause of N, and off from 14:00 on.
        (on(1, "10:30-11:00"), What::Break),
        (on(1, "11:00-12:00"), What::Task(n)),
        (on(1, "12:00-13:00"), What::Break),
        (on(1, "13:00-14:00"), What::Task(n)),
        (on(1, "14:00-20:00"), What::Rest),
        (on(1, "20:00-21:00"), What::Task(e)),
        (on(1, "21:00-24:00"), What::Rest),
    ];
    assert_eq!(doings(&account, mo, 1), one);
    let two = vec![
        (on(2, "00:00-08:00"), What::Rest),
        (on(2, "08:00-08:30"), What::Duty(second)),
        (on(2, "08:30-14:30"), What::Break),
        (on(2, "14:30-15:30"), What::Task(k)),
        (on(2, "15:30-24:00"), What::Rest),
    ];
    assert_eq!(doings(&account, mo, 2), two);
}

/// If this fails, rows of a person's day leave a gap, overlap, or do not reach from start to end.
#[test]
fn stretches_cover_the_plan() {
    let account = account(Fixture::new());
    assert_eq!((account.end, account.finish), (at(4, "08:00"), at(2, "17:30")));
    for person in &account.people {
        let spans: Vec<Span> = person.stretches.iter().map(|doing| doing.span).collect();
        assert_eq!(spans.first().map(|s| s.start()), Some(at(1, "08:00")));
        assert_eq!(spans.last().map(|s| s.end()), Some(account.end));
        assert!(spans.windows(2).all(|pair| pair[0].end() == pair[1].start()), "{spans:?}");
        assert!(person.stretches.windows(2).all(|pair| pair[0].what != pair[1].what));
    }
}

/// If this fails, time away, listed time on hand, a duty along with a watch or a recorded call-out is shown as
/// something else.
#[test]
fn labels_of_everything_else() {
    let mut fixture = Fixture::new();
    let span = on(1, "07:00-08:20");
    fixture.parts.people[fixture.p.w2].recorded = vec![Recorded { span, kind: RecordKind::Call, note: String::new() }];
    let (le, eo, w1, w2) = (fixture.p.le, fixture.p.eo, fixture.p.w1, fixture.p.w2);
    let (night, evening) = (fixture.turn(2, "03:00"), fixture.turn(1, "16:00"));
    let steering = fixture.d.steering;
    let account = account(fixture);
    assert!(doings(&account, le, 3).contains(&(on(3, "13:00-17:00"), What::Break)));
    assert!(doings(&account, eo, 3).contains(&(on(3, "13:00-17:00"), What::Away)));
    assert!(doings(&account, w1, 2).contains(&(on(2, "00:00-04:00"), What::Watch(night))));
    let along = &account.duties[steering];
    assert_eq!(along.iter().map(|a| (a.person, a.span, a.on_watch)).collect::<Vec<_>>(), vec![(w1, on(2, "03:00-03:30"), true)]);
    let w2_day = doings(&account, w2, 1);
    assert_eq!(w2_day[0], (on(1, "08:00-08:20"), What::Call));
    assert!(w2_day.contains(&(on(1, "16:00-20:00"), What::Watch(evening))));
}

/// If this fails, labour hours, overtime, evenings or night hours are wrong. LE: A 3 h, C 1 h, H 2 h of which
/// 17:00 to 17:30 is overtime. MO: A 2 h, N 2 h, E 1 h at 20:00, which is outside ordinary hours and in the night,
/// K 1 h. NX: X 1 h, in the night, in ordinary hours.
#[test]
fn totals_of_people() {
    let fixture = Fixture::new();
    let people = [fixture.p.le, fixture.p.mo, fixture.p.nx, fixture.p.w2];
    let account = account(fixture);
    let row = |person| {
        let p: &turnto::account::PersonAccount = &account.people[person];
        [p.labour.get(), p.overtime.get(), i32::try_from(p.evenings).expect("few"), p.night.get()]
    };
    assert_eq!(people.map(row), [[360, 30, 1, 0], [360, 60, 1, 60], [60, 0, 0, 60], [0, 0, 0, 0]]);
    // W2 stands 16-20 on three days and 04-08 on three mornings, and has the survey for an hour.
    let w2 = &account.people[people[3]];
    assert_eq!((w2.watch, w2.duty), (Minutes::hours(24), Minutes::hours(1)));
    // LE has the toolbox talk twice.
    assert_eq!(account.people[people[0]].duty, Minutes::hours(1));
}

/// If this fails, the labour table of days, people and tasks does not add up to the plan.
#[test]
fn totals_of_days_and_tasks() {
    let fixture = Fixture::new();
    let (a, r, le) = (fixture.t.a, fixture.t.r, fixture.p.le);
    let account = account(fixture);
    // Day 1: A 6, P 3.5, N 2, Q 1.5, C 1, E 1, F 1, X 1 = 17 h; day 2: G 1, S 1, H 2, K 1 = 5 h.
    let days: Vec<(Day, i32, i32)> = account.days.iter().map(|d| (d.day, d.labour.get(), d.overtime.get())).collect();
    let day = Day::new;
    assert_eq!(days, vec![(day(1), 1020, 60), (day(2), 300, 30), (day(3), 0, 0), (day(4), 0, 0)]);
    assert_eq!(account.days[0].by_person[le], Minutes::hours(4));
    let task = account.tasks[a];
    assert_eq!((task.start, task.end, task.labour), (at(1, "08:30"), at(1, "14:00"), Minutes::hours(6)));
    let task = account.tasks[r];
    assert_eq!((task.start, task.end, task.labour), (at(1, "15:00"), at(1, "17:00"), Minutes::ZERO));
    let by_task: Minutes = account.tasks.iter().map(|t| t.labour).sum();
    let by_person: Minutes = account.people.iter().map(|p| p.labour).sum();
    let by_day: Minutes = account.days.iter().map(|d| d.labour).sum();
    assert_eq!((by_task, by_person), (by_day, by_day));
}

/// If this fails, a milestone missed is shown as met. H ends on day 2 at 17:30, G at 09:30.
#[test]
fn milestones() {
    let mut fixture = Fixture::new();
    let milestone = |code: &str, tasks: Vec<turnto::id::TaskId>| Milestone {
        code: code.to_owned(),
        text: String::new(),
        tasks,
        due: at(2, "12:00"),
        weight: 1,
    };
    let (h, g) = (fixture.t.h, fixture.t.g);
    fixture.parts.milestones.push(milestone("both", vec![h, g]));
    fixture.parts.milestones.push(milestone("one", vec![g]));
    let account = account(fixture);
    let rows: Vec<_> = account.milestones.iter().map(|m| (m.met_at, m.late)).collect();
    assert_eq!(rows, vec![(at(2, "17:30"), Minutes::new(330)), (at(2, "09:30"), Minutes::ZERO)]);
}

/// If this fails, rest margins on the sheet are wrong. MO: the least rest of a day is from day 1 08:00 (or back
/// from later ends): 14-20 and 21-08, 17 h; all figures by hand from the rows of MO's days above.
#[test]
fn rest_figures() {
    let fixture = Fixture::new();
    let (w3, mo) = (fixture.p.w3, fixture.p.mo);
    let account = account(fixture);
    let rest = &account.people[mo].rest;
    // From 08:00 on day 1: blocks 08-14 and 20-21. Back from 15:30 on day 2: 15:30-20, 21-08 make 15 h 30.
    assert_eq!((rest.least_24h, rest.least_24h_from), (Minutes::new(930), Some(at(1, "15:30"))));
    // Its two longest are all of it; the longest is never below 11 h.
    assert_eq!((rest.best_two_24h, rest.longest_24h), (Minutes::new(930), Minutes::hours(11)));
    // W3 stands 08-12 and 20-24 every day: 16 h of rest a day, two pieces of 8 h.
    let rest = &account.people[w3].rest;
    assert_eq!((rest.least_24h, rest.best_two_24h, rest.longest_24h), (Minutes::hours(16), Minutes::hours(16), Minutes::hours(8)));
    // A week of that: 7 × 16 h.
    assert_eq!(rest.least_7d, Minutes::hours(112));
}

/// If this fails, a plan does not grow with its last task. The first end is day 4 08:00; a task that ends on day
/// 4 at 17:00 makes it day 5 08:00.
#[test]
fn the_end_grows_by_whole_days() {
    let mut fixture = Fixture::new();
    fixture.put(fixture.t.h, 4, &["15:00-17:00"]);
    fixture.plan.on_hand.clear();
    let account = account(fixture);
    assert_eq!((account.end, account.finish), (at(5, "08:00"), at(4, "17:00")));
}

/// If this fails, a job without tasks has no account.
#[test]
fn a_job_without_tasks() {
    let mut job = crate::support::job::Job::new(1);
    let able = job.competence("GEN");
    let person = job.person("MO", &[able]);
    job.duty("drill", When::Fixed(on(1, "10:00-11:00")), &[person]);
    let plan = idle_plan(&job.parts);
    let verified = turnto::verify::verify(&job.problem(), plan).expect("legal");
    assert_eq!(verified.account().finish, at(1, "08:00"));
    assert_eq!(verified.account().people[person].duty, Minutes::hours(1));
}
