//! Every figure of a plan that breaks no hard rule, computed from the plan alone.

use crate::account::{Account, DayAccount, MilestoneAccount, PersonAccount, ShortOf, Shortfall, TaskAccount};
use crate::id::{IdVec, PersonId, TaskId};
use crate::model::Milestone;
use crate::plan::Spell;
use crate::time::{Minutes, Moment, Span};
use crate::verify::caps::{evenings, overtime};
use crate::verify::facts::Facts;
use crate::verify::spans::{total, within};
use crate::verify::{doing, machinery, reserve, rest, told, unbooked};

/// The account of a plan.
pub(super) fn account(facts: &Facts) -> Account {
    let problem = facts.problem;
    let machinery = machinery::machinery(facts);
    let callable = reserve::callable(facts);
    let days = days(facts);
    let unbooked: Vec<Shortfall> = days.iter().filter_map(|(span, day)| unbooked_shortfall(*span, day)).collect();
    let missing_slots = |shortfall: &Shortfall| match shortfall.of {
        ShortOf::Unbooked { missing } => i64::from(problem.grid.ceil_length(missing).count()),
        ShortOf::Units { .. } | ShortOf::Together { .. } | ShortOf::Callable { .. } => 0,
    };
    Account {
        end: facts.time.end(),
        finish: facts.finish,
        people: problem.people.ids().map(|id| person(facts, id)).collect(),
        tasks: problem.tasks.ids().map(|id| task(facts, id)).collect(),
        duties: facts.attendance.clone(),
        machinery: machinery.rows,
        reserve: callable.rows,
        milestones: problem.milestones.iter().map(|milestone| met(facts, milestone)).collect(),
        machinery_shortfall: machinery.missing,
        reserve_shortfall: callable.missing + unbooked.iter().map(missing_slots).sum::<i64>(),
        told_changed: told::changed(facts),
        shortfalls: machinery.shortfalls.into_iter().chain(callable.shortfalls).chain(unbooked).collect(),
        days: days.into_iter().map(|(_, day)| day).collect(),
    }
}

fn person(facts: &Facts, id: PersonId) -> PersonAccount {
    let own = &facts.people[id];
    let in_plan = |spans: Vec<Span>| total(&within(&spans, facts.time));
    PersonAccount {
        stretches: doing::stretches(facts, id),
        labour: total(&own.labour),
        overtime: total(&overtime(facts, id)),
        evenings: u32::try_from(evenings(facts, id)).unwrap_or(u32::MAX),
        watch: in_plan(own.turns.iter().map(|(_, span)| *span).collect()),
        duty: in_plan(own.attended.iter().map(|(_, span)| *span).collect()),
        night: nights(facts).iter().map(|night| total(&within(&own.labour, *night))).sum(),
        rest: rest::figures(facts, id),
    }
}

/// From 20:00 to 06:00 by ship's clock, the night before each day of the plan and the night after the last.
fn nights(facts: &Facts) -> Vec<Span> {
    let at = |day, hours| facts.problem.clock.at(day, Minutes::hours(hours));
    facts.days.iter().filter_map(|(day, _)| Span::new(at(*day, 20), at(day.next(), 6))).collect()
}

fn task(facts: &Facts, id: TaskId) -> TaskAccount {
    let start = facts.problem.start;
    let labour = |spell: &Spell| spell.team.iter().map(|_| total(&spell.work)).sum::<Minutes>();
    // A plan that leaves a task out is not accounted for; the start stands in for both ends.
    let (from, to) = facts.task_span(id).map_or((start, start), |span| (span.start(), span.end()));
    TaskAccount { start: from, end: to, labour: facts.tasks[id].iter().map(|s| labour(s)).sum() }
}

fn met(facts: &Facts, milestone: &Milestone) -> MilestoneAccount {
    let ends = milestone.tasks.iter().filter_map(|id| facts.task_span(*id)).map(Span::end);
    let met_at = ends.fold(facts.problem.start, Moment::max);
    MilestoneAccount { met_at, late: (met_at - milestone.due).max(Minutes::ZERO) }
}

/// The ship's days that the plan touches, each with the part of it that the plan covers.
fn days(facts: &Facts) -> Vec<(Span, DayAccount)> {
    let problem = facts.problem;
    let ids = || problem.people.ids();
    let free: Vec<Vec<Span>> = ids().map(|id| unbooked::on_hand(facts, id)).collect();
    let overtime: Vec<Vec<Span>> = ids().map(|id| overtime(facts, id)).collect();
    let rows = facts.days.iter().filter_map(|(day, whole)| {
        let part = whole.intersection(facts.time)?;
        let by_person: IdVec<PersonId, Minutes> = facts.people.iter().map(|own| total(&within(&own.labour, *whole))).collect();
        let hours = |minute| problem.clock.at(*day, minute);
        let unbooked = unbooked::of_day(facts, *whole, hours, &free);
        let row = DayAccount {
            day: *day,
            labour: by_person.iter().copied().sum(),
            overtime: overtime.iter().map(|spans| total(&within(spans, *whole))).sum(),
            unbooked: unbooked.found,
            unbooked_needed: unbooked.needed,
            by_person,
        };
        Some((part, row))
    });
    rows.collect()
}

fn unbooked_shortfall(span: Span, day: &DayAccount) -> Option<Shortfall> {
    let missing = day.unbooked_needed - day.unbooked;
    (missing > Minutes::ZERO).then_some(Shortfall { span, of: ShortOf::Unbooked { missing } })
}
