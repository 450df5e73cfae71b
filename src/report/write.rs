//! From a report to the types of `plan.json`.

use crate::account::{Doing, ShortOf, What};
use crate::id::{DutyId, PersonId, TaskId, TurnId};
use crate::model::{Stand, Stop, When};
use crate::plan::Spell;
use crate::report::{AimValue, Amount, CutBy, Report, tools_of, wire};
use crate::rest::Finding;
use crate::time::{Minutes, Moment, Span};

/// The whole document.
pub(super) fn plan_file(report: &Report<'_>) -> wire::PlanFile {
    let (problem, account, solved) = (report.problem(), report.account(), report.solved());
    let answers = report.answers();
    let people: Vec<wire::Person> = problem.people.ids().map(|p| person(report, p)).collect();
    let (watches, watches_after_end) = watches(report);
    let (duties, duties_after_end) = duties(report);
    wire::PlanFile {
        format: wire::FORMAT.to_owned(),
        made_by: wire::MADE_BY.to_owned(),
        seed: solved.seed,
        input_sha256: solved.input_sha256.clone(),
        slot_minutes: problem.grid.slot().get(),
        ship: problem.ship.clone(),
        job: problem.title.clone(),
        start: report.stamp(problem.start),
        end: report.stamp(account.end),
        finish: report.stamp(account.finish),
        bound: report.stamp(solved.bound),
        bound_with_overtime: solved.bound_with_overtime.map(|at| report.stamp(at)),
        gap_hours: answers.gap.into(),
        proof: proof(answers.gap.is_zero()),
        proof_by: solved.proof.clone(),
        late: answers.late,
        cut_by: cut(solved.cut_by),
        aims: solved.aims.iter().map(aim).collect(),
        plan_no: solved.plan_no,
        based_on: solved.based_on,
        log_entries: solved.log_entries,
        readings: wire::Ordered(report.rules_in_use().into_iter().map(|r| (r.code, wire::Ordered(r.readings))).collect()),
        not_checkable_before: answers.not_checkable_before.map(|(_, at)| report.stamp(at)),
        shortfalls: account.shortfalls.iter().map(|s| shortfall(report, s.span, &s.of)).collect(),
        milestones: answers.milestones.iter().map(|(id, m)| milestone(report, *id, *m)).collect(),
        held_by: solved.chain.iter().map(|link| chain_link(report, link)).collect(),
        waits: answers.waits.iter().map(|link| chain_link(report, link)).collect(),
        findings: people.iter().flat_map(|p| p.rest.findings.iter().cloned()).collect(),
        people,
        slack_by: if solved.slack.is_some() { "planning again" } else { "order and waits" }.to_owned(),
        tasks: tasks(report),
        watches,
        watches_after_end,
        duties,
        duties_after_end,
        days: days(report),
        machinery: machinery(report),
        reserve: reserve(report),
        competences: competences(report),
        notes: solved.notes.clone(),
    }
}

const fn proof(met: bool) -> wire::Proof {
    if met { wire::Proof::Proven } else { wire::Proof::Gap }
}

const fn cut(by: CutBy) -> wire::Cut {
    match by {
        CutBy::Nothing => wire::Cut::None,
        CutBy::Work => wire::Cut::Work,
        CutBy::Time => wire::Cut::Time,
        CutBy::Signal => wire::Cut::Signal,
    }
}

fn aim(row: &AimValue) -> wire::Aim {
    let number = |amount: Amount| match amount {
        Amount::Time(minutes) => wire::Figure::Hours(wire::Hours::of_minutes(minutes)),
        Amount::Count(n, _) => wire::Figure::Count(n),
    };
    let unit = match row.value {
        Amount::Time(_) => "h",
        Amount::Count(_, unit) => unit,
    };
    wire::Aim {
        aim: super::aim_name(row.aim).to_owned(),
        value: number(row.value),
        bound: row.bound.map(number),
        unit: unit.to_owned(),
        proof: proof(row.bound == Some(row.value)),
    }
}

fn milestone(report: &Report<'_>, id: crate::id::MilestoneId, met: crate::account::MilestoneAccount) -> wire::Milestone {
    let row = &report.problem().milestones[id];
    wire::Milestone {
        id: row.code.clone(),
        text: row.text.clone(),
        due: report.stamp(row.due),
        met_at: report.stamp(met.met_at),
        late_hours: met.late.into(),
        bound: report.stamp(report.solved().earliest[id].at),
        proof_by: report.solved().earliest[id].by.to_string(),
    }
}

fn chain_link(report: &Report<'_>, link: &super::ChainLink) -> wire::Link {
    wire::Link { task: report.task_code(link.task), wait_hours: link.wait.into(), why: link.why.clone() }
}

fn shortfall(report: &Report<'_>, span: Span, of: &ShortOf) -> wire::Shortfall {
    let of = match of {
        ShortOf::Units { group, able, needed } => {
            wire::ShortOf::Units { group: report.problem().groups[*group].code.clone(), able: *able, needed: *needed }
        }
        ShortOf::Together { set, out, most_out } => {
            wire::ShortOf::Together { units: report.set_units(*set), out: *out, most_out: *most_out }
        }
        ShortOf::Callable { missing } => wire::ShortOf::Callable { missing: *missing },
        ShortOf::Unbooked { missing } => wire::ShortOf::Unbooked { missing_hours: (*missing).into() },
    };
    wire::Shortfall { from: report.stamp(span.start()), to: report.stamp(span.end()), of }
}

fn person(report: &Report<'_>, id: PersonId) -> wire::Person {
    let (who, row) = (&report.problem().people[id], &report.account().people[id]);
    wire::Person {
        id: who.code.clone(),
        name: who.name.clone(),
        stretches: row.stretches.iter().flat_map(|d| stretches(report, id, *d)).collect(),
        labour_hours: row.labour.into(),
        overtime_hours: row.overtime.into(),
        evenings: row.evenings,
        watch_hours: row.watch.into(),
        duty_hours: row.duty.into(),
        night_hours: row.night.into(),
        rest: rest(report, id),
    }
}

/// A stretch as it is written; a break is split where the person turns to or knocks off in it.
fn stretches(report: &Report<'_>, person: PersonId, doing: Doing) -> Vec<wire::Stretch> {
    let problem = report.problem();
    let whole = |kind, reference| vec![(doing.span, kind, reference, None)];
    let parts = match doing.what {
        What::Task(task) => whole(wire::Kind::Task, Some(report.task_code(task))),
        What::Watch(turn) => whole(wire::Kind::Watch, Some(problem.posts[problem.turns[turn].post].code.clone())),
        What::Duty(duty) => whole(wire::Kind::Duty, Some(problem.duties[duty].code.clone())),
        What::Call => whole(wire::Kind::Call, None),
        What::Rest => whole(wire::Kind::Rest, None),
        What::Away => whole(wire::Kind::Away, None),
        What::Break => {
            let parts = report.split_at_work(person, doing.span).into_iter();
            parts.map(|(span, at_work)| (span, wire::Kind::Break, None, Some(at_work))).collect()
        }
    };
    let row = |(span, kind, reference, on_hand): (Span, wire::Kind, Option<String>, Option<bool>)| wire::Stretch {
        from: report.stamp(span.start()),
        to: report.stamp(span.end()),
        kind,
        reference,
        on_hand,
    };
    parts.into_iter().map(row).collect()
}

fn rest(report: &Report<'_>, id: PersonId) -> wire::Rest {
    let figures = &report.account().people[id].rest;
    let stamp = |at: Option<Moment>| at.map(|at| report.stamp(at));
    wire::Rest {
        rule_set: report.problem().rule_sets[report.problem().people[id].rest].code.clone(),
        least_24h: figures.least_24h.into(),
        least_24h_from: stamp(figures.least_24h_from),
        best_two_24h: figures.best_two_24h.into(),
        longest_24h: figures.longest_24h.into(),
        least_7d: figures.least_7d.into(),
        least_7d_from: stamp(figures.least_7d_from),
        not_checkable_before: stamp(figures.not_checkable_before),
        findings: figures.recorded_findings.iter().map(|f| finding(report, id, f)).collect(),
    }
}

fn finding(report: &Report<'_>, person: PersonId, found: &Finding) -> wire::Finding {
    wire::Finding {
        person: report.person_code(person),
        rule: report.rule_name(person, found),
        from: report.stamp(found.window.start()),
        to: report.stamp(found.window.end()),
        found_hours: found.found.into(),
        required_hours: found.required.into(),
        recorded: true,
    }
}

fn tasks(report: &Report<'_>) -> Vec<wire::Task> {
    let slack = report.slack();
    let task = |id: TaskId| {
        let account = report.account().tasks[id];
        let mut spells: Vec<&Spell> = report.plan().spells.iter().filter(|s| s.task == id).collect();
        spells.sort_by_key(|s| (s.span(), s.part));
        wire::Task {
            id: report.task_code(id),
            spells: spells.into_iter().map(|s| spell(report, s)).collect(),
            start: report.stamp(account.start),
            end: report.stamp(account.end),
            labour_hours: account.labour.into(),
            slack_hours: slack[id].into(),
        }
    };
    report.problem().tasks.ids().map(task).collect()
}

fn spell(report: &Report<'_>, spell: &Spell) -> wire::Spell {
    let (problem, whole) = (report.problem(), spell.span());
    let task = &problem.tasks[spell.task];
    let pause = |p: Span| wire::Pause { from: report.stamp(p.start()), to: report.stamp(p.end()) };
    let member = |(need, person): (&crate::id::CompetenceId, &PersonId)| wire::Member {
        need: problem.competences[*need].code.clone(),
        person: report.person_code(*person),
    };
    let tools = tools_of(problem, spell.task).into_iter();
    wire::Spell {
        from: report.stamp(whole.start()),
        to: report.stamp(whole.end()),
        part: match task.stop {
            Stop::Parts(_) => Some(spell.part + 1),
            Stop::Any { .. } | Stop::Never => None,
        },
        paused: whole.without(&spell.work).into_iter().map(pause).collect(),
        team: task.needs.iter().zip(&spell.team).map(member).collect(),
        tools: tools.flat_map(|(t, n)| (0..n).map(move |_| problem.tools[t].code.clone())).collect(),
    }
}

fn watches(report: &Report<'_>) -> (Vec<wire::Watch>, Vec<wire::Watch>) {
    let problem = report.problem();
    let row = |id: TurnId| {
        let turn = &problem.turns[id];
        let person = report.person_code(report.plan().turns[id]);
        let (from, to) = (report.stamp(turn.span.start()), report.stamp(turn.span.end()));
        wire::Watch { post: problem.posts[turn.post].code.clone(), from, to, person }
    };
    let (before, after): (Vec<TurnId>, Vec<TurnId>) = problem.turns.ids().partition(|t| problem.turns[*t].span.start() < report.end());
    let open = after.into_iter().filter(|t| match problem.turns[*t].stand {
        Stand::Open(_) => true,
        Stand::Fixed(_) => false,
    });
    (before.into_iter().map(row).collect(), open.map(row).collect())
}

fn duties(report: &Report<'_>) -> (Vec<wire::Duty>, Vec<wire::Duty>) {
    let problem = report.problem();
    let row = |(id, span): (DutyId, Span)| {
        let attended = &report.account().duties[id];
        let who = problem.duties[id].who.iter().filter(|p| attended.iter().any(|a| a.person == **p));
        wire::Duty {
            id: problem.duties[id].code.clone(),
            occurrence: problem.duties[id].occurrence,
            from: report.stamp(span.start()),
            to: report.stamp(span.end()),
            people: who.map(|p| report.person_code(*p)).collect(),
        }
    };
    let spans = problem.duties.ids().filter_map(|id| Some((id, report.duty_span(id)?)));
    let (before, after): (Vec<_>, Vec<_>) = spans.partition(|(_, span)| span.start() < report.end());
    let movable = after.into_iter().filter(|(id, _)| match problem.duties[*id].when {
        When::Movable { .. } => true,
        When::Fixed(_) => false,
    });
    (before.into_iter().map(row).collect(), movable.map(row).collect())
}

fn days(report: &Report<'_>) -> Vec<wire::DayRow> {
    let row = |day: &crate::account::DayAccount| wire::DayRow {
        date: report.date(day.day),
        day: day.day.number(),
        labour_hours: day.labour.into(),
        overtime_hours: day.overtime.into(),
        unbooked_hours: day.unbooked.into(),
        unbooked_needed_hours: day.unbooked_needed.into(),
        by_person: wire::Ordered(day.by_person.pairs().map(|(p, m): (PersonId, &Minutes)| (report.person_code(p), (*m).into())).collect()),
    };
    report.account().days.iter().map(row).collect()
}

fn machinery(report: &Report<'_>) -> Vec<wire::MachineryRow> {
    let problem = report.problem();
    let row = |row: &crate::account::MachineryRow| wire::MachineryRow {
        group: problem.groups[row.group].code.clone(),
        from: report.stamp(row.span.start()),
        to: report.stamp(row.span.end()),
        able: row.able,
        needed: row.needed,
        out: row.out.iter().map(|u| problem.units[*u].code.clone()).collect(),
    };
    report.account().machinery.iter().map(row).collect()
}

fn reserve(report: &Report<'_>) -> Vec<wire::ReserveRow> {
    let row = |row: &crate::account::ReserveRow| wire::ReserveRow {
        from: report.stamp(row.span.start()),
        to: report.stamp(row.span.end()),
        kind: row.kind.clone(),
        callable: row.callable.iter().map(|p| report.person_code(*p)).collect(),
        needed: row.needed,
        met: row.met,
    };
    report.account().reserve.iter().map(row).collect()
}

fn competences(report: &Report<'_>) -> Vec<wire::CompetenceRow> {
    let row = |row: &super::CompetenceDay| wire::CompetenceRow {
        competence: report.problem().competences[row.competence].code.clone(),
        date: report.date(row.day),
        planned_hours: row.planned.into(),
        model_hours: row.model.map(Into::into),
    };
    report.totals().competences.iter().map(row).collect()
}
