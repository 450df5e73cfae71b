//! Tiny jobs made by chance, small enough that all their plans can be looked at: twelve hours in slots of an hour (and
//! days after it, so that there is a plan), at most three people, three tasks of at most three slots and one tool, with something of every rule.

use turnto::clock::Day;
use turnto::id::{CompetenceId, Id, IdVec, PersonId, PostId, TagId, TaskId, UnitId};
use turnto::model::{
    After, Aim, Ban, Different, Parts, Post, Problem, RecordKind, Recorded, Reserve, ReserveKind, Stand, Stop, Stretch, Turn, When,
};
use turnto::rest::RuleSet;
use turnto::time::{Grid, Minutes, Moment, Slots, Span};

use crate::support::chance;
use crate::support::dice::Dice;
use crate::support::job::{Job, at};
use crate::verify::oracle;

/// Slots of the first day of the job, from 08:00 on.
pub(crate) const LENGTH: i32 = 12;
/// Days on which people have hours.
const DAYS: i32 = 3;

/// The moment at which slot `slot` begins, counted from the start of the job.
pub(crate) fn moment(slot: i32) -> Moment {
    at(1, "08:00") + Minutes::hours(slot)
}

/// The stretch from slot `from` to slot `to`.
pub(crate) fn slots(from: i32, to: i32) -> Span {
    Span::new(moment(from), moment(to)).expect("a stretch has a length")
}

/// A job that may grow to so many days; chance may have to be tried more than once until it hangs together.
pub(crate) fn job(dice: &mut Dice, days: i32) -> Problem {
    loop {
        if let Ok(problem) = Problem::new(attempt(dice, days)) {
            return problem;
        }
    }
}

fn attempt(dice: &mut Dice, days: i32) -> Parts {
    let mut job = Job::new(1);
    job.parts.grid = Grid::new(Minutes::hours(1)).expect("an hour is a slot");
    job.parts.end = moment(LENGTH);
    job.parts.latest_end = moment(LENGTH + 24 * (days - 1));
    job.parts.layout_end = job.parts.latest_end + Minutes::hours(9 * 24);
    // What is compared is the finish, so nothing but what is missing comes before it.
    job.parts.aims = vec![Aim::Shortfall, Aim::Finish, Aim::NightAndOvertime, Aim::Steady];
    if dice.once_in(2) {
        job.parts.rule_sets = IdVec::from(vec![oracle::rules()]);
    } else {
        job.parts.rule_sets = IdVec::from(vec![RuleSet::stcw_mlc_rest()]);
    }
    let competences = [job.competence("A"), job.competence("B"), job.competence("OOW")];
    let people: Vec<PersonId> = (0..dice.pick(&[1, 2, 2, 3, 3])).map(|n| person(dice, &mut job, n, &competences)).collect();
    let post = if dice.once_in(2) { watch(dice, &mut job, competences[2]) } else { None };
    let tags = [job.tag("x"), job.tag("y")];
    let tool = job.tool("TOOL", 1);
    if dice.once_in(4) {
        let from = dice.number(0, 10);
        job.parts.tools[tool].away = vec![slots(from, from + 2)];
    }
    for n in 0..dice.number(2, 3) {
        let task = task(dice, &mut job, n, &competences, post);
        if dice.once_in(2) {
            job.parts.tasks[task].tools = vec![(tool, 1)];
        }
        if dice.once_in(3) {
            job.parts.tasks[task].tags = vec![dice.pick(&tags)];
        }
    }
    if dice.once_in(3) {
        let from = dice.number(0, 8);
        job.parts.bans.push(Ban { span: slots(from, from + 2), tags: vec![tags[0]], reason: String::new() });
    }
    if dice.once_in(2) {
        duty(dice, &mut job, &people, tags[1]);
    }
    if dice.once_in(2) {
        ship(dice, &mut job, &competences);
    }
    job.parts
}

fn person(dice: &mut Dice, job: &mut Job, number: i32, competences: &[CompetenceId]) -> PersonId {
    let mut held: Vec<CompetenceId> = competences.iter().copied().filter(|_| !dice.once_in(6)).collect();
    if held.is_empty() {
        held.push(competences[0]);
    }
    let person = job.person(&format!("P{number}"), &held);
    let row = &mut job.parts.people[person];
    // A working stretch with a break in it, and for every second person overtime after it.
    let from = dice.number(-1, 2);
    let pause = from + dice.number(2, 4);
    let to = pause + 1 + dice.number(2, 4);
    let with_overtime = dice.once_in(2);
    for day in 0..DAYS {
        let on = |from: i32, to: i32| slots(24 * day + from, 24 * day + to);
        let overtime = if with_overtime { vec![on(to, to + 2)] } else { Vec::new() };
        row.stretches.push(Stretch { day: Day::new(1 + day), ordinary: vec![on(from, pause), on(pause + 1, to)], overtime });
        row.breaks.push(on(pause, pause + 1));
    }
    if dice.once_in(6) {
        let from = dice.number(-1, 10);
        row.away = vec![slots(from, from + dice.number(1, 3))];
    }
    if dice.once_in(3) {
        let from = dice.number(-10, -3);
        row.recorded.push(Recorded { span: slots(from, from + dice.number(1, 3)), kind: RecordKind::Duty, note: String::new() });
    }
    if dice.once_in(4) {
        row.job_cap = Some(Minutes::hours(dice.number(2, 5)));
    }
    if dice.once_in(6) {
        row.evenings = Some(0);
    }
    person
}

/// One or two turns of two or three hours, of which each is open or given to somebody; none where nobody can stand them.
fn watch(dice: &mut Dice, job: &mut Job, competence: CompetenceId) -> Option<PostId> {
    let holders: Vec<PersonId> = job.parts.people.pairs().filter(|(_, p)| p.holds(competence)).map(|(id, _)| id).collect();
    if holders.is_empty() {
        return None;
    }
    let (from, turn, turns) = (dice.number(0, 6), dice.number(2, 3), dice.number(1, 2));
    let manned = vec![slots(from, from + turn * turns)];
    let post = Post { code: "WATCH".to_owned(), name: String::new(), competence, manned, attends: 1, by_mode: None };
    let post = job.parts.posts.push(post);
    for n in 0..turns {
        let stand = if dice.once_in(2) { Stand::Open(holders.clone()) } else { Stand::Fixed(dice.pick(&holders)) };
        job.parts.turns.push(Turn { post, span: slots(from + turn * n, from + turn * (n + 1)), stand, line: String::new() });
    }
    Some(post)
}

fn task(dice: &mut Dice, job: &mut Job, number: i32, competences: &[CompetenceId], post: Option<PostId>) -> TaskId {
    let needs: Vec<CompetenceId> = (0..dice.pick(&[0, 1, 1, 1, 1, 2])).map(|_| dice.pick(&competences[..2])).collect();
    let length = dice.number(1, 3);
    let id = job.task(&format!("T{number}"), &needs, length);
    let task = &mut job.parts.tasks[id];
    task.stop = match dice.number(0, 2) {
        0 => Stop::Any { min_spell: Slots::new(dice.number(1, 2)) },
        1 => Stop::Parts(u32::try_from(dice.number(1, length.min(2))).expect("positive")),
        _ => Stop::Never,
    };
    task.pauses = dice.once_in(2);
    task.emergency = dice.once_in(8);
    if number > 0 && dice.once_in(2) {
        let before = TaskId::from_index(dice.below(usize::try_from(number).expect("positive")));
        task.after = vec![After { task: before, lag: Minutes::new(dice.pick(&[0, 30, 60, 120])) }];
    }
    if dice.once_in(5) {
        task.not_before = Some(moment(dice.number(1, 5)));
    }
    if dice.once_in(6) {
        task.not_after = Some(moment(dice.number(5, 11)));
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
    if dice.once_in(5) {
        task.takes_out = vec![UnitId::from_index(0)];
        task.hands_back = vec![UnitId::from_index(0)];
    }
    id
}

fn duty(dice: &mut Dice, job: &mut Job, people: &[PersonId], tag: TagId) {
    let (from, length) = (dice.number(0, 9), dice.number(1, 2));
    let when = if dice.once_in(2) {
        When::Fixed(slots(from, from + length))
    } else {
        When::Movable { window: slots(from, from + length + 1), length: Minutes::hours(length) }
    };
    let mut who = chance::could_attend(job, &when, people);
    who.retain(|_| dice.once_in(2));
    let duty = job.duty("D", when, &who);
    chance::how_it_is_done(dice, job, duty, tag);
}

/// Two machines of which one must be able, and a reserve of one or two people; where there are few people sometimes also
/// hours to be left unbooked.
fn ship(dice: &mut Dice, job: &mut Job, competences: &[CompetenceId]) {
    let from = dice.number(0, 9);
    let out = slots(from, from + 2);
    let kind = |competence, number| ReserveKind { code: String::new(), competence, number };
    let few = job.parts.people.len() <= 2;
    let reserve = Reserve {
        kinds: vec![kind(competences[0], u32::from(dice.once_in(2))), kind(competences[1], u32::from(dice.once_in(3)))],
        call: Minutes::hours(dice.number(1, 2)),
        unbooked: Minutes::hours(if few { dice.number(0, 3) } else { 0 }),
        hours: (Minutes::hours(8), Minutes::hours(18)),
    };
    chance::two_machines(job, out, reserve);
}
