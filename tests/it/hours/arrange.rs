//! The table of shipboard working arrangements.

use turnto::hours::{ArrangedHours, arrangements};
use turnto::model::{Stand, Stretch};
use turnto::out::{ArrangementTable, Where, arrangements_text};
use turnto::time::{Minutes, union};
use turnto::verify::Asked;

use crate::support::job::{Job, idle_plan, on};

fn hours(list: &[(i32, i32)]) -> Vec<ArrangedHours> {
    list.iter().map(|&(from, to)| (Minutes::hours(from), Minutes::hours(to))).collect()
}

/// A watchkeeper of the 12-4 with a morning of day work, and a day worker. Sums worked out by hand. If this fails, the
/// table on the bulkhead says something else than the job.
#[test]
fn usual_days_and_their_sums() {
    let mut job = Job::new(6);
    let fit = job.competence("FIT");
    let [keeper, worker, other] = ["3E", "FT", "4E"].map(|code| job.person(code, &[fit]));
    job.hours(keeper, &["09:00-11:00"], &[], &["12:00-13:00"]);
    job.day_work(worker);
    // On day 4 a short day.
    let days: Vec<Stretch> = job.parts.people[worker].stretches.clone();
    job.parts.people[worker].stretches = days
        .into_iter()
        .map(|mut stretch| {
            if stretch.day.number() == 4 {
                stretch.ordinary = union(vec![on(4, "08:00-12:00")]);
                stretch.overtime = Vec::new();
            }
            stretch
        })
        .collect();
    job.post(
        "OOW",
        fit,
        &[
            ("00:00-04:00", Stand::Fixed(keeper)),
            ("04:00-12:00", Stand::Open(vec![other])),
            ("12:00-16:00", Stand::Fixed(keeper)),
            ("16:00-24:00", Stand::Open(vec![other])),
        ],
    );
    let plan = idle_plan(&job.parts);
    let problem = job.problem();
    let rows = arrangements(&problem, None);
    assert_eq!((rows[0].watches.as_slice(), rows[0].duties.as_slice()), (&hours(&[(0, 4), (12, 16)])[..], &hours(&[(9, 11)])[..]));
    // 8 h of watch and 2 h of other duties; an hour between 11 and 12 is rest, so is all the rest.
    assert_eq!((rows[0].work, rows[0].rest), (Minutes::hours(10), Minutes::hours(14)));
    assert!(rows[0].findings.is_empty() && !rows[0].open);
    // 8 h of day work; the lunch hour is neither work nor rest.
    assert_eq!(
        (rows[1].duties.as_slice(), rows[1].work, rows[1].rest),
        (&hours(&[(8, 12), (13, 17)])[..], Minutes::hours(8), Minutes::hours(15))
    );
    let others: Vec<i32> = rows[1].others.iter().map(|other| other.day.number()).collect();
    assert_eq!((others.as_slice(), rows[1].overtime), (&[4][..], Minutes::hours(2)));
    // Without a plan the open watches are nobody's and that is said; the plan gives them to 4E, who then stands 16 h a
    // day, which no rule allows.
    assert!(rows[2].watches.is_empty() && rows[2].open);
    let rows = arrangements(&problem, Some(&Asked::new(&problem, &plan).expect("it has a shape")));
    assert_eq!((rows[2].watches.as_slice(), rows[2].open), (&hours(&[(4, 12), (16, 24)])[..], false));
    let codes: Vec<&str> =
        rows[2].findings.iter().map(|f| problem.rule_sets[problem.people[other].rest].rules[f.rule].code.as_str()).collect();
    assert!(codes.contains(&"24h") && codes.contains(&"7d"), "{codes:?}");
}

/// If this fails, somebody who has the watch for two hours of an ordinary day is listed with that day and the hours of every
/// other one, and nobody sees why.
#[test]
fn a_watch_inside_ordinary_hours_is_named() {
    let mut job = Job::new(6);
    let fit = job.competence("FIT");
    let [keeper, worker] = ["3E", "FT"].map(|code| job.person(code, &[fit]));
    job.day_work(worker);
    job.post("OOW", fit, &[("10:00-12:00", Stand::Fixed(keeper)), ("12:00-10:00", Stand::Fixed(keeper))]);
    for turn in job.parts.turns.iter_mut().filter(|turn| turn.span == on(3, "10:00-12:00")) {
        turn.stand = Stand::Fixed(worker);
    }
    let problem = job.problem();
    let rows = arrangements(&problem, None);
    let text = arrangements_text(&ArrangementTable { problem: &problem, plan: None, place: Where::Sea, rows: &rows });
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("comment on 2027-03-03 08:00-12:00, 13:00-17:00, watch 10:00-12:00"), "{text}");
}
