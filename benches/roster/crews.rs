//! Invented crews in the usual watch systems.

use turnto::id::{CompetenceId, PersonId, PostId};
use turnto::model::{OnWatch, Problem, Stand, When};
use turnto::time::{Span, union};

use crate::job::{Job, at, on};

const THREE: &[(&str, &[&str])] =
    &[("12-4", &["00:00-04:00", "12:00-16:00"]), ("4-8", &["04:00-08:00", "16:00-20:00"]), ("8-12", &["08:00-12:00", "20:00-24:00"])];
const TWO: &[(&str, &[&str])] = &[("6-12", &["06:00-12:00", "18:00-24:00"]), ("12-6", &["00:00-06:00", "12:00-18:00"])];

/// A post in lines, each open to all of `people`.
fn post(job: &mut Job, code: &str, competence: CompetenceId, people: &[PersonId], lines: &[(&str, &[&str])]) -> PostId {
    let open = Stand::Open(people.to_vec());
    let rows: Vec<(&str, Stand)> = lines.iter().flat_map(|(_, times)| times.iter().map(|t| (*t, open.clone()))).collect();
    let post = job.post(code, competence, &rows);
    for turn in job.parts.turns.iter_mut().filter(|t| t.post == post) {
        if let Some((name, _)) = lines.iter().find(|(_, times)| times.contains(&turn.line.as_str())) {
            turn.line = (*name).to_owned();
        }
    }
    job.parts.posts[post].manned = union(job.parts.turns.iter().filter(|t| t.post == post).map(|t| t.span).collect());
    post
}

/// So many people of a rank, with day work on the job and a share of the tasks.
fn rank(job: &mut Job, code: &str, count: usize) -> (CompetenceId, Vec<PersonId>) {
    let competence = job.competence(code);
    let people: Vec<PersonId> = (1..=count).map(|i| job.person(&format!("{code}{i}"), &[competence])).collect();
    for person in &people {
        job.day_work(*person);
    }
    (competence, people)
}

/// Away from 00:00 of a day for so many days.
fn sick(job: &mut Job, person: PersonId, day: i32, days: i32) {
    job.parts.people[person].away = Span::new(at(day, "00:00"), at(day + days, "00:00")).into_iter().collect();
}

fn bunkering(job: &mut Job, day: i32, who: &[PersonId]) {
    let duty = job.duty("bunkering", When::Fixed(on(day, "09:30-16:00")), who);
    job.duty_edit(duty).on_watch = OnWatch::Clash;
}

fn drill(job: &mut Job, day: i32) {
    let all: Vec<PersonId> = job.parts.people.ids().collect();
    let _ = job.duty("drill", When::Fixed(on(day, "15:30-16:30")), &all);
}

/// R1: three watches of an engineer and a rating, nine people, sickness, bunkering, drill.
fn three_watches() -> Problem {
    let mut job = Job::new(9);
    let (oow, engineers) = rank(&mut job, "E", 5);
    let (wr, ratings) = rank(&mut job, "R", 4);
    post(&mut job, "OOW", oow, &engineers, THREE);
    post(&mut job, "WR", wr, &ratings, THREE);
    sick(&mut job, engineers[1], 5, 2);
    bunkering(&mut job, 3, &[engineers[2], ratings[2]]);
    drill(&mut job, 5);
    job.task("T1", &[oow], 200);
    job.task("T2", &[wr], 120);
    job.problem()
}

/// R2: an unattended space with an evening round, and a fire watch of ratings by night.
fn unattended(engineers: usize, ratings: usize, days: i32) -> Problem {
    let mut job = Job::new(days);
    let (oow, engineers) = rank(&mut job, "E", engineers);
    let (wr, ratings) = rank(&mut job, "R", ratings);
    post(&mut job, "ROUND", oow, &engineers, &[("round", &["20:00-22:00"])]);
    post(
        &mut job,
        "FIRE",
        wr,
        &ratings,
        &[("first", &["18:00-22:00"]), ("middle", &["22:00-24:00", "00:00-02:00"]), ("last", &["02:00-06:00"])],
    );
    sick(&mut job, engineers[0], 8, 3);
    sick(&mut job, ratings[ratings.len() - 1], 12, 4);
    drill(&mut job, 9);
    job.task("T1", &[oow], 300);
    job.task("T2", &[wr], 300);
    job.problem()
}

/// R3: two watches, six on and six off, in pairs, 14 days.
fn pairs() -> Problem {
    let mut job = Job::new(14);
    let (oow, engineers) = rank(&mut job, "E", 3);
    let (wr, ratings) = rank(&mut job, "R", 3);
    post(&mut job, "OOW", oow, &engineers, TWO);
    post(&mut job, "WR", wr, &ratings, TWO);
    bunkering(&mut job, 4, &[engineers[2]]);
    sick(&mut job, ratings[0], 6, 2);
    job.task("T1", &[oow], 60);
    job.problem()
}

/// Twelve people of one rank on four posts for three weeks, some of them kept from one post or two.
fn four_posts() -> Problem {
    let mut job = Job::new(21);
    let (oow, people) = rank(&mut job, "P", 12);
    for (i, code) in ["A", "B"].iter().enumerate() {
        let some: Vec<PersonId> = people.iter().copied().enumerate().filter(|(n, _)| n % 4 != i).map(|(_, p)| p).collect();
        post(&mut job, code, oow, &some, THREE);
    }
    post(&mut job, "ROUND", oow, &people, &[("round", &["20:30-22:00"])]);
    post(&mut job, "GANGWAY", oow, &people, &[("day", &["08:00-12:00"])]);
    sick(&mut job, people[1], 6, 3);
    sick(&mut job, people[7], 13, 5);
    bunkering(&mut job, 4, &people[2..4]);
    drill(&mut job, 10);
    job.task("T1", &[oow], 600);
    job.problem()
}

/// The same with four posts in three watches: all twelve stand a line, and two fall out.
fn four_watches() -> Problem {
    let mut job = Job::new(21);
    let (oow, people) = rank(&mut job, "P", 12);
    for (i, code) in ["A", "B", "C", "D"].iter().enumerate() {
        let some: Vec<PersonId> = people.iter().copied().enumerate().filter(|(n, _)| n % 4 != i).map(|(_, p)| p).collect();
        let lines = if i == 3 { &THREE[..1] } else { THREE };
        post(&mut job, code, oow, &some, lines);
    }
    sick(&mut job, people[1], 6, 3);
    sick(&mut job, people[7], 13, 5);
    drill(&mut job, 10);
    job.task("T1", &[oow], 600);
    job.problem()
}

/// R4: 24 people on 12 posts, three of them in three watches, for a week.
fn big() -> Problem {
    let mut job = Job::new(7);
    for (code, count) in [("E", 8), ("R", 8), ("D", 8)] {
        let (competence, people) = rank(&mut job, code, count);
        post(&mut job, &format!("{code}-W"), competence, &people, THREE);
        post(&mut job, &format!("{code}-N"), competence, &people, &[("night", &["22:00-24:00"])]);
        post(&mut job, &format!("{code}-M"), competence, &people, &[("morning", &["06:00-08:00"])]);
        post(&mut job, &format!("{code}-G"), competence, &people, &[("gangway", &["12:00-16:00"])]);
        sick(&mut job, people[3], 3, 2);
        bunkering(&mut job, 4, &people[5..6]);
        job.task(&format!("T{code}"), &[competence], 200);
    }
    drill(&mut job, 5);
    job.problem()
}

/// R2 with seven to twelve people and for two to four weeks.
pub(crate) fn family() -> Vec<(String, Problem)> {
    let crews = [(3, 4), (4, 4), (4, 5), (5, 5), (5, 6), (6, 6)];
    let days = [14, 17, 21, 24, 28];
    let one = |engineers: usize, ratings: usize, days: i32| {
        (format!("R2 with {engineers} and {ratings}, {days} days"), unattended(engineers, ratings, days))
    };
    crews.into_iter().flat_map(|(engineers, ratings)| days.map(|days| one(engineers, ratings, days))).collect()
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, Problem)> {
    vec![
        ("R1 three watches, sick, bunkering", three_watches()),
        ("R2 unattended, round, fire watch", unattended(4, 5, 21)),
        ("R3 two watches in pairs", pairs()),
        ("R4 24 people, 12 posts", big()),
        ("R5 12 people, 4 posts, 3 weeks", four_posts()),
        ("R6 12 people, 4 posts in watches", four_watches()),
    ]
}
