//! Seeded faults of the rules about people: one thing at a time, posts, same and different, hours.

use turnto::id::{Id, PersonId};
use turnto::model::{Different, RecordKind, UnderWay};
use turnto::time::{Minutes, Slots};
use turnto::verify::{Breach, Clause, Thing};

use crate::support::job::{at, on, on_hand};
use crate::verify::faults::{Case, check, of};
use crate::verify::fixture::Fixture;

pub(crate) const ONE_THING: &[(&str, Case)] = &[
    ("two spells at once", |f| {
        // EO does Q from 08:30 to 10:00 and is put on F from 09:00.
        f.put(f.t.f, 1, &["09:00-10:00"]);
        let breach = Breach::new(Clause::TwoThings).by(f.p.eo).of(Thing::Task(f.t.q));
        vec![breach.against(Thing::Task(f.t.f)).during(on(1, "09:00-10:00"))]
    }),
    ("a spell in a pause of another", |f| {
        // N pauses 12-13; an emergency task is done then, but MO is bound to N. It also runs over his break.
        f.put(f.t.e, 1, &["12:00-13:00"]);
        let window = on(1, "12:00-13:00");
        let twice = Breach::new(Clause::TwoThings).by(f.p.mo).of(Thing::Task(f.t.n)).against(Thing::Task(f.t.e)).during(window);
        vec![twice, of(Clause::OverBreak, f.t.e).by(f.p.mo).during(window)]
    }),
    ("a spell on watch", |f| {
        // W1 has the watch 12-16 and is put on E, which may be done at any hour.
        f.put(f.t.e, 1, &["15:00-16:00"]);
        f.crew(f.t.e, 0, &[f.p.w1]);
        let turn = Thing::Turn(f.turn(1, "15:00"));
        vec![Breach::new(Clause::TwoThings).by(f.p.w1).of(turn).against(Thing::Task(f.t.e)).during(on(1, "15:00-16:00"))]
    }),
    ("a spell in a duty, even one that may be left", |f| {
        f.put(f.t.g, 2, &["08:00-09:00"]);
        f.put(f.t.f, 1, &["14:00-15:00"]);
        let toolbox = Thing::Duty(f.d.last);
        let breach = Breach::new(Clause::TwoThings).by(f.p.eo).of(toolbox).against(Thing::Task(f.t.g));
        vec![breach.during(on(2, "08:00-08:30"))]
    }),
    ("two duties at once", |f| {
        // EO's round is at 14:00; the meeting moved to 13:30 to 14:30 runs into it.
        f.plan.duties[f.d.meet] = at(2, "13:30");
        let breach = Breach::new(Clause::TwoThings).by(f.p.eo).of(Thing::Duty(f.d.meet));
        vec![breach.against(Thing::Duty(f.d.round)).during(on(2, "14:00-14:30"))]
    }),
    ("two duties along with one watch", |f| {
        // Both are done on W1's watch 00-04; the movable one is put on top of the fixed one.
        f.plan.duties[f.d.helm] = at(2, "03:00");
        let breach = Breach::new(Clause::TwoThings).by(f.p.w1).of(Thing::Duty(f.d.helm));
        vec![breach.against(Thing::Duty(f.d.steering)).during(on(2, "03:00-03:30"))]
    }),
    ("a duty that nobody on watch may attend", |f| {
        // W2 has the survey at 10 and is given the open turn 08-12.
        let turn = f.turn(2, "10:00");
        f.plan.turns[turn] = f.p.w2;
        let breach = Breach::new(Clause::TwoThings).by(f.p.w2).of(Thing::Turn(turn));
        vec![breach.against(Thing::Duty(f.d.survey)).during(on(2, "10:00-11:00"))]
    }),
    ("a spell during a recorded call-out that is not over", |f| {
        // EO does Q from 08:30 to 10:00.
        f.record(f.p.eo, RecordKind::Call, "07:30-09:00");
        let breach = Breach::new(Clause::TwoThings).by(f.p.eo).of(Thing::Task(f.t.q));
        let toolbox = Breach::new(Clause::TwoThings).by(f.p.eo).of(Thing::Duty(f.d.toolbox));
        let call = Thing::Recorded(RecordKind::Call);
        vec![breach.against(call).during(on(1, "08:30-09:00")), toolbox.against(call).during(on(1, "08:00-08:30"))]
    }),
    ("a turn during recorded emergency work", |f| {
        f.record(f.p.w1, RecordKind::Emergency, "11:00-12:30");
        let breach = Breach::new(Clause::TwoThings).by(f.p.w1).of(Thing::Turn(f.turn(1, "12:00")));
        vec![breach.against(Thing::Recorded(RecordKind::Emergency)).during(on(1, "12:00-12:30"))]
    }),
    ("a spell during a recorded duty", |f| {
        f.record(f.p.eo, RecordKind::Duty, "09:30-10:30");
        let breach = Breach::new(Clause::TwoThings).by(f.p.eo).of(Thing::Task(f.t.q));
        vec![breach.against(Thing::Recorded(RecordKind::Duty)).during(on(1, "09:30-10:00"))]
    }),
    ("two turns at once", |f| {
        // A cover of the same post cannot overlap, so W3's turn 20-24 is stood by W1 on a second post.
        let job = &mut f.parts;
        let post = job.posts[f.watch].clone();
        let manned = vec![on(1, "22:00-23:00")];
        let second = job.posts.push(turnto::model::Post { code: "GANG".to_owned(), manned, ..post });
        let stand = turnto::model::Stand::Fixed(f.p.w3);
        job.turns.push(turnto::model::Turn { post: second, span: on(1, "22:00-23:00"), stand, line: String::new() });
        f.plan.turns.push(f.p.w3);
        let (first, last) = (f.turn(1, "22:00"), Id::from_index(f.parts.turns.len() - 1));
        let breach = Breach::new(Clause::TwoThings).by(f.p.w3).of(Thing::Turn(first));
        vec![breach.against(Thing::Turn(last)).during(on(1, "22:00-23:00"))]
    }),
    ("a task while away", |f| {
        f.put(f.t.s, 3, &["12:30-13:30"]);
        f.parts.people[f.p.eo].breaks.retain(|b| !b.overlaps(on(3, "12:00-13:00")));
        f.parts.tasks[f.t.s].emergency = true;
        vec![Breach::new(Clause::Away).by(f.p.eo).of(Thing::Task(f.t.s)).during(on(3, "13:00-13:30"))]
    }),
    ("on hand while away", |f| {
        f.plan.on_hand.push(on_hand(f.p.eo, 3, "11:00-14:00"));
        vec![Breach::new(Clause::Away).by(f.p.eo).of(Thing::OnHand).during(on(3, "13:00-14:00"))]
    }),
    ("on watch while away", |f| {
        f.parts.people[f.p.w2].away = vec![on(1, "18:00-19:00")];
        let turn = Thing::Turn(f.turn(1, "18:00"));
        vec![Breach::new(Clause::Away).by(f.p.w2).of(turn).during(on(1, "18:00-19:00"))]
    }),
    ("at a duty while away", |f| {
        f.parts.people[f.p.w2].away = vec![on(2, "10:30-11:30")];
        vec![Breach::new(Clause::Away).by(f.p.w2).of(Thing::Duty(f.d.survey)).during(on(2, "10:30-11:00"))]
    }),
];

/// Rule 1: if a case fails, somebody can be sent to two places at once, or called from ashore.
#[test]
fn one_thing_at_a_time() {
    check(ONE_THING);
}

/// If this fails, what is planned counts twice where the record has it in advance: a watch, a duty, work on tasks.
#[test]
fn what_is_planned_may_stand_in_the_record() {
    let mut f = Fixture::new();
    f.record(f.p.w1, RecordKind::Watch, "12:00-16:00");
    f.record(f.p.eo, RecordKind::Duty, "08:00-08:30");
    f.record(f.p.ft, RecordKind::Task, "08:30-12:00");
    let said = f.judge().map_err(|rejected| rejected.1.iter().map(|b| b.describe(&rejected.0)).collect::<Vec<_>>());
    assert_eq!(said.err(), None);
}

pub(crate) const POSTS: &[(&str, Case)] = &[
    ("a turn that nobody stands", |f| {
        let last = f.parts.turns.len() - 1;
        let hole = f.parts.turns[Id::from_index(last)].span;
        f.plan.turns = f.plan.turns.iter().copied().take(last).collect();
        vec![Breach::new(Clause::Unmanned).of(Thing::Post(f.watch)).during(hole)]
    }),
    ("a turn stood by somebody outside the crew", |f| {
        let turn = f.turn(2, "21:00");
        f.plan.turns[turn] = PersonId::from_index(99);
        vec![Breach::new(Clause::Unmanned).of(Thing::Post(f.watch)).during(on(2, "20:00-24:00"))]
    }),
    ("a fixed turn stood by another watchkeeper", |f| {
        let turn = f.turn(3, "21:00");
        f.plan.turns[turn] = f.p.w2;
        // W2 had the turn before, 16-20, as well: eight hours, which no rest rule minds.
        vec![Breach::new(Clause::MayNotStand).by(f.p.w2).of(Thing::Turn(turn)).during(on(3, "20:00-24:00"))]
    }),
    ("an open turn stood by somebody it is not open to", |f| {
        let turn = f.turn(3, "09:00");
        f.plan.turns[turn] = f.p.mo;
        vec![Breach::new(Clause::MayNotStand).by(f.p.mo).of(Thing::Turn(turn)).during(on(3, "08:00-12:00"))]
    }),
    ("more turns than the job has", |f| {
        f.plan.turns.push(f.p.w1);
        vec![Breach::new(Clause::UnknownTurn).of(Thing::Row(f.parts.turns.len()))]
    }),
];

/// Rule 2: if a case fails, a plan with an empty or wrongly manned watch is handed out.
#[test]
fn every_post_manned() {
    check(POSTS);
}

pub(crate) const PERSONS: &[(&str, Case)] = &[
    ("another person in a place one must keep", |f| {
        f.crew(f.t.p, 2, &[f.p.eo]);
        vec![of(Clause::NotSame, f.t.p).by(f.p.eo).during(on(1, "11:00-12:00"))]
    }),
    ("the checker checks himself", |f| {
        f.crew(f.t.c, 0, &[f.p.ft]);
        let breach = of(Clause::NotDifferent, f.t.c).by(f.p.ft).against(Thing::Task(f.t.p));
        vec![breach.during(on(1, "14:00-15:00"))]
    }),
    ("a task later than it was decided", |f| {
        f.parts.tasks[f.t.f].pinned.start = Some(at(1, "14:30"));
        vec![of(Clause::NotAtItsTime, f.t.f).during(on(1, "14:30-15:00"))]
    }),
    ("a task sooner than it was decided", |f| {
        f.parts.tasks[f.t.f].pinned.start = Some(at(1, "15:30"));
        vec![of(Clause::NotAtItsTime, f.t.f).during(on(1, "15:00-15:30"))]
    }),
    ("somebody else where a person was put", |f| {
        f.parts.tasks[f.t.a].pinned.team = vec![(1, f.p.mo)];
        vec![of(Clause::NotWhoWasPut, f.t.a).by(f.p.ft).during(on(1, "13:00-14:00"))]
    }),
    ("somebody who was to be kept off", |f| {
        f.parts.tasks[f.t.a].pinned.off = vec![(1, f.p.ft), (0, f.p.ft)];
        vec![of(Clause::KeptOff, f.t.a).by(f.p.ft).during(on(1, "13:00-14:00"))]
    }),
    ("a part under way that does not go on at once", |f| {
        f.parts.tasks[f.t.p].under_way = Some(UnderWay { team: vec![f.p.ft], left: Slots::new(3) });
        vec![of(Clause::NotGoingOn, f.t.p).during(on(1, "08:30-10:00"))]
    }),
    ("more job time than the day has left", |f| {
        // LE has 4 h of job time on day 1, which is his cap, and half an hour before planning begins.
        f.parts.people[f.p.le].before.worked = Minutes::new(30);
        let day = turnto::clock::Day::new(1);
        let breach = Breach::new(Clause::OverCap).by(f.p.le).of(Thing::Day(day)).during(on(1, "00:00-24:00"));
        vec![breach.time(Minutes::new(270), Minutes::hours(4))]
    }),
];

/// If this fails, what people were told and do not do is not counted, or counted at the wrong price. EO was told to
/// do F an hour earlier, on the first day: 60 minutes, four times. The second day counts twice.
#[test]
fn told_work_that_is_not_as_told_is_counted_dearer_the_nearer_it_is() {
    let told = |task: fn(&Fixture) -> turnto::id::TaskId, day: i32, times: &str| {
        let mut fixture = Fixture::new();
        let mut told = fixture.plan.clone();
        let id = task(&fixture);
        let spell = told.spells.iter_mut().find(|s| s.task == id).expect("it is in the plan");
        spell.work = vec![on(day, times)];
        fixture.parts.told = Some(told);
        fixture.judge().expect("the plan is legal").account().told_changed
    };
    assert_eq!(told(|f| f.t.f, 1, "15:00-16:00"), Minutes::ZERO);
    assert_eq!(told(|f| f.t.f, 1, "14:00-15:00"), Minutes::new(240));
    assert_eq!(told(|f| f.t.g, 2, "09:30-10:30"), Minutes::new(120));
}

/// If this fails, a spell that goes on where planning begins is held to the shortest spell, or an evening that was
/// begun is counted once more.
#[test]
fn what_was_begun_goes_on_as_it_was() {
    let mut fixture = Fixture::new();
    fixture.parts.people[fixture.p.le].before.overtime = Minutes::new(30);
    assert!(fixture.judge().is_ok());
}

/// Rule 7: if this fails, a decision that the plan keeps is called broken.
#[test]
fn decisions_that_are_kept_pass() {
    let mut fixture = Fixture::new();
    let pinned = &mut fixture.parts.tasks[fixture.t.a].pinned;
    pinned.start = Some(at(1, "08:30"));
    pinned.team = vec![(0, fixture.p.le)];
    pinned.off = vec![(1, fixture.p.eo)];
    assert!(fixture.judge().is_ok());
}

/// Rule 7: if this fails, somebody is barred by a place of the other task that he did not fill, or not barred by
/// one he did. LE fills the first place of A and does C.
#[test]
fn only_the_named_places_bar() {
    let build = |place: usize| {
        let mut fixture = Fixture::new();
        let (a, c) = (fixture.t.a, fixture.t.c);
        fixture.parts.tasks[c].different = vec![Different { need: 0, other: a, other_needs: vec![place] }];
        let expected = of(Clause::NotDifferent, c).by(fixture.p.le).against(Thing::Task(a)).during(on(1, "14:00-15:00"));
        (fixture.judge().map_err(|rejected| rejected.1).err(), expected)
    };
    let (found, expected) = build(0);
    assert_eq!(found, Some(vec![expected]));
    assert_eq!(build(1).0, None);
}

/// Rule 7: if a case fails, the one who tightened a big end may also be the one who checks it.
#[test]
fn same_and_different_people() {
    check(PERSONS);
}

pub(crate) const HOURS: &[(&str, Case)] = &[
    ("work after overtime", |f| {
        f.put(f.t.h, 2, &["17:30-19:30"]);
        vec![of(Clause::OutsideHours, f.t.h).by(f.p.le).during(on(2, "19:00-19:30"))]
    }),
    ("more job time than the cap", |f| {
        // LE has A (3 h) and C (1 h) on day 1 already, and four hours a day at most.
        f.put(f.t.h, 1, &["15:00-17:00"]);
        let breach = Breach::new(Clause::OverCap).by(f.p.le).of(Thing::Day(turnto::clock::Day::new(1)));
        vec![breach.during(on(1, "00:00-24:00")).time(Minutes::hours(6), Minutes::hours(4))]
    }),
    ("one evening too many", |f| {
        // H is overtime on day 2 already; LE has one evening.
        f.shift(f.t.a, 1, 1, &["17:00-18:00"]);
        vec![Breach::new(Clause::TooManyEvenings).by(f.p.le).count(2, 1)]
    }),
    ("on hand after ordinary hours", |f| {
        f.plan.on_hand[0] = on_hand(f.p.le, 3, "13:00-18:00");
        vec![Breach::new(Clause::OnHandOutside).by(f.p.le).of(Thing::OnHand).during(on(3, "13:00-18:00"))]
    }),
    ("on hand over the edge of two stretches", |f| {
        f.plan.on_hand.push(on_hand(f.p.nx, 2, "23:00-01:00"));
        vec![Breach::new(Clause::OnHandOutside).by(f.p.nx).of(Thing::OnHand).during(on(2, "23:00-01:00"))]
    }),
    ("on hand in a break after the stretch", |f| {
        // W1's ordinary hours end at noon, where a break begins that is no part of them.
        f.parts.people[f.p.w1].breaks = vec![on(3, "12:00-12:30")];
        f.plan.on_hand.push(on_hand(f.p.w1, 3, "11:00-12:30"));
        vec![Breach::new(Clause::OnHandOutside).by(f.p.w1).of(Thing::OnHand).during(on(3, "11:00-12:30"))]
    }),
    ("on hand twice", |f| {
        f.plan.on_hand.push(on_hand(f.p.le, 3, "16:00-17:00"));
        vec![Breach::new(Clause::OnHandTwice).by(f.p.le).of(Thing::OnHand).during(on(3, "16:00-17:00"))]
    }),
    ("somebody unknown on hand", |f| {
        f.plan.on_hand.push(on_hand(PersonId::from_index(70), 3, "16:00-17:00"));
        vec![Breach::new(Clause::OnHandUnknown).of(Thing::Row(1)).during(on(3, "16:00-17:00"))]
    }),
];

/// Rule 8: if a case fails, people are kept at work beyond what was agreed with them.
#[test]
fn hours_caps_and_evenings() {
    check(HOURS);
}

/// Rule 8: if this fails, a cap that was passed before planning begins, by work that is done, makes every plan of what is left
/// illegal.
#[test]
fn a_cap_that_was_passed_before_planning_begins_is_no_breach_of_the_plan() {
    let mut fixture = Fixture::new();
    let at_work: Vec<PersonId> =
        fixture.plan.spells.iter().filter(|s| s.span().overlaps(on(1, "00:00-24:00"))).flat_map(|s| s.team.clone()).collect();
    let idle = fixture.parts.people.ids().find(|p| !at_work.contains(p)).expect("somebody has no task on day 1");
    fixture.parts.people[idle].job_cap = Some(Minutes::hours(8));
    fixture.parts.people[idle].before.worked = Minutes::hours(9);
    assert!(fixture.judge().is_ok());
}
