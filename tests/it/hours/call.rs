//! Who can be called: how long, what ends it, what it does, and in which order.

use turnto::hours::{call, fill, night};
use turnto::id::PersonId;
use turnto::model::Stand;
use turnto::time::{Minutes, Moment};
use turnto::verify::{Asked, Bar, Bound};

use crate::support::job::{Job, at, idle_plan, on, spell};

/// If this fails, a watch ahead does not end a call, or idle people are not offered for as long as the rules allow.
#[test]
fn a_call_ends_with_the_watch_or_with_the_rules() {
    let mut job = Job::new(3);
    let oow = job.competence("OOW");
    let watch = job.person("A", &[oow]);
    let idle = job.person("B", &[oow]);
    let other = job.person("C", &[oow]);
    job.post("OOW", oow, &[("00:00-12:00", Stand::Fixed(watch)), ("12:00-24:00", Stand::Fixed(other))]);
    let plan = idle_plan(&job.parts);
    let problem = job.problem();
    let asked = Asked::new(&problem, &plan).expect("a plan");
    // C stands from 12:00 to 24:00 of day 1; A from 00:00 of day 2; B does nothing at all.
    let callees = call(&problem, &asked, at(1, "20:00"), Minutes::hours(4));
    let one = |person: PersonId| callees.iter().find(|c| c.person == person).expect("everybody is asked");
    // B works at most 14 h between two rests; then ten hours are left of the 24.
    assert_eq!(one(idle).longest, Minutes::hours(14));
    assert!(matches!(one(idle).limit, Some(Bar::Rest(_))));
    // A has had eight hours since 12:00 and goes on watch at midnight. In the 24 h that end at noon of day 2 he rests
    // these eight and what is left of the four before midnight: two hours at most for a call.
    assert_eq!(one(watch).longest, Minutes::hours(2));
    assert!(matches!(one(watch).limit, Some(Bar::Rest(_))), "{:?}", one(watch).limit);
    assert!(matches!(one(watch).next, Some((Bound::Turn(_), span)) if span == on(2, "00:00-12:00")));
    assert_eq!(one(other).longest, Minutes::ZERO);
    assert!(matches!(one(other).limit, Some(Bar::Busy(Bound::Turn(_), span)) if span == on(1, "12:00-24:00")));
    assert_eq!(callees[0].person, idle, "who can be called comes first");
    assert_eq!(one(idle).harm.rest_broken, Minutes::hours(4));
    assert_eq!(fill(&problem, &[oow], &callees, Minutes::hours(4)).expect("one is enough").team, [(oow, idle)]);
    assert!(fill(&problem, &[oow, oow], &callees, Minutes::hours(4)).is_none(), "nobody fills two places");
}

/// If this fails, people are sent back to work after a call before they have had their rest.
#[test]
fn after_a_call_the_plan_waits_for_the_rest() {
    let (mut job, fit, person) = Job::of_one(3);
    let task = job.task("T", &[fit], 40);
    let mut plan = idle_plan(&job.parts);
    let pieces = ["08:00-12:00", "13:00-17:00"];
    plan.spells = vec![spell(task, 0, 1, &pieces, &[person]), spell(task, 0, 2, &["08:00-12:00", "13:00-19:00"], &[person])];
    let problem = job.problem();
    let asked = Asked::new(&problem, &plan).expect("a plan");
    let callees = call(&problem, &asked, at(2, "00:00"), Minutes::hours(4));
    let callee = &callees[0];
    // In the 24 h from 08:00 of day 1: rest 17-24, then 8 h less the call; ten are left after a call of five.
    assert_eq!(callee.longest, Minutes::hours(5));
    // In the 24 h from midnight: rest 04:00 to the start of work, then 19-24. Six hours in one piece are first had
    // at 10:00, and two hours of the job fall out.
    assert_eq!(callee.off_until, Some(at(2, "10:00")));
    assert_eq!(callee.harm.rest_broken, Minutes::hours(4));
    assert_eq!(callee.harm.labour_lost, Minutes::hours(2));
}

/// If this fails, the team is not the one with the least harm, or one person fills two places.
#[test]
fn the_team_is_the_one_with_the_least_harm() {
    let mut job = Job::new(3);
    let (lift, gen_) = (job.competence("LIFT"), job.competence("GEN"));
    let a = job.person("A", &[lift, gen_]);
    let b = job.person("B", &[lift]);
    let c = job.person("C", &[gen_]);
    for person in [a, b, c] {
        job.day_work(person);
    }
    let task = job.task("T", &[lift], 8);
    let mut plan = idle_plan(&job.parts);
    // B is at work from 08:00 to 12:00, the others are at rest.
    plan.spells = vec![spell(task, 0, 1, &["08:00-12:00"], &[b])];
    let problem = job.problem();
    let asked = Asked::new(&problem, &plan).expect("a plan");
    let two = Minutes::hours(2);
    let callees = call(&problem, &asked, at(1, "09:00"), two);
    let harms: Vec<Minutes> = [a, b, c].map(|p| callees.iter().find(|x| x.person == p).expect("asked").harm.total()).to_vec();
    assert_eq!(harms, [two, two, two]);
    // A could fill either place, B only LIFT, C only GEN: any two do, and the first in order of harm is A.
    let filled = fill(&problem, &[lift, gen_], &callees, two).expect("they can");
    assert_eq!(filled.harm, Minutes::hours(4));
    assert_ne!(filled.team[0].1, filled.team[1].1);
    assert!(fill(&problem, &[lift, lift, lift], &callees, two).is_none(), "only two can lift");
}

/// If this fails, the table of the night disagrees with the question asked hour by hour, or is not of the night.
#[test]
fn the_night_is_the_question_asked_every_hour() {
    let mut job = Job::new(3);
    let oow = job.competence("OOW");
    let people = ["A", "B", "C"].map(|code| job.person(code, &[oow]));
    let stands = [("00:00-08:00", people[0]), ("08:00-16:00", people[1]), ("16:00-24:00", people[2])];
    job.post("OOW", oow, &stands.map(|(times, person)| (times, Stand::Fixed(person))));
    let plan = idle_plan(&job.parts);
    let problem = job.problem();
    let asked = Asked::new(&problem, &plan).expect("a plan");
    let length = Minutes::hours(3);
    let hours = night(&problem, &asked, at(1, "14:00"), length, &[oow]);
    let times: Vec<Moment> = hours.iter().map(|h| h.at).collect();
    let expected: Vec<Moment> = (0..12).map(|h| at(1, "20:00") + Minutes::hours(h)).collect();
    assert_eq!(times, expected);
    for hour in &hours {
        let callees = call(&problem, &asked, hour.at, length);
        for (person, bar) in hour.people.pairs() {
            let longest = callees.iter().find(|c| c.person == person).expect("asked").longest;
            assert_eq!(bar.is_none(), longest >= length, "{:?} {person:?}", hour.at);
        }
        assert_eq!(hour.met, callees.iter().any(|c| c.longest >= length));
    }
    // Asked in the small hours, it is the night under way.
    assert_eq!(night(&problem, &asked, at(2, "03:10"), length, &[])[0].at, at(2, "03:10"));
}
