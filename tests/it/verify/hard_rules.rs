//! Fault seeding: one mutation of a legal plan (or of the job it answers) for every clause of the hard rules,
//! which the verifier must name exactly, and nothing else. Rest rules have their own cases.

use turnto::id::{Id, IdVec, PersonId, TaskId};
use turnto::plan::Spell;
use turnto::time::{Minutes, Moment, Span};
use turnto::verify::{Breach, Clause, Thing};

use crate::support::job::{at, on, on_hand, spell};
use crate::verify::fixture::Fixture;

/// A mutation, and the breaches it must bring, sorted by clause.
type Case = fn(&mut Fixture) -> Vec<Breach>;

fn of(clause: Clause, task: TaskId) -> Breach {
    Breach::new(clause).of(Thing::Task(task))
}

/// Runs every case of `cases` on a fresh copy of the job.
#[track_caller]
fn check(cases: &[(&str, Case)]) {
    for (name, case) in cases {
        let mut fixture = Fixture::new();
        let expected = case(&mut fixture);
        match fixture.judge() {
            Ok(_) => panic!("{name}: the plan passes"),
            Err(rejected) => {
                let (problem, found) = *rejected;
                let said: Vec<String> = found.iter().map(|b| b.describe(&problem)).collect();
                assert_eq!(found, expected, "{name}: {said:#?}");
            }
        }
    }
}

/// If this fails every other case here is worthless: the plan that the faults are seeded in must be legal.
#[test]
fn the_plan_without_a_fault_passes() {
    let said = Fixture::new().judge().map_err(|rejected| rejected.1.iter().map(|b| b.describe(&rejected.0)).collect::<Vec<_>>());
    assert_eq!(said.err(), None);
}

const ONE_THING: &[(&str, Case)] = &[
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

const POSTS: &[(&str, Case)] = &[
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

const TEAMS: &[(&str, Case)] = &[
    ("a spell of an unknown task", |f| {
        f.plan.spells.push(spell(TaskId::from_index(50), 0, 2, &["09:00-10:00"], &[]));
        vec![Breach::new(Clause::UnknownTask).of(Thing::Row(f.plan.spells.len() - 1)).during(on(2, "09:00-10:00"))]
    }),
    ("an unknown person in a team", |f| {
        f.crew(f.t.k, 0, &[PersonId::from_index(50)]);
        vec![of(Clause::UnknownPerson, f.t.k).during(on(2, "14:30-15:30"))]
    }),
    ("a spell without work", |f| {
        f.plan.spells.push(Spell { work: Vec::new(), task: f.t.k, part: 0, team: Vec::new() });
        vec![of(Clause::BrokenSpell, f.t.k)]
    }),
    ("a spell whose pieces touch", |f| {
        f.put(f.t.k, 2, &["14:30-15:00", "15:00-15:30"]);
        vec![of(Clause::BrokenSpell, f.t.k).during(on(2, "14:30-15:30"))]
    }),
    ("a task that is not done", |f| {
        f.drop(f.t.x, 0);
        vec![of(Clause::NotDone, f.t.x)]
    }),
    ("a team of one too few", |f| {
        f.crew(f.t.a, 0, &[f.p.le]);
        vec![of(Clause::TeamSize, f.t.a).during(on(1, "08:30-10:30")).count(1, 2)]
    }),
    ("people at a task that runs by itself", |f| {
        f.crew(f.t.r, 0, &[f.p.mo]);
        vec![of(Clause::TeamSize, f.t.r).during(on(1, "15:00-17:00")).count(1, 0)]
    }),
    ("one person in two places of a team", |f| {
        f.crew(f.t.a, 0, &[f.p.le, f.p.le]);
        vec![of(Clause::TeamRepeats, f.t.a).by(f.p.le).during(on(1, "08:30-10:30"))]
    }),
    ("somebody without the competence", |f| {
        f.crew(f.t.a, 1, &[f.p.eo, f.p.ft]);
        let breach = of(Clause::Unable, f.t.a).by(f.p.eo).against(Thing::Competence(f.c.lead));
        vec![breach.during(on(1, "13:00-14:00"))]
    }),
];

/// Rule 4: if a case fails, a spell can go without the people it needs.
#[test]
fn whole_teams() {
    check(TEAMS);
}

const STOPS: &[(&str, Case)] = &[
    ("a spell off the grid", |f| {
        let window = Span::new(at(1, "20:10"), at(1, "21:10")).expect("an hour");
        f.put(f.t.e, 1, &["20:10-21:10"]);
        vec![of(Clause::OffGrid, f.t.e).during(window)]
    }),
    ("a spell over midnight in two stretches", |f| {
        f.put(f.t.x, 1, &["23:30-00:30"]);
        vec![of(Clause::NotOneStretch, f.t.x).by(f.p.nx).during(on(1, "23:30-00:30"))]
    }),
    ("a task that may not stop, in two spells", |f| {
        f.put(f.t.n, 1, &["11:00-12:00"]);
        f.plan.spells.push(spell(f.t.n, 0, 1, &["13:00-14:00"], &[f.p.mo]));
        vec![of(Clause::SpellCount, f.t.n).count(2, 1)]
    }),
    ("two parts in one spell", |f| {
        f.shift(f.t.p, 1, 1, &["10:00-12:00"]);
        f.drop(f.t.p, 2);
        vec![of(Clause::SpellCount, f.t.p).count(2, 3)]
    }),
    ("a part numbered twice", |f| {
        f.plan.spells[4].part = 1;
        vec![of(Clause::PartNumber, f.t.p).during(on(1, "11:00-12:00")).count(1, 2)]
    }),
    ("a part number where there are no parts", |f| {
        f.plan.spells[1].part = 7;
        vec![of(Clause::PartNumber, f.t.a).during(on(1, "13:00-14:00")).count(7, 0)]
    }),
    ("a part too short", |f| {
        f.shift(f.t.p, 0, 1, &["08:30-09:30"]);
        vec![of(Clause::PartLength, f.t.p).during(on(1, "08:30-09:30")).time(Minutes::hours(1), Minutes::new(90))]
    }),
    ("parts in the wrong order", |f| {
        f.shift(f.t.p, 1, 1, &["11:00-12:00"]);
        f.shift(f.t.p, 2, 1, &["10:00-11:00"]);
        vec![of(Clause::PartOrder, f.t.p).during(on(1, "10:00-11:00"))]
    }),
    ("a task done by half", |f| {
        f.drop(f.t.a, 1);
        vec![of(Clause::WrongLength, f.t.a).time(Minutes::hours(2), Minutes::hours(3))]
    }),
    ("a task without people cut short", |f| {
        f.put(f.t.r, 1, &["15:00-16:30"]);
        vec![of(Clause::WrongLength, f.t.r).time(Minutes::new(90), Minutes::hours(2))]
    }),
    ("a first spell below the shortest", |f| {
        // 1 + 5 slots where all spells but the last must have 2.
        f.shift(f.t.a, 0, 1, &["08:30-09:00"]);
        f.shift(f.t.a, 1, 1, &["09:30-12:00"]);
        f.crew(f.t.a, 1, &[f.p.le, f.p.w1]);
        vec![of(Clause::ShortSpell, f.t.a).during(on(1, "08:30-09:00")).time(Minutes::new(30), Minutes::hours(1))]
    }),
    ("two teams on one task at once", |f| {
        f.shift(f.t.a, 1, 1, &["10:00-11:00"]);
        f.crew(f.t.a, 1, &[f.p.w1, f.p.eo]);
        vec![of(Clause::SpellsOverlap, f.t.a).during(on(1, "10:00-10:30"))]
    }),
    ("work over a named break", |f| {
        f.put(f.t.e, 1, &["11:30-12:30"]);
        f.crew(f.t.e, 0, &[f.p.eo]);
        vec![of(Clause::OverBreak, f.t.e).by(f.p.eo).during(on(1, "12:00-13:00"))]
    }),
    ("a pause in a task that may not pause", |f| {
        f.put(f.t.q, 1, &["11:00-12:00", "13:00-13:30"]);
        vec![of(Clause::PauseForbidden, f.t.q).during(on(1, "12:00-13:00"))]
    }),
    ("a pause longer than the break", |f| {
        f.put(f.t.n, 1, &["11:00-11:30", "13:00-14:30"]);
        vec![of(Clause::PauseNotBreak, f.t.n).during(on(1, "11:30-13:00"))]
    }),
    ("a pause of two hours", |f| {
        // MO's break on day 1 is two hours long.
        let person = &mut f.parts.people[f.p.mo];
        person.breaks[0] = on(1, "12:00-14:00");
        person.stretches[0].ordinary = vec![on(1, "08:00-12:00"), on(1, "14:00-17:00")];
        f.put(f.t.n, 1, &["11:00-12:00", "14:00-15:00"]);
        vec![of(Clause::PauseTooLong, f.t.n).during(on(1, "11:00-15:00")).time(Minutes::hours(2), Minutes::new(90))]
    }),
];

/// Rule 4: if a case fails, a task can stop where it may not, or is not done as a whole.
#[test]
fn stop_codes_and_pauses() {
    check(STOPS);
}

const ORDER: &[(&str, Case)] = &[
    ("a start before the end of what comes before", |f| {
        // P ends at 12:00 and C may start 90 min later.
        f.put(f.t.c, 1, &["11:00-12:00"]);
        let early = of(Clause::TooSoon, f.t.c).against(Thing::Task(f.t.p));
        vec![early.during(on(1, "11:00-13:30"))]
    }),
    ("a wait that ends between two slots", |f| {
        // F until 16:30 and 16 h 15 make 08:45, rounded up to 09:00; G starts at 08:30.
        f.put(f.t.f, 1, &["15:30-16:30"]);
        vec![of(Clause::TooSoon, f.t.g).against(Thing::Task(f.t.f)).during(on(2, "08:30-09:00"))]
    }),
    ("a start before the task's own earliest", |f| {
        f.put(f.t.k, 2, &["11:00-12:00"]);
        vec![of(Clause::NotBefore, f.t.k).during(on(2, "11:00-14:00"))]
    }),
    ("an end after the task's own latest", |f| {
        f.put(f.t.k, 2, &["15:30-16:30"]);
        vec![of(Clause::NotAfter, f.t.k).during(on(2, "16:00-16:30"))]
    }),
    ("work before the start", |f| {
        f.put(f.t.e, 1, &["07:00-08:00"]);
        vec![of(Clause::OutsidePlan, f.t.e).during(on(1, "07:00-08:00"))]
    }),
    ("work after the latest end", |f| {
        // The job is planned for 3 days from day 1 08:00 and grows to 6 at most.
        f.put(f.t.e, 7, &["07:30-08:30"]);
        vec![of(Clause::OutsidePlan, f.t.e).during(on(7, "08:00-08:30"))]
    }),
    ("time on hand after the end", |f| {
        // Nothing makes the plan longer than its first end, day 4 08:00.
        f.plan.on_hand.push(on_hand(f.p.ft, 4, "08:00-09:00"));
        vec![Breach::new(Clause::OutsidePlan).by(f.p.ft).of(Thing::OnHand).during(on(4, "08:00-09:00"))]
    }),
    ("work years away", |f| {
        let far = Span::of(Moment::FAR_FUTURE, Minutes::hours(1)).expect("an hour");
        f.plan.spells[3].work = vec![far];
        vec![of(Clause::OutsidePlan, f.t.p).during(far)]
    }),
    ("a task without people in two pieces", |f| {
        f.put(f.t.r, 1, &["15:00-16:00"]);
        f.plan.spells.push(spell(f.t.r, 0, 1, &["16:30-17:30"], &[]));
        f.put(f.t.r2, 1, &["18:00-19:00"]);
        vec![of(Clause::RunsInPieces, f.t.r).count(2, 1)]
    }),
    ("a task without people while its post is not set", |f| {
        // The post is not manned on day 3 from 08:00 to 12:00, and nobody has that turn.
        let hole = on(3, "08:00-12:00");
        let turn = f.turn(3, "08:00").index();
        let without = |row: usize| row != turn;
        let turns = f.parts.turns.iter().enumerate().filter(|(i, _)| without(*i)).map(|(_, t)| t.clone());
        f.parts.turns = turns.collect();
        f.plan.turns = f.plan.turns.iter().enumerate().filter(|(i, _)| without(*i)).map(|(_, p)| *p).collect::<IdVec<_, _>>();
        f.parts.posts[f.watch].manned = f.parts.posts[f.watch].manned[0].without(&[hole]);
        f.put(f.t.r2, 3, &["11:30-12:30"]);
        vec![of(Clause::Unattended, f.t.r2).against(Thing::Post(f.watch)).during(on(3, "11:30-12:00"))]
    }),
    ("two tasks without people at a post that attends one", |f| {
        f.put(f.t.r2, 1, &["16:30-17:30"]);
        vec![Breach::new(Clause::TooManyAttended).of(Thing::Post(f.watch)).during(on(1, "16:30-17:00")).count(2, 1)]
    }),
];

/// Rule 5: if a case fails, a task can come before what it waits for, or leave its window.
#[test]
fn order_and_waits() {
    check(ORDER);
}

const DUTIES: &[(&str, Case)] = &[
    ("a duty without a time", |f| {
        let rows = f.plan.duties.len() - 1;
        f.plan.duties = f.plan.duties.iter().copied().take(rows).collect();
        vec![Breach::new(Clause::DutyNotPlaced).of(Thing::Duty(f.d.last))]
    }),
    ("a fixed duty at another time", |f| {
        f.plan.duties[f.d.toolbox] = at(1, "09:00");
        vec![Breach::new(Clause::DutyMoved).of(Thing::Duty(f.d.toolbox)).during(on(1, "08:00-08:30"))]
    }),
    ("a movable duty over the end of its window", |f| {
        f.plan.duties[f.d.meet] = at(2, "15:30");
        vec![Breach::new(Clause::DutyOutsideWindow).of(Thing::Duty(f.d.meet)).during(on(2, "13:00-16:00"))]
    }),
    ("a movable duty years away", |f| {
        f.plan.duties[f.d.meet] = Moment::new(i32::MAX);
        let breach = Breach::new(Clause::DutyOutsideWindow).of(Thing::Duty(f.d.meet)).during(on(2, "13:00-16:00"));
        vec![breach, Breach::new(Clause::DutyOffGrid).of(Thing::Duty(f.d.meet)).during(on(2, "13:00-16:00"))]
    }),
    ("a movable duty off the grid", |f| {
        f.plan.duties[f.d.helm] = at(2, "00:10");
        vec![Breach::new(Clause::DutyOffGrid).of(Thing::Duty(f.d.helm)).during(on(2, "00:00-08:00"))]
    }),
    ("more duties than the job has", |f| {
        f.plan.duties.push(at(1, "09:00"));
        vec![Breach::new(Clause::UnknownDuty).of(Thing::Row(f.parts.duties.len()))]
    }),
];

/// Rules 1 and 5: if a case fails, people are sent to a drill at a time nobody agreed to.
#[test]
fn duties_at_their_time() {
    check(DUTIES);
}

const TOOLS: &[(&str, Case)] = &[
    ("a tool that is held through a wait", |f| {
        // SOAK is filled by F at 15:00 and emptied by G the next morning; there is one.
        f.put(f.t.s, 1, &["16:00-17:00"]);
        vec![Breach::new(Clause::ToolOverbooked).of(Thing::Tool(f.soak)).during(on(1, "16:00-17:00")).count(2, 1)]
    }),
    ("a tool in the pause of a spell", |f| {
        // N holds the crane through its pause, 11:00 to 14:00; P's last part, until 12:00, needs it too.
        f.parts.tasks[f.t.n].tools = vec![(f.crane, 1)];
        f.shift(f.t.p, 2, 1, &["13:00-14:00"]);
        f.shift(f.t.a, 1, 1, &["13:00-14:00"]);
        f.crew(f.t.a, 1, &[f.p.le, f.p.eo]);
        f.parts.tasks[f.t.c].after.clear();
        vec![Breach::new(Clause::ToolOverbooked).of(Thing::Tool(f.crane)).during(on(1, "13:00-14:00")).count(2, 1)]
    }),
    ("a tool that is away", |f| {
        f.put(f.t.s, 3, &["10:00-11:00"]);
        let breach = Breach::new(Clause::ToolAway).of(Thing::Tool(f.soak)).against(Thing::Task(f.t.s));
        vec![breach.during(on(3, "10:00-11:00"))]
    }),
    ("a held tool that is away in the night", |f| {
        f.parts.tools[f.soak].away.insert(0, on(1, "23:00-23:20"));
        let breach = Breach::new(Clause::ToolAway).of(Thing::Tool(f.soak)).against(Thing::Task(f.t.f));
        vec![breach.during(on(1, "23:00-23:20"))]
    }),
    ("a tag banned in a window", |f| {
        f.put(f.t.s, 3, &["09:00-10:00"]);
        vec![of(Clause::Banned, f.t.s).against(Thing::Tag(f.lift)).during(on(3, "09:00-10:00"))]
    }),
    ("a tag banned by a duty", |f| {
        // The meeting is at 13:00 and K may start at 14:00.
        f.parts.tasks[f.t.k].not_before = Some(at(2, "13:00"));
        f.put(f.t.k, 2, &["13:30-14:30"]);
        vec![of(Clause::Banned, f.t.k).against(Thing::Tag(f.hot)).during(on(2, "13:30-14:00"))]
    }),
];

/// Rule 6: if a case fails, one crane is promised to two teams, or hot work goes on during bunkering.
#[test]
fn tools_and_bans() {
    check(TOOLS);
}

const PERSONS: &[(&str, Case)] = &[
    ("another person in a place one must keep", |f| {
        f.crew(f.t.p, 2, &[f.p.eo]);
        vec![of(Clause::NotSame, f.t.p).by(f.p.eo).during(on(1, "11:00-12:00"))]
    }),
    ("the checker checks himself", |f| {
        f.crew(f.t.c, 0, &[f.p.ft]);
        let breach = of(Clause::NotDifferent, f.t.c).by(f.p.ft).against(Thing::Task(f.t.p));
        vec![breach.during(on(1, "14:00-15:00"))]
    }),
];

/// Rule 7: if a case fails, the one who tightened a big end may also be the one who checks it.
#[test]
fn same_and_different_people() {
    check(PERSONS);
}

const HOURS: &[(&str, Case)] = &[
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

/// Every clause but the rest rules must have a case above; otherwise a clause could be dropped unseen.
#[test]
fn no_clause_is_without_a_case() {
    let tables = [ONE_THING, POSTS, TEAMS, STOPS, ORDER, DUTIES, TOOLS, PERSONS, HOURS];
    let mut seeded: Vec<Clause> = Vec::new();
    for (_, case) in tables.into_iter().flatten() {
        seeded.extend(case(&mut Fixture::new()).into_iter().map(|breach| breach.clause));
    }
    let missing: Vec<Clause> = Clause::NAMED.into_iter().filter(|clause| !seeded.contains(clause)).collect();
    assert_eq!(missing, Vec::new());
}
