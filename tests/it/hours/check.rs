//! Checks of hours: findings, where they come from, and cures that cure.

use turnto::hours::{Change, Of, Origin, check};
use turnto::model::{Problem, RecordKind, Recorded};
use turnto::rest::{Divided, Exactly, Readings, RuleSet};
use turnto::time::{Minutes, Span};
use turnto::verify::Asked;

use crate::support::job::{Job, at, idle_plan, on, spell};

fn recorded(span: Span, kind: RecordKind) -> Recorded {
    Recorded { span, kind, note: String::new() }
}

/// If this fails, the cure of a recorded breach is not the smallest that cures, or is said to be of the plan.
#[test]
fn a_recorded_finding_stands_with_what_would_have_kept_it() {
    let mut job = Job::new(2);
    let person = job.person("A", &[]);
    // Published example (two days, 06-20 then 05-10): 9 h of rest from 06:00 to 06:00.
    let work = [on(-1, "06:00-20:00"), on(0, "05:00-10:00")];
    job.parts.people[person].recorded = work.map(|span| recorded(span, RecordKind::Duty)).to_vec();
    let problem = job.problem();
    let people = check(&problem, Of::Records, None);
    let groups = &people[0].groups;
    // 24h and split are the same matter in two rules; the windows from 06:00 on and back from 10:00 find the same.
    assert_eq!(groups.len(), 2);
    for group in groups {
        assert_eq!((group.origin, group.worst.found), (Origin::Recorded, Minutes::hours(9)));
        assert_eq!(group.worst.window, Span::of(at(-1, "06:00"), Minutes::DAY).unwrap());
        assert_eq!(group.others, 1);
        let cure = group.cure.expect("an hour cures it");
        // Half an hour gives 9.5 h; a whole one ten, and the later piece comes first.
        assert_eq!((cure.change, cure.part), (Change::StartAt(at(0, "06:00")), on(0, "05:00-06:00")));
    }
    assert_eq!(people[0].findings.len(), 4);
}

/// If this fails, a call-out during the plan is not seen to break the rest the plan leaves, or a cure is offered that
/// changes the past.
#[test]
fn a_call_out_during_the_plan_makes_a_planned_finding() {
    let mut job = Job::new(3);
    let person = job.person("A", &[]);
    job.day_work(person);
    let task = job.task("T", &[], 1);
    job.parts.tasks[task].needs = Vec::new();
    let fit = job.competence("FIT");
    job.parts.people[person].competences = vec![fit];
    job.parts.tasks[task].needs = vec![fit];
    // Rest from 19:00 to 00:30 and from 02:30 to 08:00, 5.5 h each: no six hours in the 24 h from 08:00.
    job.parts.people[person].recorded = vec![recorded(on(2, "00:30-02:30"), RecordKind::Call)];
    let mut plan = idle_plan(&job.parts);
    let day = |day| spell(task, 0, day, &["08:00-12:00", "13:00-19:00"], &[person]);
    plan.spells = vec![day(1), day(2)];
    let problem = job.problem();
    let asked = Asked::new(&problem, &plan).expect("the plan has a shape");
    let people = check(&problem, Of::Both, Some(&asked));
    let hours = &people[0];
    let group = hours.groups.iter().find(|g| problem.rule_sets[problem.people[person].rest].rules[g.worst.rule].code == "6h");
    let group = group.expect("there is no six hours");
    assert_eq!((group.origin, group.worst.found), (Origin::Planned, Minutes::new(330)));
    // A later start on day 2 falls outside the 24 hours from 08:00, and the evening before is over: it stands.
    assert_eq!(group.cure, None);
    assert_eq!(hours.calls[0].owed, Minutes::hours(2), "the whole call took rest, and it is owed");
    let none = check(&problem, Of::Records, None);
    assert!(none[0].findings.is_empty(), "the call alone breaks nothing");
}

/// If this fails, a breach that lies ahead in a plan gets no cure, or not the smallest.
#[test]
fn a_breach_ahead_has_a_cure_ahead() {
    let (mut job, fit, person) = Job::of_one(3);
    let task = job.task("T", &[fit], 8);
    let mut plan = idle_plan(&job.parts);
    // 15 h in one go from 08:00 of day 2: 9 h of rest in the 24 h from then, and an hour above 14.
    plan.spells = vec![spell(task, 0, 2, &["08:00-23:00"], &[person])];
    let problem = job.problem();
    let asked = Asked::new(&problem, &plan).expect("the plan has a shape");
    let hours = &check(&problem, Of::Plan, Some(&asked))[0];
    let changes: Vec<(Origin, Change, Span)> =
        hours.groups.iter().map(|g| g.cure.map(|c| (g.origin, c.change, c.part)).expect("an hour cures it")).collect();
    assert_eq!(changes.len(), 3, "24h, split, 14h");
    for change in changes {
        assert_eq!(change, (Origin::Planned, Change::StartAt(at(2, "09:00")), on(2, "08:00-09:00")));
    }
}

/// If this fails, a breach that lies ahead is put together with one that has happened, counted as recorded and given up.
#[test]
fn a_breach_that_happened_does_not_hide_one_ahead() {
    let (mut job, fit, person) = Job::of_one(3);
    let task = job.task("T", &[fit], 8);
    let mut plan = idle_plan(&job.parts);
    // 20 h up to 05:00 of day 2 are done; the plan has the same person turn to at 08:00 of day 2 all the same.
    let long = Span::new(at(1, "13:00"), at(2, "05:00")).unwrap();
    job.parts.people[person].recorded = [on(1, "08:00-12:00"), long].map(|span| recorded(span, RecordKind::Task)).to_vec();
    plan.spells = vec![spell(task, 0, 2, &["08:00-12:00", "13:00-17:00"], &[person])];
    let problem = job.problem();
    let asked = Asked::new(&problem, &plan).expect("the plan has a shape");
    let hours = &check(&problem, Of::Both, Some(&asked))[0];
    let rules = &problem.rule_sets[problem.people[person].rest].rules;
    let of_rule = |code: &str, origin| hours.groups.iter().find(|g| (rules[g.worst.rule].code.as_str(), g.origin) == (code, origin));
    let past = of_rule("24h", Origin::Recorded).expect("20 h of work leave 3 h of rest before the lunch break");
    assert_eq!((past.worst.found, past.worst.window.end()), (Minutes::hours(3), at(2, "05:00")));
    let ahead = of_rule("24h", Origin::Planned).expect("the plan takes as much in the 24 h that follow");
    assert_eq!(ahead.worst.found, Minutes::hours(3));
    // Ten hours from 05:00 on: not before 15:00.
    let cure = of_rule("6h", Origin::Planned).expect("3 h, and then the plan").cure;
    assert!(cure.is_some_and(|cure| cure.part.start() >= at(2, "05:00")), "{cure:?}");
    assert!(hours.groups.iter().all(|g| g.origin == Origin::Recorded || hours.findings.contains(&(g.worst, Origin::Planned))));
}

/// If this fails, the seven days of a record are judged by what is not known of the time before.
#[test]
fn what_is_not_known_is_said_and_not_found() {
    let mut job = Job::new(2);
    let person = job.person("A", &[]);
    let other = job.person("B", &[]);
    job.parts.people[person].recorded = vec![recorded(on(-1, "08:00-20:00"), RecordKind::Watch)];
    job.parts.people[person].recorded_from = Some(at(-1, "00:00"));
    job.parts.people[other].recorded_from = None;
    let problem = job.problem();
    let people = check(&problem, Of::Records, None);
    assert!(people[0].findings.is_empty());
    // If everything before day -1 was work, 77 h of rest are first reached in the seven days back from 20:00 of day
    // -1 at the latest by windows that begin before the record; the window that ends last is said.
    assert!(people[0].uncheckable_before.is_some_and(|before| before > at(-1, "00:00") && before <= at(6, "00:00")));
    assert_eq!((people[1].scope, people[1].uncheckable_before), (None, None), "nothing is recorded of B");
}

/// If this fails, what is recorded before a record is said to be complete is not judged.
#[test]
fn what_is_recorded_before_the_record_is_complete_is_judged() {
    let long = on(-3, "04:00-22:00");
    // After the first row; after all of them; after the start of planning.
    for complete in [at(0, "00:00"), at(1, "00:00"), at(5, "00:00")] {
        let mut job = Job::new(2);
        let person = job.person("A", &[]);
        job.parts.people[person].recorded = vec![recorded(long, RecordKind::Task), recorded(on(0, "08:00-12:00"), RecordKind::Duty)];
        job.parts.people[person].recorded_from = Some(complete);
        let problem = job.problem();
        let hours = &check(&problem, Of::Records, None)[0];
        assert!(hours.findings.iter().all(|(finding, _)| finding.window.overlaps(long)));
        assert_eq!(hours.groups.len(), 3, "24h, split, 14h: {:?}", hours.groups);
    }
}

/// If this fails, drills are not flagged, or are said to take rest where they fall into work.
#[test]
fn drills_are_flagged_with_the_rest_they_take() {
    let mut job = Job::new(2);
    let person = job.person("A", &[]);
    job.parts.people[person].recorded =
        vec![recorded(on(-1, "08:00-12:00"), RecordKind::Duty), recorded(on(-1, "15:00-16:30"), RecordKind::Drill)];
    let problem = job.problem();
    let people = check(&problem, Of::Records, None);
    let drills: Vec<(Span, Minutes)> = people[0].drills.iter().map(|d| (d.span, d.rest_lost)).collect();
    assert_eq!(drills, [(on(-1, "15:00-16:30"), Minutes::new(90))]);
}

/// If this fails, a cure is offered that does not cure: every cure is tried again here from the outside, on made-up
/// records and under several readings, and so is, where more work cures nothing, every smaller change of whole slots of the
/// same piece in the same direction.
#[test]
fn every_cure_cures_and_nothing_smaller_of_the_same_piece_does() {
    let six = turnto::rest::Windows::AfterRest(Minutes::hours(6));
    let read = |readings| RuleSet::stcw_mlc_rest().read_as(readings);
    let sets = [
        (RuleSet::stcw_mlc_rest(), 60),
        (RuleSet::by_code("both").expect("built in"), 20),
        (read(Readings { exactly: Exactly::Fails, ..Readings::default() }), 20),
        (read(Readings { day: six, ..Readings::default() }), 20),
        (read(Readings { divided: Divided::AllRest, ..Readings::default() }), 20),
    ];
    for (number, (set, times)) in sets.into_iter().enumerate() {
        let mut dice = crate::support::dice::Dice::new(11 + u64::try_from(number).expect("few"));
        let closed = turnto::rest::ClosedRules::new(&set).is_ok();
        let mut cures = 0;
        for _ in 0..times {
            let mut job = Job::new(2);
            job.parts.rule_sets[turnto::id::Id::from_index(0)] = set.clone();
            let person = job.person("A", &[]);
            let mut start = at(-9, "00:00");
            let mut list = Vec::new();
            while start < at(0, "00:00") {
                let length = Minutes::new(30 * dice.number(4, 26));
                list.extend(Span::of(start, length).map(|span| recorded(span, RecordKind::Duty)));
                start = start + length + Minutes::new(30 * dice.number(2, 22));
            }
            job.parts.people[person].recorded = list;
            let problem = job.problem();
            let hours = &check(&problem, Of::Records, None)[0];
            for group in &hours.groups {
                let Some(cure) = group.cure else { continue };
                cures += 1;
                assert!(settled(&problem, &group.worst, cure.part), "{group:?}");
                let shorter = cure.part.length() - Minutes::new(30);
                let part = match cure.change {
                    Change::StartAt(_) => Span::of(cure.part.start(), shorter),
                    Change::EndAt(_) => Span::new(cure.part.end() - shorter, cure.part.end()),
                    Change::LeaveOut => None,
                };
                assert!(!closed || part.is_none_or(|part| !settled(&problem, &group.worst, part)), "smaller: {group:?}");
            }
        }
        assert!(cures * 2 > times, "only {cures} cures were tried of set {number}");
    }
}

/// Whether, without `part`, the rule is kept in all windows that share half their time with the finding's.
fn settled(problem: &turnto::model::Problem, finding: &turnto::rest::Finding, part: Span) -> bool {
    let set = &problem.rule_sets[turnto::id::Id::from_index(0)];
    let all = problem.people.iter().next().expect("somebody").recorded.iter().flat_map(|r| r.span.without(&[part]));
    let line = turnto::rest::Timeline::new(set, all.collect(), &[]);
    let shares_half = |window: Span| {
        window.intersection(finding.window).is_some_and(|shared| shared.length() + shared.length() >= finding.window.length())
    };
    let found = turnto::rest::findings(set, &line, finding.window);
    !found.iter().any(|f| f.rule == finding.rule && shares_half(f.window))
}

/// If this fails, the days before somebody comes aboard count as known rest though the record begins later.
#[test]
fn of_who_comes_aboard_later_nothing_is_known_before_the_record() {
    let (mut job, fit, person) = Job::of_one(7);
    let task = job.task("T", &[fit], 16);
    job.parts.people[person].away = vec![Span::new(at(1, "08:00"), at(2, "12:00")).unwrap()];
    let mut plan = idle_plan(&job.parts);
    plan.spells = [2, 5].map(|day| spell(task, 0, day, &["13:00-17:00"], &[person])).to_vec();
    let seen = |job: &Job| {
        let problem = Problem::new(job.parts.clone()).expect("a legal job");
        let asked = Asked::new(&problem, &plan).expect("the plan has a shape");
        check(&problem, Of::Plan, Some(&asked))[0].uncheckable_before
    };
    // The record reaches back before the plan: seven days are known, a person ashore rests.
    assert_eq!(seen(&job), None);
    // It begins when the person comes aboard. Worked until then, there are 69 h of rest in the seven days before day 5
    // 17:00 (77 h since day 2 12:00, 8 of them worked), and 77 are asked for (STCW Code A-VIII/1 paragraph 2.2); what is not
    // known is tried as work (A15).
    job.parts.people[person].recorded_from = Some(at(2, "12:00"));
    assert_eq!(seen(&job), Some(at(5, "17:00")));
    // With no record at all it is the same.
    job.parts.people[person].recorded_from = None;
    assert_eq!(seen(&job), Some(at(5, "17:00")));
    // Who is aboard when planning begins is known from then on.
    job.parts.people[person].away = Vec::new();
    assert_eq!(seen(&job), Some(at(2, "17:00")));
}
