//! Seeded faults of the rules about the work: teams, stop codes, order and waits, duties, tools and bans.

use turnto::id::{Id, IdVec, PersonId, TaskId};
use turnto::model::When;
use turnto::plan::Spell;
use turnto::time::{Minutes, Moment, Span};
use turnto::verify::{Breach, Clause, Thing};

use crate::support::job::{at, on, on_hand, spell};
use crate::verify::faults::{Case, check, of};

pub(crate) const TEAMS: &[(&str, Case)] = &[
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

pub(crate) const STOPS: &[(&str, Case)] = &[
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

pub(crate) const ORDER: &[(&str, Case)] = &[
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

pub(crate) const DUTIES: &[(&str, Case)] = &[
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
    ("a movable duty before the start", |f| {
        // Its window opens at 06:00 on day 1; the job starts at 08:00.
        f.parts.duties[f.d.helm].when = When::Movable { window: on(1, "06:00-10:00"), length: Minutes::new(30) };
        f.plan.duties[f.d.helm] = at(1, "07:30");
        vec![Breach::new(Clause::DutyOutsideWindow).of(Thing::Duty(f.d.helm)).during(on(1, "06:00-10:00"))]
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

pub(crate) const TOOLS: &[(&str, Case)] = &[
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
