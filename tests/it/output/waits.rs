//! What a plan's own finish hangs on.

use turnto::id::{PersonId, TaskId, UnitId};
use turnto::model::{After, Ban, Group, Mode, NeverTogether, Unit};
use turnto::plan::Plan;
use turnto::report::waited_for;
use turnto::time::{Minutes, Span};
use turnto::verify::verify;

use crate::support::job::{Job, at, idle_plan, on, spell};

/// Three people on day work. The crane serves first one task, then the next; the last comes an hour after it and has to
/// wait for the fitter, who is still at something of no consequence.
///
/// If this fails, people are told that order alone makes them wait, while it is a tool, somebody, or the night.
#[test]
fn tools_people_and_hours_are_named() {
    let mut job = Job::new(4);
    let (lift, fit) = (job.competence("LIFT"), job.competence("FIT"));
    let crane = job.tool("CRANE", 1);
    let people = [job.person("A", &[lift]), job.person("B", &[lift]), job.person("C", &[fit])];
    for person in people {
        job.day_work(person);
    }
    let first = job.task("T1", &[lift], 4);
    let second = job.task("T2", &[lift], 2);
    let other = job.task("T3", &[fit], 4);
    let third = job.task("T4", &[fit], 4);
    let fourth = job.task("T5", &[lift], 2);
    job.parts.tasks[first].tools = vec![(crane, 1)];
    job.parts.tasks[second].tools = vec![(crane, 1)];
    job.parts.tasks[third].after = vec![After { task: second, lag: Minutes::hours(1) }];
    job.parts.tasks[fourth].after = vec![After { task: third, lag: Minutes::ZERO }];
    let mut plan = idle_plan(&job.parts);
    plan.spells = vec![
        spell(first, 0, 1, &["08:00-10:00"], &[people[0]]),
        spell(second, 0, 1, &["10:00-11:00"], &[people[1]]),
        spell(other, 0, 1, &["11:00-12:00", "13:00-14:00"], &[people[2]]),
        spell(third, 0, 1, &["14:00-16:00"], &[people[2]]),
        spell(fourth, 0, 2, &["08:00-09:00"], &[people[0]]),
    ];
    let problem = job.problem();
    let verified = verify(&problem, plan).expect("the plan is legal");
    let said = |order: &[turnto::report::ChainLink]| {
        let link = |l: &turnto::report::ChainLink| format!("{} {} {}", problem.tasks[l.task].code, l.wait.get(), l.why).trim().to_owned();
        order.iter().map(link).collect::<Vec<_>>()
    };
    let links = waited_for(&problem, verified.plan(), verified.account());
    assert_eq!(said(&links), ["T3 0", "T4 0 waits for C", "T5 0 waits for hours"]);
    // Without the fitter's other task it is the crane and the hour.
    let mut plan = verified.into_plan();
    plan.spells[4] = spell(fourth, 0, 1, &["15:00-16:00"], &[people[0]]);
    plan.spells[2] = spell(other, 0, 1, &["08:00-10:00"], &[people[2]]);
    plan.spells[3] = spell(third, 0, 1, &["13:00-15:00"], &[people[2]]);
    let verified = verify(&problem, plan).expect("the plan is legal");
    let links = waited_for(&problem, verified.plan(), verified.account());
    assert_eq!(said(&links), ["T1 0", "T2 0 waits for CRANE", "T4 60 waits for hours", "T5 0"]);
    // He was at it until noon, when the hour was over too: then it is dinner that it waits for, not he.
    let mut plan = verified.into_plan();
    plan.spells[2] = spell(other, 0, 1, &["10:00-12:00"], &[people[2]]);
    plan.spells.sort_by_key(|s| (s.span().start(), s.task, s.part));
    let verified = verify(&problem, plan).expect("the plan is legal");
    let links = waited_for(&problem, verified.plan(), verified.account());
    assert_eq!(said(&links), ["T1 0", "T2 0 waits for CRANE", "T4 60 waits for hours", "T5 0"]);
}

/// What the finish of a plan hangs on, task by task.
fn said(job: Job, plan: Plan) -> Vec<String> {
    let problem = job.problem();
    let verified = verify(&problem, plan).expect("the plan is legal");
    let link = |l: turnto::report::ChainLink| format!("{} {} {}", problem.tasks[l.task].code, l.wait.get(), l.why).trim().to_owned();
    waited_for(&problem, verified.plan(), verified.account()).into_iter().map(link).collect()
}

/// Two sets, of which the ship needs both until 12:00 and one after that. T1 is done early; T2, an hour later, opens the
/// first set after dinner.
fn two_sets() -> (Job, Plan, [UnitId; 2], [TaskId; 2], PersonId) {
    let mut job = Job::new(2);
    let fit = job.competence("FIT");
    let person = job.person("A", &[fit]);
    job.day_work(person);
    let (first, second) = (job.task("T1", &[fit], 2), job.task("T2", &[fit], 2));
    let unit = |code: &str| Unit { code: code.to_owned(), name: String::new(), state: String::new(), out: Vec::new() };
    let units = [job.parts.units.push(unit("G1")), job.parts.units.push(unit("G2"))];
    let group = job.parts.groups.push(Group {
        code: "GEN".to_owned(),
        name: String::new(),
        units: units.to_vec(),
        lasts: None,
        recover: Minutes::ZERO,
        short_before: None,
    });
    let mode =
        |code: &str, number| Mode { code: code.to_owned(), name: String::new(), needs: vec![(group, number)], weight: 1, reserve: None };
    let (leaving, sea) = (job.parts.modes.push(mode("leaving", 2)), job.parts.modes.push(mode("sea", 1)));
    let noon = at(1, "12:00");
    let span = |from, to| Span::new(from, to).expect("a mode lasts");
    job.parts.mode_spans = vec![(span(job.parts.start, noon), leaving), (span(noon, job.parts.layout_end), sea)];
    job.parts.tasks[second].takes_out = vec![units[0]];
    job.parts.tasks[second].hands_back = vec![units[0]];
    job.parts.tasks[second].after = vec![After { task: first, lag: Minutes::hours(1) }];
    let mut plan = idle_plan(&job.parts);
    plan.spells = vec![spell(first, 0, 1, &["08:00-09:00"], &[person]), spell(second, 0, 1, &["13:00-14:00"], &[person])];
    (job, plan, units, [first, second], person)
}

/// If this fails, a plan that waits for days until the ship needs fewer sets says that it waits for hours of its people.
#[test]
fn machines_that_must_stay_able_are_named() {
    let (job, plan, ..) = two_sets();
    assert_eq!(said(job, plan), ["T2 0 waits for GEN, then for hours"]);
    // To the slot: no hours in between.
    let (mut job, mut plan, _, [_, second], person) = two_sets();
    for (span, from) in job.parts.mode_spans.iter_mut().zip([at(1, "08:00"), at(1, "11:00")]) {
        span.0 = Span::new(from, if span.0.end() == at(1, "12:00") { at(1, "11:00") } else { span.0.end() }).expect("a mode lasts");
    }
    plan.spells[1] = spell(second, 0, 1, &["11:00-12:00"], &[person]);
    assert_eq!(said(job, plan), ["T2 0 waits for GEN"]);
}

/// If this fails, what waits for a machine that may not be out together with another says that it waits for somebody.
#[test]
fn machines_never_out_together_are_named() {
    let (mut job, mut plan, units, [first, second], person) = two_sets();
    for mode in [0, 1] {
        let id = job.parts.modes.ids().nth(mode).expect("there are two");
        job.parts.modes[id].needs.clear();
    }
    job.parts.never_together = vec![NeverTogether { units: units.to_vec(), most_out: 1 }];
    job.parts.units[units[1]].out = vec![on(1, "08:00-11:00")];
    job.parts.tasks[second].after.clear();
    // The man comes straight from the other task, which is not why.
    plan.spells = vec![spell(first, 0, 1, &["10:00-11:00"], &[person]), spell(second, 0, 1, &["11:00-12:00"], &[person])];
    assert_eq!(said(job, plan), ["T2 0 waits for G2"]);
}

/// If this fails, a lift that waits for the swell to go down waits for hours, and who takes the second of two chain blocks
/// waits for the first.
#[test]
fn bans_dates_and_tools_there_are_enough_of() {
    let build = || {
        let (mut job, mut plan, _, [first, second], person) = two_sets();
        job.parts.tasks[second].takes_out.clear();
        job.parts.tasks[second].hands_back.clear();
        let tag = job.tag("lift");
        job.parts.tasks[second].tags = vec![tag];
        plan.spells[1] = spell(second, 0, 1, &["11:00-12:00"], &[person]);
        (job, plan, tag, first, second)
    };
    let (mut job, plan, tag, ..) = build();
    job.parts.bans = vec![Ban { span: on(1, "08:00-11:00"), tags: vec![tag], reason: String::new() }];
    assert_eq!(said(job, plan), ["T2 0 lift banned"]);
    let (mut job, plan, _, _, second) = build();
    job.parts.tasks[second].not_before = Some(at(1, "11:00"));
    assert_eq!(said(job, plan), ["T2 0 may not begin before"]);
    for (number, expected) in [(1, vec!["T1 0", "T2 0 waits for CHAIN"]), (2, vec!["T2 0"])] {
        let (mut job, mut plan, _, first, second) = build();
        let other = job.parts.people.ids().next().map(|_| job.parts.competences.ids().next().expect("there is one"));
        let helper = job.person("B", &[other.expect("there is one")]);
        job.day_work(helper);
        let chain = job.tool("CHAIN", number);
        for task in [first, second] {
            job.parts.tasks[task].tools = vec![(chain, 1)];
        }
        job.parts.tasks[second].after.clear();
        let person = job.parts.people.ids().next().expect("there is one");
        plan = Plan { spells: plan.spells.clone(), ..idle_plan(&job.parts) };
        plan.spells = vec![spell(first, 0, 1, &["10:00-11:00"], &[person]), spell(second, 0, 1, &["11:00-12:00"], &[helper])];
        assert_eq!(said(job, plan), expected);
    }
}
