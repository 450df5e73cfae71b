//! Tiny jobs made by chance: at most four people, five tasks and twenty-four slots, everything on the slot
//! grid, with something of every rule.

use turnto::clock::Day;
use turnto::id::{CompetenceId, Id, PersonId, PostId, TaskId};
use turnto::model::{
    After, Ban, Different, Hold, Parts, Post, Problem, RecordKind, Recorded, Reserve, ReserveKind, Stand, Stop, Stretch, Turn, When,
};
use turnto::time::{Minutes, Moment, Slots, Span, union};

use crate::support::chance;
use crate::support::dice::Dice;
use crate::support::job::Job;
use crate::verify::oracle;

/// The first slot of the job (06:00 of day 1) and how many there are.
pub(crate) const START: i32 = 12;
pub(crate) const LENGTH: i32 = 24;

/// The stretch from slot `from` to slot `to`, counted from the start of the job.
pub(crate) fn slots(from: i32, to: i32) -> Span {
    let moment = |slot: i32| Moment::new((START + slot) * 30);
    Span::new(moment(from), moment(to)).expect("a stretch has a length")
}

/// A job; chance may have to be tried more than once until it hangs together.
pub(crate) fn job(dice: &mut Dice) -> Parts {
    loop {
        let parts = attempt(dice);
        if Problem::new(parts.clone()).is_ok() {
            return parts;
        }
    }
}

fn attempt(dice: &mut Dice) -> Parts {
    let mut job = Job::new(1);
    job.parts.start = slots(0, 1).start();
    job.parts.end = slots(0, LENGTH).end();
    job.parts.latest_end = job.parts.end;
    job.parts.rule_sets = turnto::id::IdVec::from(vec![oracle::rules()]);
    let competences = [job.competence("A"), job.competence("B"), job.competence("OOW")];
    let people: Vec<PersonId> = (0..dice.number(2, 4)).map(|n| person(dice, &mut job, n, &competences)).collect();
    let post = if dice.once_in(2) { Some(watch(dice, &mut job, competences[2])) } else { None };
    let tags = [job.tag("x"), job.tag("y")];
    let tool = job.tool("TOOL", if dice.once_in(3) { 2 } else { 1 });
    if dice.once_in(3) {
        let from = dice.number(0, 20);
        job.parts.tools[tool].away = vec![slots(from, from + 3)];
    }
    let count = dice.pick(&[2, 3, 3, 4, 5]);
    for n in 0..count {
        task(dice, &mut job, n, &competences, post);
        let last = job.parts.tasks.ids().last().expect("a task");
        if dice.once_in(3) {
            job.parts.tasks[last].tools = vec![(tool, 1)];
        }
        if dice.once_in(3) {
            job.parts.tasks[last].tags = vec![dice.pick(&tags)];
        }
    }
    if dice.once_in(3) {
        let fill = TaskId::from_index(0);
        job.parts.holds.push(Hold { tool, number: 1, fill: Some(fill), filling: None, empty: TaskId::from_index(1) });
        for task in [0, 1].map(TaskId::from_index) {
            job.parts.tasks[task].tools.clear();
        }
        // What empties a tool comes after what fills it.
        let after = &mut job.parts.tasks[TaskId::from_index(1)].after;
        if after.is_empty() {
            after.push(After { task: fill, lag: Minutes::new(30 * dice.number(0, 3)) });
        }
    }
    if dice.once_in(3) {
        let from = dice.number(0, 20);
        job.parts.bans.push(Ban { span: slots(from, from + 4), tags: vec![tags[0]], reason: String::new() });
    }
    for n in 0..dice.number(0, 2) {
        duty(dice, &mut job, n, &people, tags[1]);
    }
    ship(dice, &mut job, &competences);
    job.parts
}

fn person(dice: &mut Dice, job: &mut Job, number: i32, competences: &[CompetenceId]) -> PersonId {
    let mut held: Vec<CompetenceId> = competences.iter().copied().filter(|_| !dice.once_in(4)).collect();
    if held.is_empty() {
        held.push(competences[0]);
    }
    let person = job.person(&format!("P{number}"), &held);
    let row = &mut job.parts.people[person];
    if !dice.once_in(6) {
        // One stretch with a break in it, overtime after it, and sometimes a second one that touches it.
        let from = dice.number(-2, 5);
        let pause = from + dice.number(4, 8);
        let pause_end = pause + dice.number(1, 2);
        let to = pause_end + dice.number(4, 8);
        let ordinary = vec![slots(from, pause), slots(pause_end, to)];
        let overtime = if dice.once_in(2) { vec![slots(to + dice.number(0, 1), to + 3)] } else { Vec::new() };
        row.stretches.push(Stretch { day: Day::new(1), ordinary, overtime });
        row.breaks.push(slots(pause, pause_end));
        if dice.once_in(3) {
            row.stretches.push(Stretch { day: Day::new(1), ordinary: vec![slots(to + 3, to + 8)], overtime: Vec::new() });
        }
    }
    if dice.once_in(6) {
        let from = dice.number(-2, 22);
        row.away = vec![slots(from, from + dice.number(1, 5))];
    }
    for _ in 0..dice.number(0, 2) {
        let from = dice.number(-30, -4);
        let span = slots(from, (from + dice.number(1, 10)).min(1));
        row.recorded.push(Recorded { span, kind: RecordKind::Duty, note: String::new() });
    }
    if dice.once_in(3) {
        row.job_cap = Some(Minutes::new(30 * dice.number(4, 10)));
    }
    if dice.once_in(5) {
        row.evenings = Some(0);
    }
    person
}

fn watch(dice: &mut Dice, job: &mut Job, competence: CompetenceId) -> PostId {
    let (from, turn) = (dice.number(0, 10), dice.number(3, 6));
    let holders: Vec<PersonId> = job.parts.people.pairs().filter(|(_, p)| p.holds(competence)).map(|(id, _)| id).collect();
    let turns = dice.number(1, 5);
    let manned = vec![slots(from, from + turn * turns)];
    let post = Post { code: "WATCH".to_owned(), name: String::new(), competence, manned, attends: 1, by_mode: None };
    let post = job.parts.posts.push(post);
    for n in 0..turns {
        let stand = if holders.is_empty() || dice.once_in(2) { Stand::Open(holders.clone()) } else { Stand::Fixed(dice.pick(&holders)) };
        job.parts.turns.push(Turn { post, span: slots(from + turn * n, from + turn * (n + 1)), stand, line: String::new() });
    }
    post
}

fn task(dice: &mut Dice, job: &mut Job, number: i32, competences: &[CompetenceId], post: Option<PostId>) {
    let needs: Vec<CompetenceId> = (0..dice.pick(&[0, 1, 1, 1, 2])).map(|_| dice.pick(&competences[..2])).collect();
    let length = dice.number(1, 4);
    let id = job.task(&format!("T{number}"), &needs, length);
    let task = &mut job.parts.tasks[id];
    task.stop = match dice.number(0, 2) {
        0 => Stop::Any { min_spell: Slots::new(dice.number(1, 2)) },
        1 => Stop::Parts(u32::try_from(dice.number(1, length.min(2))).expect("positive")),
        _ => Stop::Never,
    };
    task.pauses = dice.once_in(2);
    task.emergency = dice.once_in(6);
    if number > 0 && dice.once_in(2) {
        let before = TaskId::from_index(dice.below(usize::try_from(number).expect("positive")));
        task.after = vec![After { task: before, lag: Minutes::new(dice.pick(&[0, 30, 45, 90])) }];
    }
    if dice.once_in(5) {
        task.not_before = Some(slots(0, dice.number(1, 12)).end());
    }
    if dice.once_in(6) {
        task.not_after = Some(slots(0, dice.number(12, 22)).end());
    }
    if needs.is_empty() {
        task.attended_by = post.filter(|_| dice.once_in(2));
    } else {
        if dice.once_in(3) {
            task.same = vec![0];
        }
        if number > 0 && dice.once_in(3) {
            task.different = vec![Different { need: 0, other: TaskId::from_index(0), other_needs: Vec::new() }];
        }
    }
    if dice.once_in(4) {
        task.takes_out = vec![turnto::id::UnitId::from_index(0)];
    }
    if dice.once_in(5) {
        task.hands_back = vec![turnto::id::UnitId::from_index(0)];
    }
}

fn duty(dice: &mut Dice, job: &mut Job, number: i32, people: &[PersonId], tag: turnto::id::TagId) {
    let who: Vec<PersonId> = people.iter().copied().filter(|_| dice.once_in(2)).collect();
    let (from, length) = (dice.number(0, 20), dice.number(1, 2));
    let when = if dice.once_in(2) {
        When::Fixed(slots(from, from + length))
    } else {
        When::Movable { window: slots(from, from + length + 3), length: Minutes::new(30 * length) }
    };
    let who = chance::could_attend(job, &when, &who);
    let duty = job.duty(&format!("D{number}"), when, &who);
    chance::how_it_is_done(dice, job, duty, tag);
}

/// Machinery, one mode and its reserve.
fn ship(dice: &mut Dice, job: &mut Job, competences: &[CompetenceId]) {
    let from = dice.number(0, 20);
    let out = slots(from, from + 3);
    let kind = |competence, number| ReserveKind { code: String::new(), competence, number };
    let reserve = Reserve {
        kinds: vec![kind(competences[0], 1), kind(competences[1], u32::from(dice.once_in(2)))],
        call: Minutes::new(30 * dice.number(1, 4)),
        unbooked: Minutes::new(30 * dice.number(0, 6)),
        hours: (Minutes::hours(8), Minutes::hours(16)),
    };
    chance::two_machines(job, out, reserve);
    for person in &mut job.parts.people {
        // The record holds joined stretches in time order, as a problem asks for.
        let joined = union(person.recorded.iter().map(|r| r.span).collect());
        person.recorded = joined.into_iter().map(record).collect();
    }
}

/// Recorded work: what reaches past the start lasts for some time yet, and may be anything.
fn record(span: Span) -> Recorded {
    let kinds = [
        RecordKind::Call,
        RecordKind::Watch,
        RecordKind::Emergency,
        RecordKind::Task,
        RecordKind::Call,
        RecordKind::Duty,
        RecordKind::Drill,
    ];
    let number = usize::try_from(span.length().get() / 30).expect("it lasts");
    if span.end() <= slots(0, 1).start() {
        return Recorded { span, kind: RecordKind::Duty, note: String::new() };
    }
    let more = span.length().get() / 30 * 7 % 11;
    let span = Span::new(span.start(), span.end() + Minutes::new(30 * more)).expect("longer");
    Recorded { span, kind: kinds[number % kinds.len()], note: String::new() }
}
